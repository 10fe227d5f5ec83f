// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/step_size.h"

#include <cmath>

namespace portwright {

namespace {

double metricStep(Dimension dimension)
{
    switch (dimension) {
    case Dimension::frequency:
    case Dimension::area:
    case Dimension::length:
    case Dimension::bore:
    case Dimension::power:
    case Dimension::airSpeed:
    case Dimension::temperature:
    case Dimension::pressure:
    case Dimension::percent:
    case Dimension::capacitance:
    case Dimension::count:
    case Dimension::angle:
        return 1;
    case Dimension::volume:
    case Dimension::travel:
    case Dimension::mass:
    case Dimension::resistance:
    case Dimension::forceFactor:
    case Dimension::voltage:
    case Dimension::mechanicalLoss:
    case Dimension::current:
    case Dimension::distance:
        return 0.1;
    case Dimension::level:
        return 0.5;
    case Dimension::inductance:
    case Dimension::compliance:
    case Dimension::quality:
    case Dimension::ratio:
        return 0.01;
    }
    return 1;
}

double nearestOneTwoFive(double value)
{
    const double decade = std::pow(10.0, std::floor(std::log10(value)));
    const double lead = value / decade;  // 1 .. 10
    for (const double nice : {1.0, 2.0, 5.0})
        if (lead <= nice * 1.4) return nice * decade;
    return 10 * decade;
}

}  // namespace

double stepShown(Dimension dimension, UnitSystem system)
{
    const Unit& metric = shownUnit(dimension, UnitSystem::metric);
    const Unit& shown = shownUnit(dimension, system);
    const double step = metricStep(dimension);
    if (shown.name == metric.name) return step;
    return nearestOneTwoFive(step * (metric.times / metric.per) / (shown.times / shown.per));
}

int decimalsOf(double step)
{
    int decimals = 0;
    for (double left = step; decimals < 6 && std::abs(left - std::round(left)) > 1e-6; ++decimals)
        left = step * std::pow(10.0, decimals + 1);
    return decimals;
}

}  // namespace portwright
