// SPDX-License-Identifier: GPL-3.0-or-later
// How a value that is not known exactly is written: never finer than its standard uncertainty.
#pragma once

#include "core/quantity/quantity.h"

#include <string>

namespace portwright {

/// "88.4 ± 0.8 Hz": the uncertainty (SI, of the same dimension, above 0) with one significant digit, two if it starts
/// with 1, and the value to the same place. The value alone, as formatQuantity() has it, where the uncertainty is 0,
/// not finite, or under a ten-thousandth of it, which nothing here is known to. U+00A0 around the sign.
std::string formatRanged(double si, double uncertainty, Dimension dimension, UnitSystem system = UnitSystem::metric);

/// "±3 Hz", "±1.2 Hz": the uncertainty alone, same digits.
std::string formatUncertainty(double uncertainty, Dimension dimension, UnitSystem system = UnitSystem::metric);

/// Decimals (below 0: tens, hundreds) that show a standard uncertainty with one digit, two if it starts with 1.
int decimalsOfUncertainty(double shown);

}  // namespace portwright
