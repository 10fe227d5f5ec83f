// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/housing/housing.h"
#include "core/parts/drawing.h"
#include "core/parts/part_options.h"
#include "core/result.h"

#include <string>
#include <vector>

namespace portwright {

enum class PortMaking { printed, stock };  ///< printed; or from stock tube, a slot from panels

/// The opening that a port needs in the wall, 1:1: hole (layer cut), centre marks, screw holes (cut) on their circle
/// (centre), rim of a flange (engrave), bore (notes); several ports in a row at their spacing (without one: 20 mm
/// between holes or flanges; one flange around all where each has none of its own); names of what it is for, words, and
/// a rule and a square to check the print by. Seen from outside, y up. Printed: the hole of printedBody, with the same
/// legs. Stock: the tube's outside, its bore where no wall is known, and `fit`; a slot's bore with corners rounded by a
/// cutter, which its panels stand around behind the wall. Errors: checkPort's, checkOptions', printedBody's; holes that
/// overlap at the spacing given.
Result<Drawing> holeTemplate(const PortOpening& port, PortMaking making, const PartOptions& options,
                             const std::vector<double>& legs = {}, const std::vector<std::string>& names = {});

}  // namespace portwright
