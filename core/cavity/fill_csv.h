// SPDX-License-Identifier: GPL-3.0-or-later
// Readings of a fill as comma-separated text. First line: the columns, any order:
//   medium,reading,unit,temperature_c,scale_step_g,vessel_step_ml,residue_ml,packing_pct
// The first three must be there; the others mean what they mean in the project file, are written in one line or in
// several alike, and stay empty where they have no use (temperature and scale step: by weight; packing: dry).
// medium: water-weight, water-volume, dry, the same in all lines. unit: g, kg, oz, lb for a weight; L, ml, ft3, in3
// for a volume. Point decimals; empty lines and lines that begin with # are passed over.
#pragma once

#include "core/housing/measurement.h"
#include "core/result.h"

#include <string>
#include <string_view>

namespace portwright {

/// Errors: field "line 7", one sentence.
Result<FillMeasurement> parseFillCsv(std::string_view text);

/// Medium and readings, in g or L, and what else is given; reads back to the same.
std::string fillCsv(const FillMeasurement& fill);

}  // namespace portwright
