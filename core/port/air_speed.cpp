// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/air_speed.h"

#include "core/port/separation.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright {

namespace {

constexpr double quiet = 10, sharpEnds = 17, flaredEnds = 25, stop = 34;  // m/s peak
constexpr double layerTurns = 550;
constexpr double compressible = 0.1;  // Mach

const char* const practice = "common practice, no source";
const char* const hino =
    "M. Hino, M. Sawamoto, S. Takasu, J. Fluid Mech. 75 (1976) 193: about 550 (from memory; 400 to 550 elsewhere)";
const char* const peters = "J. H. M. Disselhorst, L. van Wijngaarden, J. Fluid Mech. 99 (1980) 293; M. C. A. M. Peters "
                           "et al., J. Fluid Mech. 256 (1993) 499: order of magnitude (from memory)";

double hydraulicDiameter(const PortOpening& port)
{
    if (port.shape == PortShape::round) return port.diameter;
    return 2 * port.width * port.height / (port.width + port.height);
}

double smallerFlare(const PortOpening& port)
{
    return std::min(port.innerFlare.value_or(0), port.outerFlare.value_or(0));
}

}  // namespace

AirSpeedNumbers airSpeedNumbers(const PortOpening& port, double speed, double frequency, const Air& air)
{
    const double w = 2 * pi * frequency, nu = air.mu / air.rho, d = hydraulicDiameter(port);
    const auto over = [&](double length) {
        return speed > 0 ? w * length / speed : std::numeric_limits<double>::infinity();
    };
    return {.mach = speed / air.c,
            .reynolds = speed * d / nu,
            .layerReynolds = speed * std::sqrt(2 / (w * nu)),
            .stroke = speed / w,
            .boreStrouhal = over(d / 2),
            .edgeStrouhal = smallerFlare(port) > 0 ? over(smallerFlare(port)) : 0};
}

std::string figureOf(const AirSpeedMeaning& m)
{
    if (!(m.value > 0)) return "0";
    const int digits = 2 - static_cast<int>(std::floor(std::log10(m.value)));
    const double step = std::pow(10.0, -digits);
    return fmt::format("{:.{}f}", digits < 0 ? std::round(m.value / step) * step : m.value, std::max(0, digits));
}

std::vector<AirSpeedMeaning> meaningsOf(const AirSpeedNumbers& n)
{
    return {{"Mach",
             n.mach < compressible ? "the air hardly compresses in the port" : "too fast: a tenth of the sound speed",
             practice, n.mach},
            {"Reynolds",
             "inertia over friction in the bore; 2300 is the border in steady flow, oscillating flow goes by the "
             "wall layer",
             "steady pipe flow: O. Reynolds, Phil. Trans. 174 (1883) 935", n.reynolds},
            {"Reynolds of the wall layer",
             n.layerReynolds < layerTurns
                 ? "the layer at the wall is laminar, as the losses are reckoned"
                 : "the layer at the wall is turbulent in part of each period: it loses more than "
                   "is reckoned",
             hino, n.layerReynolds},
            {"Strouhal of the bore",
             n.boreStrouhal < 1 ? "the air moves by more than half a bore: each end loses as in steady flow"
                                : "the air moves by less than half a bore: the ends lose less than in steady flow",
             peters, n.boreStrouhal},
            {"Strouhal of the edge",
             n.edgeStrouhal == 0  ? "a sharp edge: the flow leaves it at any speed"
             : n.edgeStrouhal < 1 ? "the air moves by more than the flare's radius: the flow leaves the wall there"
                                  : "the air moves by less than the flare's radius: the flow follows the flare",
             peters, n.edgeStrouhal}};
}

std::vector<AirSpeedMark> airSpeedMarks(const PortOpening& port, double frequency, const Air& air)
{
    const double w = 2 * pi * frequency, nu = air.mu / air.rho;
    const double best = recommendedAirSpeed(port), flare = smallerFlare(port);
    std::vector<AirSpeedMark> marks{
        {w * hydraulicDiameter(port) / 2,
         "from here on the ends lose as in steady flow: the air moves by more than half a bore", peters},
        {quiet, "quiet below",
         "common practice; low compression below it is a reading at second hand of A. Salvatti, A. "
         "Devantier, D. J. Button, JAES 50 (2002) 19"},
        {best, best > sharpEnds ? "recommended limit with these flares" : "recommended limit with these ends",
         "common practice, no source; 17\u00A0m/s is 5\u00A0% of the sound speed, what Small, JAES 21 (1973) 438, aims "
         "at "
         "(from memory)"},
        {layerTurns * std::sqrt(w * nu / 2), "from here on the layer at the wall turns turbulent", hino},
        {stop, "stop: 10\u00A0% of the sound speed", practice}};
    if (flare > 0) marks.push_back({w * flare, "from here on the flow leaves flares of this radius", peters});
    std::stable_sort(marks.begin(), marks.end(), [](const auto& a, const auto& b) { return a.speed < b.speed; });
    return marks;
}

double recommendedAirSpeed(const PortOpening& port)
{
    const double share = std::min(flareShare(port, port.innerFlare), flareShare(port, port.outerFlare));
    return sharpEnds + share * (flaredEnds - sharpEnds);
}

}  // namespace portwright
