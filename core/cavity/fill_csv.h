// SPDX-License-Identifier: GPL-3.0-or-later
// Readings of a fill as comma-separated text. First line: the columns, any order:
//   medium,reading,unit
// medium: water-weight, water-volume, dry, the same in all lines. unit: g, kg, oz, lb for a weight; L, ml, ft3, in3
// for a volume. Point decimals; empty lines and lines that begin with # are passed over.
#pragma once

#include "core/cavity/measurement.h"
#include "core/result.h"

#include <string>
#include <string_view>

namespace portwright {

/// Errors: field "line 7", one sentence.
Result<FillMeasurement> parseFillCsv(std::string_view text);

/// Medium and readings, in g or L; reads back to the same.
std::string fillCsv(const FillMeasurement& fill);

}  // namespace portwright
