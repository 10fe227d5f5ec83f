// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/free_run.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

KnownRun knownRun(const PortOpening& port, const Cavity& cavity, double clearance)
{
    KnownRun run;
    PortSpace& s = run.space;
    const RoomForPort measured = cavity.roomForPort.value_or(RoomForPort{});
    s.empty = roomOf(cavity);
    if (s.empty.netVolume > 0) s.empty.netVolume += outlineVolume(port);
    s.straight = measured.straight, s.across = measured.across, s.clearance = clearance;
    const CavityRoom& sizes = s.empty;
    const bool section = sizes.width > 0 && sizes.breadth > 0 && sizes.netVolume > 0;
    run.straight = measured.straight || sizes.depth > 0 || section;
    // Of several tubes or a slot one of the two sizes may be no way to take; several rows have none.
    const bool oneKnown = sizes.width > 0 || sizes.breadth > 0;
    const auto mouth = bentMouthOf(port, s);
    run.across = measured.across ||
                 (oneKnown && (!mouth || mouth->alongWidth || mouth->alongBreadth || acrossRun(port, s) == 0));
    constexpr double any = 1e3;  // m
    if (!run.across) s.across = any;
    if (!run.straight) s.straight = any;
    return run;
}

std::string wordsOf(const PortOpening& port, const KnownRun& run, const std::function<std::string(double)>& lengthWords)
{
    const std::string down = lengthWords(straightRun(run.space)), across = lengthWords(acrossRun(port, run.space));
    if (run.straight && run.across)
        return fmt::format("the {} behind the wall and {} across that there are", down, across);
    if (run.straight) return fmt::format("the {} behind the wall that there are", down);
    return run.across ? fmt::format("the {} across that there are", across) : "";
}

namespace {

std::optional<RunTrouble> straightTrouble(const PortOpening& port, const KnownRun& run, UnitSystem units)
{
    const auto length = [&](double x) { return formatQuantity(x, Dimension::length, units); };
    const double inside = insideOf(port), all = straightRun(run.space), free = freeBefore(port, run.space);
    constexpr double slack = 1e-6;
    if (!run.straight || inside + free <= all + slack) return std::nullopt;
    if (inside >= all - slack)
        return RunTrouble{fmt::format("it reaches {} in, where {} are free", length(inside), length(all))};
    return RunTrouble{fmt::format("of the {} behind its wall it leaves {} before its end, less than one bore ({})",
                                  length(all), length(all - inside), length(free)),
                      true};
}

bool isRightAngle(const Bend& bend) { return std::abs(bend.angle - pi / 2) < 1e-3; }

std::optional<RunTrouble> bentTrouble(const PortOpening& port, const KnownRun& run, UnitSystem units)
{
    if (port.bends.size() > 2 || !std::all_of(port.bends.begin(), port.bends.end(), isRightAngle)) return std::nullopt;
    if (legsIn(port, run.space)) return std::nullopt;
    PortSpace space = run.space;
    space.outside = port.length - insideOf(port);
    const double longest = longestPort(port, int(port.bends.size()), port.bends.front().radius, space);
    const auto length = [&](double x) { return formatQuantity(x, Dimension::length, units); };
    RunTrouble trouble;
    trouble.words = longest > 0 ? fmt::format("it does not go into {}: {} is the longest that does, and it is {} long",
                                              wordsOf(port, run, length), length(longest), length(port.length))
                                : fmt::format("bends of {} do not go into {}", length(port.bends.front().radius),
                                              wordsOf(port, run, length));
    space.clearance = 0;
    trouble.tight = legsIn(port, space).has_value();
    return trouble;
}

}  // namespace

std::optional<RunTrouble> whyNotInRun(const PortOpening& port, const Cavity& cavity, UnitSystem units)
{
    if (!cavity.roomForPort || !(cavity.roomForPort->straight || cavity.roomForPort->across)) return std::nullopt;
    const KnownRun run = knownRun(port, cavity);
    return port.bends.empty() ? straightTrouble(port, run, units) : bentTrouble(port, run, units);
}

}  // namespace portwright
