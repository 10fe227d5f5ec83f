// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/housing/measurement.h"

#include <optional>

namespace portwright::test {

/// A reading that states a volume, m3.
inline Measurement stated(double volume, double uncertainty, std::optional<InPlace> inPlace = {})
{
    Measurement m;
    m.method = StatedVolume{volume, uncertainty};
    m.inPlace = inPlace;
    return m;
}

}  // namespace portwright::test
