// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/parts/drawing.h"

#include <string>

namespace portwright {

/// The drawing as SVG 1.1, 1:1: width and height in mm, one user unit a millimetre, 5 mm of margin; one group a layer
/// (its name as id), lines 0.25 mm wide (cut 0.1 mm), circles and arcs exact.
std::string svgText(const Drawing& drawing);

}  // namespace portwright
