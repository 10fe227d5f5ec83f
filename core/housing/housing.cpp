// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/housing/housing.h"

#include <cmath>

namespace portwright {

bool inSecond(const Housing& housing, int opening)
{
    return opening >= 0 && housing.secondCavity &&
           housing.openings[static_cast<std::size_t>(opening)].cavity == CavityId::second;
}

Cavity& cavityOf(Housing& housing, int opening)
{
    return inSecond(housing, opening) ? housing.secondCavity->cavity : housing.cavity;
}

const Cavity& cavityOf(const Housing& housing, int opening)
{
    return inSecond(housing, opening) ? housing.secondCavity->cavity : housing.cavity;
}

int countOf(const PortOpening& port) { return port.count.value_or(1); }

double areaOf(const PortOpening& port)
{
    return port.shape == PortShape::round ? pi * port.diameter * port.diameter / 4 : port.width * port.height;
}

double radiusOf(const PortOpening& port) { return std::sqrt(areaOf(port) / pi); }

}  // namespace portwright
