// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/driver/sheet.h"

namespace portwright {

/// Warnings where a completed driver leaves the usual range of its size (by piston area), and for slips of the pen that
/// leave a pattern (Xmax of both ways, Sd from the frame size, Vas in cubic feet).
/// Ranges: considered guesses of the trade, no source; a warning, never a refusal.
std::vector<Finding> plausibilityFindings(const DriverSheet& sheet, const CompleteDriver& driver,
                                          UnitSystem units = UnitSystem::metric);

}  // namespace portwright
