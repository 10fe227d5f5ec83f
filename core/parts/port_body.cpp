// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/port_body.h"

#include "core/parts/blanks.h"
#include "core/parts/shop_length.h"
#include "core/port/clearances.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr double usualWall = 3e-3;       // m, common practice, no source
constexpr double farthestScrews = 0.08;  // m between neighbours, common practice, no source

/// Where one comes to from the right end, counterclockwise around a line along x, at a distance from it.
Point2 aroundLine(double half, double radius, double way)
{
    const double end = radius * pi / 2;
    if (way > 2 * end + 2 * half) {  // the lower half is the upper one turned around
        const Point2 p = aroundLine(half, radius, way - 2 * end - 2 * half);
        return {-p[0], -p[1]};
    }
    if (way > end && way < end + 2 * half) return {half - (way - end), radius};
    const double turn = (way <= end ? way : way - 2 * half) / radius;
    return {(way <= end ? half : -half) + radius * std::cos(turn), radius * std::sin(turn)};
}

/// Evenly spaced along a circle, or around several bores.
std::vector<Point2> roundScrews(const PortBody& body, std::optional<int> wanted)
{
    const FlangeCore core = flangeCore(body);
    const double around = core.around(body.screw);
    const int count = wanted ? *wanted : std::max(4, int(std::ceil(around / farthestScrews)));
    std::vector<Point2> places;
    places.reserve(std::size_t(count));
    for (int i = 0; i < count; ++i)  // none in line with the row of several ports
        places.push_back(aroundLine(core.halfWidth, core.radius + body.screw, around * (i + 0.5) / count));
    return places;
}

/// One at each corner, the rest along the sides, shared out so that the widest gap is least.
std::vector<Point2> slotScrews(const PortBody& body, std::optional<int> wanted)
{
    const FlangeCore core = flangeCore(body);
    const double x = core.halfWidth + body.screw * std::sqrt(0.5), y = core.halfHeight + body.screw * std::sqrt(0.5);
    std::array<int, 2> between{0, 0};  // along the width, along the height; on both sides alike
    const auto gap = [&](std::size_t k) { return 2 * (k == 0 ? x : y) / (between[k] + 1); };
    const auto widerOne = [&] { return gap(0) >= gap(1) ? std::size_t{0} : std::size_t{1}; };
    if (wanted)
        for (int left = *wanted - 4; left >= 2; left -= 2)
            ++between[widerOne()];
    else
        while (gap(widerOne()) > farthestScrews)
            ++between[widerOne()];
    std::vector<Point2> places{{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    for (int i = 1; i <= between[0]; ++i)
        for (const double side : {-1.0, 1.0})
            places.push_back({-x + i * gap(0), side * (core.halfHeight + body.screw)});
    for (int i = 1; i <= between[1]; ++i)
        for (const double side : {-1.0, 1.0})
            places.push_back({side * (core.halfWidth + body.screw), -y + i * gap(1)});
    return places;
}

Result<void> addScrews(PortBody& body, const PartOptions& options)
{
    const bool slot = body.shape == PortShape::slot;
    if (slot && options.screws && (*options.screws < 4 || *options.screws % 2 != 0))
        return fail("", fmt::format("{} screws are wanted around a slot, which takes one at each corner and pairs "
                                    "between them: an even number from 4 on",
                                    *options.screws));
    body.screws = slot ? slotScrews(body, options.screws) : roundScrews(body, options.screws);
    for (std::size_t i = 0; i < body.screws.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (std::hypot(body.screws[i][0] - body.screws[k][0], body.screws[i][1] - body.screws[k][1]) <
                3 * body.screwRadius)
                return fail("", fmt::format("{} screws of {} come too close to each other; use fewer",
                                            body.screws.size(), shopLength(options.screwDiameter, options.units)));
    return {};
}

/// One flange for all tubes where each could not have its own.
Result<void> shareFlange(PortBody& body, const PortOpening& port, const PartOptions& options)
{
    if (countOf(port) == 1 || !port.spacing) return {};
    const double bore = body.shape == PortShape::round ? 2 * body.radius : 2 * body.halfWidth;
    if (*port.spacing >= bore + 2 * body.rim) return {};
    constexpr double least = 1e-3;  // m of flange between mouths, and of air between tubes
    const double needed = std::max(bore + 2 * std::max(body.hole, body.outerFlare), bore + 2 * body.wall) + least;
    if (*port.spacing < needed)
        return fail("spacing_mm",
                    fmt::format("the ports' centres are {} apart, and printed side by side on one flange they need {}; "
                                "set them wider apart (Opening, Place, Spacing), or print a thinner wall",
                                shopLength(*port.spacing, options.units), shopLength(needed, options.units)));
    body.tubes = countOf(port), body.spacing = *port.spacing;
    return {};
}

Result<void> addFlange(PortBody& body, const PortOpening& port, const PartOptions& options)
{
    body.flange = std::max(options.flangeThickness, body.wall);
    if (!(body.flange < body.length - std::max(body.innerFlare, 1e-3)))
        return fail("length_mm",
                    fmt::format("the port is {} long, shorter than its flange of {} and what follows it; "
                                "such a port is a hole, or wants a thinner flange",
                                shopLength(body.length, options.units), shopLength(body.flange, options.units)));
    const double behind =
        std::max(outsideOfFlare(body.outerFlare, body.wall, body.flange), std::max(body.innerFlare, body.wall));
    body.hole = behind + options.fit / 2;
    body.screw = std::max(body.hole, body.outerFlare) + options.land;
    const bool glued = options.screws == 0;
    body.rim = body.screw + (glued ? 0 : options.land);
    if (const auto shared = shareFlange(body, port, options); !shared) return shared;
    if (glued) return {};
    body.screwRadius = options.screwDiameter / 2;
    return addScrews(body, options);
}

/// m from the centre line to the outside, in the plane of the bends.
double halfInPlane(const PortBody& body, double offset)
{
    return (body.shape == PortShape::round ? body.radius : body.halfHeight) + offset;
}

/// The same body seen from its inner mouth.
PortBody turnedAround(PortBody body)
{
    std::swap(body.outerFlare, body.innerFlare);
    body.flange = 0;
    std::reverse(body.bends.begin(), body.bends.end());
    for (BodyBend& bend : body.bends)
        bend.from = body.length - bend.to();
    return body;
}

/// Whether what comes after the first bend runs into what stands wide at the outer mouth. Seen in the plane of the
/// bends, of which the sections are lines: exact for straights, and close enough steps in bends.
bool comesBackInto(const PortBody& body, double high, double half)
{
    if (!(high > 0)) return false;
    const double start = body.bends.front().from, plain = halfInPlane(body, body.wall);
    constexpr int steps = 400;
    for (int i = 1; i <= steps; ++i) {
        const double along = start + (body.length - start) * i / steps, left = body.length - along;
        const BodyFrame f = frameAt(body, along);
        const double reach = left < body.innerFlare ? halfInPlane(body, std::max(body.innerFlare, body.wall)) : plain;
        const double low = f.z - std::abs(std::sin(f.turn)) * reach, near = f.y - std::abs(std::cos(f.turn)) * reach;
        if (low < high - 1e-9 && near < half) return true;
    }
    return false;
}

Result<void> checkSpread(const PortBody& body)
{
    const std::string advice = "give the bends a wider radius or the legs another length";
    const bool flange = body.flange > 0;
    const double mouth = std::max(body.outerFlare, body.wall);
    if (comesBackInto(body, flange ? std::max(body.flange, body.outerFlare) : body.outerFlare,
                      halfInPlane(body, flange ? body.rim : mouth)))
        return fail("bends",
                    fmt::format("the port leads back into its own {}; {}", flange ? "flange" : "outer flare", advice));
    if (comesBackInto(turnedAround(body), body.innerFlare, halfInPlane(body, std::max(body.innerFlare, body.wall))))
        return fail("bends", fmt::format("the port's inner flare stands in its own first leg; {}", advice));
    return {};
}

Result<void> addBends(PortBody& body, const PortOpening& port, const std::vector<double>& wanted,
                      const PartOptions& options)
{
    if (port.bends.empty()) return {};
    constexpr double least = 1e-3;  // m, so that the inside of a bend is a face and no crease
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    const std::vector<double> legs = wanted.size() == port.bends.size() + 1 ? wanted : equalLegs(port);
    double at = 0, turn = 0;
    for (std::size_t i = 0; i < port.bends.size(); ++i) {
        const Bend& bend = port.bends[i];
        at += legs[i], turn += bend.angle;
        const double needed = halfInPlane(body, body.wall) + least;
        if (bend.radius < needed)
            return fail(fmt::format("bends/{}", i),
                        fmt::format("a bend of {} about its centre line leaves no room for a wall of {} on its inside; "
                                    "{} or more can be printed",
                                    mm(bend.radius), mm(body.wall), mm(needed)));
        body.bends.push_back({at, bend.angle, bend.radius});
        at += bend.angle * bend.radius;
    }
    if (turn > pi + 1e-6)
        return fail("bends", fmt::format("the bends turn by {:.0f}\u00B0 in all; up to 180\u00B0 is printed, and what "
                                         "turns farther is made of straight pieces and stock bends",
                                         turn * 180 / pi));
    const double first = std::max(body.flange > 0 ? body.flange + least : 0, body.outerFlare);
    if (legs.front() < first - 1e-9)
        return fail("bends", fmt::format("the leg before the bend is {} long and must hold flange and flare, {}",
                                         mm(legs.front()), mm(first)));
    if (legs.back() < body.innerFlare - 1e-9)
        return fail("bends", fmt::format("the leg after the bend is {} long and must hold the flare of {}",
                                         mm(legs.back()), mm(body.innerFlare)));
    return checkSpread(body);
}

}  // namespace

std::array<double, 3> BodyFrame::at(const Point2& p) const
{
    return {p[0], y + p[1] * std::cos(turn), z - p[1] * std::sin(turn)};
}

BodyFrame frameAt(const PortBody& body, double along)
{
    BodyFrame f;
    double from = 0;
    const auto straight = [&](double length) { f.y += length * std::sin(f.turn), f.z += length * std::cos(f.turn); };
    for (const BodyBend& bend : body.bends) {
        if (along <= bend.from) break;
        straight(bend.from - from);
        const double turned = f.turn + std::min(along - bend.from, bend.to() - bend.from) / bend.radius;
        f.y += bend.radius * (std::cos(f.turn) - std::cos(turned));
        f.z += bend.radius * (std::sin(turned) - std::sin(f.turn));
        f.turn = turned;
        from = bend.to();
    }
    if (along > from) straight(along - from);
    return f;
}

double boreOfFlare(double flare, double z)
{
    if (z >= flare) return 0;
    return flare - std::sqrt(std::max(flare * flare - (flare - z) * (flare - z), 0.0));
}

double outsideOfFlare(double flare, double wall, double z)
{
    if (flare <= wall || z >= flare) return wall;
    if (z <= wall) return flare;
    const double inner = flare - wall;  // radius of the outside's quarter circle, about the same centre
    return flare - std::sqrt(std::max(inner * inner - (flare - z) * (flare - z), 0.0));
}

double outlineArea(const PortBody& body, double offset)
{
    if (body.shape == PortShape::round) return pi * (body.radius + offset) * (body.radius + offset);
    return 4 * body.halfWidth * body.halfHeight + 4 * (body.halfWidth + body.halfHeight) * offset +
           pi * offset * offset;
}

FlangeCore flangeCore(const PortBody& body)
{
    const double row = (body.tubes - 1) * body.spacing / 2;
    if (body.shape == PortShape::round) return {row, 0, body.radius};
    return {row + body.halfWidth, body.halfHeight, 0};
}

double FlangeCore::area(double offset) const
{
    const double out = radius + offset;
    return 4 * halfWidth * halfHeight + 4 * (halfWidth + halfHeight) * out + pi * out * out;
}

double FlangeCore::around(double offset) const { return 4 * (halfWidth + halfHeight) + 2 * pi * (radius + offset); }

Result<PortBody> printedBody(const PortOpening& port, const PartOptions& options, const std::vector<double>& legs)
{
    if (const auto fine = checkPort(port); !fine) return fail(fine.error());
    if (const auto fine = checkOptions(options); !fine) return fail(fine.error());
    if (port.sharedWalls.value_or(0) > 0)
        return fail("shared_walls",
                    "a slot that shares walls of the cavity is built in place from panels, not printed");
    if (port.length <= 0) return fail("length_mm", "the port is a mere hole of no length; there is nothing to print");
    PortBody body;
    body.shape = port.shape;
    if (port.shape == PortShape::round)
        body.radius = port.diameter / 2;
    else
        body.halfWidth = port.width / 2, body.halfHeight = port.height / 2;
    const bool flared = port.innerFlare.value_or(0) > 0;
    body.length = port.length + (flared ? 0 : options.cutLong);
    body.wall = options.wall.value_or(port.wall.value_or(0) > 0 ? *port.wall : usualWall);
    if (!(body.wall >= 0.8e-3 && body.wall <= 20e-3))
        return fail("wall_mm", fmt::format("a wall of {} is not printed; allowed is 0.8 to 20 mm",
                                           shopLength(body.wall, options.units)));
    body.outerFlare = port.outerFlare.value_or(0), body.innerFlare = port.innerFlare.value_or(0);
    if (!options.flange || port.outerEnd != TubeEnd::flush) {
        body.hole = std::max(std::min(body.outerFlare, body.innerFlare), body.wall) + options.fit / 2;
    } else if (const auto fine = addFlange(body, port, options); !fine) {
        return fail(fine.error());
    }
    if (const auto fine = addBends(body, port, legs, options); !fine) return fail(fine.error());
    return body;
}

}  // namespace portwright
