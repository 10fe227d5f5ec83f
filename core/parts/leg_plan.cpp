// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/leg_plan.h"

#include "core/parts/shop_length.h"
#include "core/port/free_run.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

/// With what is cut long at its inner end.
PortOpening cutLongBy(PortOpening port, double more)
{
    port.inside = insideOf(port) + more;
    port.length += more;
    port.innerFlare = port.innerFlare.value_or(0) + more;  // stays a straight piece of the last leg
    return port;
}

std::string mouthWords(const PortOpening& port, const KnownRun& room, const PartOptions& options)
{
    const auto mouth = bentMouthOf(port, room.space);
    if (!mouth || !room.across) return "";
    return " Drill its mouth " + wordsOf(*mouth, shopLength(mouth->fromWall, options.units)) + ".";
}

std::string rangeWords(const PortOpening& port, const KnownRun& room, const PartOptions& options)
{
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    const std::string down = mm(straightRun(room.space)), across = mm(acrossRun(port, room.space));
    std::string words =
        room.straight && room.across ? fmt::format("Legs keep to {} behind the wall and {} across", down, across)
        : room.straight
            ? fmt::format("Legs keep to {} behind the wall; how far they may run across is not known", down)
            : fmt::format("Legs keep to {} across; how far they may run behind the wall is not known", across);
    if (port.bends.size() > 1) return words + "; measure before sawing.";
    const auto legs = legRoom(port, port.length - insideOf(port), room.space);
    const double all = port.length - port.bends[0].angle * port.bends[0].radius, flare = port.outerFlare.value_or(0);
    const double low = std::max(legs[0].shortest, all - legs[1].longest) - flare;
    const double high = std::min(legs[0].longest, all - legs[1].shortest) - flare;
    return words + fmt::format("; the straight before the bend may be {} to {}, if the one after it makes up for it.",
                               mm(std::max(low, 0.0)), mm(std::max(high, 0.0)));
}

bool isNoRightAngle(const Bend& bend) { return std::abs(bend.angle - pi / 2) > 1e-3; }

}  // namespace

std::optional<LegPlan> legPlan(const PortOpening& port, const Cavity& cavity, const PartOptions& options)
{
    if (port.bends.empty()) return std::nullopt;
    const KnownRun room = knownRun(port, cavity, options.clearance);
    LegPlan plan{equalLegs(port), {}, {}};
    if (!room.straight && !room.across) {
        plan.words = "How far the port may run behind its wall and across is not known: the straights are equal, and "
                     "may be shared out otherwise if their sum stays.";
        return plan;
    }
    if (port.bends.size() > 2 || std::any_of(port.bends.begin(), port.bends.end(), isNoRightAngle)) {
        plan.words = "Bends other than one or two right angles are not laid out in the room: the straights are equal, "
                     "and may be shared out otherwise if their sum stays.";
        return plan;
    }
    if (const auto longer = legsIn(cutLongBy(port, options.cutLong), room.space)) {
        plan.legs = *longer;
        plan.legs.back() -= options.cutLong;
        plan.words = rangeWords(port, room, options) + mouthWords(port, room, options);
        return plan;
    }
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    const std::string run = wordsOf(port, room, mm);
    if (const auto legs = legsIn(port, room.space)) {
        plan.legs = *legs;
        plan.words = rangeWords(port, room, options) + mouthWords(port, room, options);
        plan.trouble =
            fmt::format("cut long by {} the port does not go into {}; cut it less long", mm(options.cutLong), run);
        return plan;
    }
    const int bends = int(port.bends.size());
    PortSpace space = room.space;
    space.outside = port.length - insideOf(port);
    const double longest = longestPort(port, bends, port.bends.front().radius, space);
    plan.words = "The straights are equal and do not fit.";
    plan.trouble = longest > 0
                       ? fmt::format("the bent port does not go into {}: {} is the longest that does, and it is "
                                     "{} long",
                                     run, mm(longest), mm(port.length))
                       : fmt::format("bends of {} do not go into {}", mm(port.bends.front().radius), run);
    return plan;
}

}  // namespace portwright
