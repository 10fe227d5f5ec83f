// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers of the file and SI values: reading divides, writing finds the decimal that reads back to the same double.
#pragma once

namespace portwright {

/// SI value of a number in the file: number / perSi, and never -0.
double siValue(double number, double perSi);

/// The number with the fewest decimal digits that reads back to exactly this SI value. Not every double is the quotient
/// of another by perSi; where none is, the number whose SI value is nearest.
double fileNumber(double si, double perSi);

}  // namespace portwright
