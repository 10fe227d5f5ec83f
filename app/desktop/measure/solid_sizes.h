// SPDX-License-Identifier: GPL-3.0-or-later
// The lengths of a solid by the keys of the project file, for an editor that shows them as rows.
#pragma once

#include "core/housing/measurement.h"

#include <cstddef>
#include <string_view>

namespace portwright {

/// Null where the solid has no such length ("top_width_mm" of a box).
double* sizeIn(Solid& solid, std::string_view key);

/// Another kind of solid with the lengths they share taken over; the others take the nearest there is.
Solid withKind(const Solid& former, std::size_t kind);

}  // namespace portwright
