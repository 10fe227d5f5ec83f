// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/housing/housing.h"

#include <cmath>

namespace portwright {

int countOf(const PortOpening& port) { return port.count.value_or(1); }

double areaOf(const PortOpening& port)
{
    return port.shape == PortShape::round ? pi * port.diameter * port.diameter / 4 : port.width * port.height;
}

double radiusOf(const PortOpening& port) { return std::sqrt(areaOf(port) / pi); }

}  // namespace portwright
