// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/shop_length.h"

#include <fmt/format.h>

namespace portwright {

std::string shopLength(double metres, UnitSystem units)
{
    const std::string metric = fmt::format("{:.1f}\u00A0mm", metres * 1e3);
    return units == UnitSystem::us ? fmt::format("{} ({:.3f}\u00A0in)", metric, metres / 0.0254) : metric;
}

}  // namespace portwright
