// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/classical.h"

#include "core/quantity/quantity.h"

#include <cmath>

namespace portwright {

double endCorrectionFactor(TubeEnd end) { return end == TubeEnd::free ? 0.6133 : 0.8217; }

double endCorrections(const PortOpening& port)
{
    return (endCorrectionFactor(port.innerEnd) + endCorrectionFactor(port.outerEnd)) * radiusOf(port);
}

double portInertance(const PortOpening& port, const Air& air)
{
    return air.rho * (port.length + endCorrections(port)) / (countOf(port) * areaOf(port));
}

double helmholtzFrequency(double Cab, double M) { return 1 / (2 * pi * std::sqrt(Cab * M)); }

Result<double> lengthForTuning(const PortOpening& port, double fb, double Cab, const Air& air)
{
    constexpr double longest = 3.0;  // m, what the project file allows
    if (!(fb > 0) || !std::isfinite(fb)) return fail("fb", "a tuning must be above 0 Hz");
    if (!(areaOf(port) > 0)) return fail("diameter_mm", "the port has no area; its bore must be above 0 mm");
    const double w = 2 * pi * fb;
    const double length = countOf(port) * areaOf(port) / (air.rho * w * w * Cab) - endCorrections(port);
    const std::string wanted = formatQuantity(fb, Dimension::frequency);
    if (length < 0) {
        PortOpening hole = port;
        hole.length = 0;
        const double highest = helmholtzFrequency(Cab, portInertance(hole, air));
        return fail("fb", "no length gives " + wanted + ": even a hole without a tube tunes to " +
                              formatQuantity(highest, Dimension::frequency) + "; use a wider bore or more tubes");
    }
    if (length > longest)
        return fail("fb", wanted + " would need a tube " + formatQuantity(length, Dimension::length) +
                              " long, and 3000 mm is the longest taken; use a narrower bore or fewer tubes");
    return length;
}

double startingBore(double fb, double displacedVolume) { return std::sqrt(0.8 * fb * displacedVolume * 4 / pi); }

}  // namespace portwright
