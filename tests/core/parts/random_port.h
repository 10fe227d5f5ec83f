// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/housing/housing.h"

namespace portwright::test {

double between(int low, int high, double unit);  ///< in a RapidCheck property: a whole number of units

PortOpening roundPort(double bore, double length);
PortOpening slotPort(double width, double height, double length);

/// A straight port of either shape, 20 to 120 mm across and 60 to 400 mm long, flares of up to 30 mm at random.
PortOpening arbitraryPort();

}  // namespace portwright::test
