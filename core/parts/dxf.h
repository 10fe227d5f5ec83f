// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/parts/drawing.h"
#include "core/result.h"

#include <string>

namespace portwright {

/// The drawing as DXF of release 2000, 1:1 in millimetres ($INSUNITS 4), one layer each, circles and arcs exact.
/// Letters outside ASCII become \U+XXXX, no-break spaces plain ones; what would be a sign of the format (%%, ^, \) is
/// written so that it stays a letter. Errors: no memory for the file.
Result<std::string> dxfText(const Drawing& drawing);

}  // namespace portwright
