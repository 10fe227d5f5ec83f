// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/clearances.h"

#include "core/quantity/quantity.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double quarterTurn = pi / 2;

std::string millimetres(double x) { return formatQuantity(x, Dimension::length); }

double compactSide(const CavityRoom& room) { return std::cbrt(std::max(room.netVolume, 0.0)); }

// Across its axis, in the plane of its bends.
double thickness(const PortOpening& port)
{
    const Outline outline = outlineOf(port);
    return std::min(outline.width, outline.height);
}

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

// Room that one tube needs in the wall, flares and the gap to its neighbour with it.
Outline needed(const PortOpening& port)
{
    const Outline outline = outlineOf(port);
    const double flare = std::max({port.innerFlare.value_or(0), port.outerFlare.value_or(0)});
    const double lip = 2 * std::max(flare - wallOf(port), 0.0);
    return {outline.width + lip, outline.height + lip};
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

double freeBefore(const PortOpening& port, const PortSpace& s) { return s.clearance * 2 * radiusOf(port); }

double longestPort(const PortOpening& port, int bends, double R, const PortSpace& s)
{
    const double free = freeBefore(port, s), half = thickness(port) / 2, through = s.wall + s.outside;
    const double straight = straightRun(s);
    if (bends == 0) return std::max(straight - free, 0.0) + through;
    if (!(R > half)) return 0;
    const double down = straight - R - half;  // to the first bend, its outside at the wall opposite
    if (down < 0) return 0;
    if (bends == 1) {
        const double on = acrossRun(s) - half - R - free;
        return on < 0 ? 0 : through + down + quarterTurn * R + on;
    }
    const double over = acrossRun(s) - 2 * half - 2 * R, back = down - free;
    return over < 0 || back < 0 ? 0 : through + down + 2 * quarterTurn * R + over + back;
}

double shortestPort(int bends, double R, const PortSpace& s)
{
    return bends * quarterTurn * R + (bends > 0 ? s.wall : 0);
}

std::optional<std::string> whyNoPlace(const PortOpening& port, const PortSpace& s)
{
    const Outline one = needed(port), place = placeFor(s);
    const int n = countOf(port);
    for (int columns = n; columns >= 1; --columns) {
        const int rows = (n + columns - 1) / columns;
        const double width = columns * one.width + (columns - 1) * s.between;
        const double height = rows * one.height + (rows - 1) * s.between;
        constexpr double slack = 1e-9;
        if ((width <= place.width + slack && height <= place.height + slack) ||
            (height <= place.width + slack && width <= place.height + slack))
            return std::nullopt;
    }
    const std::string each =
        n > 1 ? fmt::format("{} mouths of {} x {}", n, millimetres(one.width), millimetres(one.height))
              : fmt::format("a mouth of {} x {}", millimetres(one.width), millimetres(one.height));
    return fmt::format("{} {} not go into the {} x {} there are for {}", each, n > 1 ? "do" : "does",
                       millimetres(place.width), millimetres(place.height), n > 1 ? "them" : "it");
}

PortOpening madePort(PortOpening port, double length, int bends, double bendRadius, const PortSpace& s)
{
    port.length = length;
    port.bends.assign(std::size_t(bends), Bend{quarterTurn, bendRadius, {}});
    // As much of it outside as may be: inside it takes volume and room.
    const double out = std::min(length, s.wall + s.outside);
    port.inside = length - out;
    port.innerEnd = *port.inside > 0 ? TubeEnd::free : TubeEnd::flush;
    port.outerEnd = s.outside > 0 ? TubeEnd::free : TubeEnd::flush;
    if (countOf(port) > 1) port.spacing = needed(port).width + s.between;
    if (s.straight && bends == 0) port.obstacle = std::max(straightRun(s) - *port.inside, 1e-3);
    return port;
}

}  // namespace portwright
