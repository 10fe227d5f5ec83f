// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/verdicts.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright {

namespace {

// NIOSH 98-126 (1998): 8 h at 85 dB(A), halved with each 3 dB.
std::string dailyTime(double level)
{
    const double minutes = std::min(480 / std::exp2((level - 85) / 3), 24 * 60.0);  // rounded down: never towards harm
    if (minutes >= 600) return fmt::format("{:.0f}\u00A0h", std::floor(minutes / 60));
    if (minutes >= 2) return fmt::format("{:.0f}\u00A0min", std::floor(minutes));
    return fmt::format("{:.0f}\u00A0s", std::max(1.0, std::floor(minutes * 60)));
}

}  // namespace

double loudestShown(const Curves& curves)
{
    double loudest = -std::numeric_limits<double>::infinity();
    for (Eigen::Index i = 0; i < curves.frequency.size(); ++i)
        if (const double f = curves.frequency[i]; f >= 20 && f <= 2000 && std::isfinite(curves.level[i]))
            loudest = std::max(loudest, curves.level[i]);
    return loudest;
}

std::vector<std::string> cautions(double loudestExact, UnitSystem units)
{
    const double loudest = std::round(loudestExact);  // the time is that of the figure shown
    std::vector<std::string> list;
    if (std::isfinite(loudest) && loudest >= 80)
        list.push_back(fmt::format(
            "Hearing: up to {:.0f}\u00A0dB is shown at the rider. NIOSH 98-126 allows {} a day at {:.0f}\u00A0dB(A), "
            "and the "
            "wind comes on top. An estimate, \u00B15\u00A0dB or worse, not a measurement: wear plugs where legal, keep "
            "traffic and sirens audible, turn down if ears ring.",
            loudest, dailyTime(loudest), loudest));
    else
        list.push_back("Hearing: levels are estimates, \u00B15\u00A0dB or worse. Wind alone can pass a day's safe dose "
                       "in minutes: wear plugs where "
                       "legal, keep traffic and sirens audible, turn down if ears ring.");
    list.push_back(
        "Cutting: battery negative off first. Find fuel, brake, clutch and coolant lines and wiring on both sides; no "
        "sparks near "
        "vapour; never cut frame, crash bars or hinges. Check full lock, suspension travel and cables afterwards.");
    list.push_back("Test tones: start 20\u00A0dB down, high-pass on, short; below its tuning a ported driver has no "
                   "air spring. Plugs in the shop "
                   "too. Never adjust while riding.");
    list.push_back(
        fmt::format("A fuse within {} of the battery protects the wire. The makers' manuals, local codes and "
                    "licensed practice come first; this is a design aid, and the person at the bike decides.",
                    units == UnitSystem::us ? "18\u00A0in" : "0.45\u00A0m"));
    return list;
}

}  // namespace portwright
