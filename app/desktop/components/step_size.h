// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/quantity/quantity.h"

namespace portwright {

/// What one press of Up changes, in the shown unit: 1 Hz, 0.1 L, 1 mm, 0.01 of a Q. In US units the nearest of 1-2-5.
double stepShown(Dimension dimension, UnitSystem system);
/// Decimals that show a step whole: 0.05 needs 2.
int decimalsOf(double step);

}  // namespace portwright
