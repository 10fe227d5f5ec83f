// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/clearances.h"

#include "core/quantity/quantity.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright {

namespace {

constexpr double quarterTurn = pi / 2;

double compactSide(const CavityRoom& room) { return std::cbrt(std::max(room.netVolume, 0.0)); }

// Across its axis, in the plane of its bends: a slot is folded over its flat side.
double thickness(const PortOpening& port) { return outlineOf(port).height; }

// Of the wall that the port goes through.
Outline placeFor(const PortSpace& s)
{
    const double side = std::sqrt(s.empty.netVolume / straightRun(s));
    const double width = s.empty.width > 0 ? s.empty.width : s.empty.breadth > 0 ? side * side / s.empty.breadth : side;
    const double height = s.empty.breadth > 0 ? s.empty.breadth
                          : s.empty.width > 0 ? side * side / s.empty.width
                                              : side;
    return {s.mouthWidth.value_or(width), s.mouthHeight.value_or(height)};
}

double legsLength(const PortOpening& port) { return port.length - arcLength(port); }

// Room that one tube needs in the wall, flares and the gap to its neighbour with it.
Outline needed(const PortOpening& port)
{
    const Outline outline = outlineOf(port);
    const double flare = std::max({port.innerFlare.value_or(0), port.outerFlare.value_or(0)});
    const double lip = 2 * std::max(flare - wallOf(port), 0.0);
    return {outline.width + lip, outline.height + lip};
}

// As the tubes of one port are set apart.
double spacingIn(const PortOpening& port, const PortSpace& s) { return needed(port).width + s.between; }

// The way across after a bend, outline to clearance.
struct Across {
    double run = 0;               // from the wall that the port turns away from, or as much as if its mouth stood there
    double size = 0;              // of the cavity along it, 0: not known, or the run was measured
    std::optional<double> given;  // the mouth's place along it
    enum class Along { any, width, breadth } along = Along::any;
};

// Tubes that stand in a row turn across the row: along it they would meet. A slot turns over its flat side.
Across acrossOf(PortOpening port, const PortSpace& s)
{
    if (s.across) return {*s.across, 0, {}, Across::Along::any};
    if (countOf(port) > 1 && !port.spacing) port.spacing = spacingIn(port, s);
    constexpr double endless = 1e3;
    const Arrangement group = arrangementOf(port, s.empty.width > 0 ? s.empty.width : endless);
    const bool alongWidth = group.columns == 1 && port.shape == PortShape::round, alongBreadth = group.rows() == 1;
    const double width = s.empty.width, breadth = s.empty.breadth, half = thickness(port) / 2;
    Across best;
    const auto take = [&](Across::Along along, double size, const std::optional<double>& at) {
        const double run = at ? std::max(*at, size - *at) + half : size;
        if (run > best.run) best = {run, size, at, along};
    };
    if (alongWidth && width > 0) take(Across::Along::width, width, port.x);
    if (alongBreadth && breadth > 0) take(Across::Along::breadth, breadth, port.y);
    if (best.run > 0 || !(alongWidth || alongBreadth)) return best;
    const double other = std::max(width, breadth);  // which is not the way that it may take
    if (!(other > 0)) return {compactSide(s.empty), 0, {}, Across::Along::any};
    if (!(s.empty.depth > 0)) return {s.empty.netVolume / (straightRun(s) * other), 0, {}, Across::Along::any};
    take(alongWidth ? Across::Along::width : Across::Along::breadth, s.empty.netVolume / (s.empty.depth * other),
         alongWidth ? port.x : port.y);
    return best;
}

}  // namespace

double straightRun(const PortSpace& s)
{
    const double depth = s.empty.depth > 0 ? s.empty.depth
                         : s.empty.width > 0 && s.empty.breadth > 0
                             ? s.empty.netVolume / (s.empty.width * s.empty.breadth)
                             : compactSide(s.empty);
    return std::min(s.straight.value_or(depth), s.empty.depth > 0 ? s.empty.depth : 1e9);
}

double acrossRun(const PortSpace& s)
{
    const double widest = std::max(s.empty.width, s.empty.breadth);
    return s.across.value_or(widest > 0 ? widest : compactSide(s.empty));
}

double acrossRun(const PortOpening& port, const PortSpace& s) { return acrossOf(port, s).run; }

std::optional<BentMouth> bentMouthOf(const PortOpening& port, const PortSpace& s)
{
    if (port.bends.empty()) return std::nullopt;
    const Across across = acrossOf(port, s);
    BentMouth mouth;
    mouth.fromWall = across.given ? std::min(*across.given, across.size - *across.given) : thickness(port) / 2;
    mouth.alongWidth = across.along == Across::Along::width;
    mouth.alongBreadth = across.along == Across::Along::breadth;
    return mouth;
}

std::string wordsOf(const BentMouth& mouth, const std::string& fromWall)
{
    return fmt::format("{} from the wall that it turns away from, middle of the mouth to wall{}", fromWall,
                       mouth.alongWidth     ? "; it runs on along the width"
                       : mouth.alongBreadth ? "; it runs on along the breadth"
                                            : "");
}

double freeBefore(const PortOpening& port, const PortSpace& s) { return s.clearance * 2 * radiusOf(port); }

std::vector<LegRoom> legRoom(const PortOpening& port, double through, const PortSpace& s)
{
    const double free = freeBefore(port, s), half = thickness(port) / 2, straight = straightRun(s);
    const std::size_t bends = port.bends.size();
    if (bends < 1 || bends > 2) return {};
    for (const Bend& bend : port.bends)
        if (std::abs(bend.angle - quarterTurn) > 1e-3 || !(bend.radius > half)) return {};
    const double first = port.bends.front().radius, last = port.bends.back().radius;
    const double down = straight - first - half;  // to the first bend, its outside at the wall opposite
    if (down < 0) return {};
    std::vector<LegRoom> legs{{std::max(through, port.outerFlare.value_or(0)), through + down}};
    const double across = acrossRun(port, s);
    if (bends == 2) legs.push_back({0, across - 2 * half - first - last});
    // Of two bends the last leg comes back towards the port's own wall.
    legs.push_back(
        {port.innerFlare.value_or(0), bends == 1 ? across - half - first - free : down + first - last - free});
    return std::any_of(legs.begin() + 1, legs.end(), [](const LegRoom& leg) { return leg.longest < 0; })
               ? std::vector<LegRoom>{}
               : legs;
}

std::vector<double> equalLegs(const PortOpening& port)
{
    const double outer = port.outerFlare.value_or(0), inner = port.innerFlare.value_or(0);
    const double share = (legsLength(port) - outer - inner) / double(port.bends.size() + 1);
    std::vector<double> legs(port.bends.size() + 1, share);
    legs.front() += outer, legs.back() += inner;
    return legs;
}

std::optional<std::vector<double>> legsIn(const PortOpening& port, const PortSpace& s)
{
    constexpr double slack = 1e-9;
    const double through = port.length - insideOf(port), all = legsLength(port);
    const std::vector<LegRoom> room = legRoom(port, through, s);
    if (room.empty()) return std::nullopt;
    std::vector<double> legs = equalLegs(port);
    const LegRoom &first = room.front(), &last = room.back();
    const LegRoom middle = room.size() == 3 ? room[1] : LegRoom{0, 0};
    // What comes back must end a clearance before the port's own wall: that far it may be longer than the first leg.
    const double more = room.size() == 3 ? last.longest - first.longest : 1e9;
    const double low = std::max(
        {first.shortest, all - middle.longest - last.longest, last.shortest - more, (all - middle.longest - more) / 2});
    const double high = std::min(first.longest, all - middle.shortest - last.shortest);
    if (low > high + slack) return std::nullopt;
    legs.front() = std::clamp(legs.front(), std::min(low, high), high);
    const double rest = all - legs.front(), longestLast = std::min(last.longest, legs.front() + more);
    if (room.size() == 3) {
        const double least = std::max(middle.shortest, rest - longestLast);
        legs[1] = std::clamp(legs[1], least, std::max(least, std::min(middle.longest, rest - last.shortest)));
    }
    legs.back() = rest - (room.size() == 3 ? legs[1] : 0);
    return legs;
}

double longestPort(const PortOpening& port, int bends, double R, const PortSpace& s)
{
    const double through = s.wall + s.outside;
    if (bends == 0) return std::max(straightRun(s) - freeBefore(port, s), 0.0) + through;
    PortOpening bent = port;
    bent.bends.assign(std::size_t(bends), Bend{quarterTurn, R, {}});
    double longest = bends * quarterTurn * R;
    const std::vector<LegRoom> legs = legRoom(bent, through, s);
    for (const LegRoom& leg : legs)
        longest += leg.longest;
    return legs.empty() ? 0 : longest;
}

double shortestPort(const PortOpening& port, int bends, double R, const PortSpace& s)
{
    if (bends == 0) return 0;
    const double outer = port.outerFlare.value_or(0), inner = port.innerFlare.value_or(0);
    PortOpening bent = port;
    bent.bends.assign(std::size_t(bends), Bend{quarterTurn, R, {}});
    const std::vector<LegRoom> legs = legRoom(bent, s.wall + s.outside, s);
    if (legs.empty() || legs.front().longest < outer || legs.back().longest < inner)
        return std::numeric_limits<double>::infinity();
    const double back = bends > 1 ? freeBefore(port, s) + inner : 0;
    return std::max(outer, s.wall + back) + bends * quarterTurn * R + inner;
}

std::optional<std::string> whyNoPlace(const PortOpening& port, const PortSpace& s, UnitSystem units)
{
    const auto length = [units](double x) { return formatQuantity(x, Dimension::length, units); };
    const Outline one = needed(port), place = placeFor(s);
    const int n = countOf(port);
    const bool mayTurn = sharedWallsOf(port) == 0;  // else it lies along the cavity's width
    for (int columns = n; columns >= 1; --columns) {
        const int rows = (n + columns - 1) / columns;
        const double width = columns * one.width + (columns - 1) * s.between;
        const double height = rows * one.height + (rows - 1) * s.between;
        constexpr double slack = 1e-6;  // of sizes that follow from a volume
        if ((width <= place.width + slack && height <= place.height + slack) ||
            (mayTurn && height <= place.width + slack && width <= place.height + slack))
            return std::nullopt;
    }
    const std::string each = n > 1 ? fmt::format("{} mouths of {} x {}", n, length(one.width), length(one.height))
                                   : fmt::format("a mouth of {} x {}", length(one.width), length(one.height));
    return fmt::format("{} {} not go into the {} x {} there are for {}", each, n > 1 ? "do" : "does",
                       length(place.width), length(place.height), n > 1 ? "them" : "it");
}

PortOpening madePort(PortOpening port, double length, int bends, double bendRadius, const PortSpace& s)
{
    port.length = length;
    port.bends.assign(std::size_t(bends), Bend{quarterTurn, bendRadius, {}});
    // As much of it outside as may be, bends inside: inside it takes volume and room.
    const double back = bends > 1 ? freeBefore(port, s) + port.innerFlare.value_or(0) : 0;
    const double beyond = bends > 0 ? bends * quarterTurn * bendRadius + port.innerFlare.value_or(0) + back : 0;
    const double out = std::clamp(length - beyond, 0.0, s.wall + s.outside);
    port.inside = length - out;
    port.innerEnd = *port.inside > 0 ? TubeEnd::free : TubeEnd::flush;
    port.outerEnd = s.outside > 0 ? TubeEnd::free : TubeEnd::flush;
    if (countOf(port) > 1) port.spacing = spacingIn(port, s);
    // Bent it is right against the wall that it turns away from: so far goes what the room across is reckoned by.
    if (bends > 0 && !port.x && !port.y) {
        const Across across = acrossOf(port, s);
        if (across.along == Across::Along::width) port.x = thickness(port) / 2;
        if (across.along == Across::Along::breadth) port.y = thickness(port) / 2;
    }
    if (s.straight && bends == 0) port.obstacle = std::max(straightRun(s) - *port.inside, 1e-3);
    return port;
}

}  // namespace portwright
