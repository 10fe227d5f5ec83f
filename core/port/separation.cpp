// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/separation.h"

#include <algorithm>

namespace portwright {

namespace {

constexpr double sharpEnd = 0.5, flaredEnd = 0.2;
constexpr double enoughFlare = 0.5;  // of the bore's radius, in a slot of half its height

double endLoss(const PortOpening& port, const std::optional<double>& flare)
{
    return sharpEnd + flareShare(port, flare) * (flaredEnd - sharpEnd);
}

}  // namespace

double flareShare(const PortOpening& port, const std::optional<double>& flare)
{
    const double half = port.shape == PortShape::slot ? std::min(port.width, port.height) / 2 : port.diameter / 2;
    return half > 0 ? std::clamp(flare.value_or(0) / (enoughFlare * half), 0.0, 1.0) : 0;
}

double separationOf(const PortOpening& port)
{
    if (port.lossQ) return 0;
    if (port.separationK) return *port.separationK;
    return endLoss(port, port.innerFlare) + endLoss(port, port.outerFlare);
}

bool separationIsEstimated(const PortOpening& port) { return !port.lossQ && !port.separationK; }

}  // namespace portwright
