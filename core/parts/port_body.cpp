// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/port_body.h"

#include "core/parts/blanks.h"
#include "core/parts/shop_length.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr double usualWall = 3e-3;       // m, common practice, no source
constexpr double farthestScrews = 0.08;  // m between neighbours, common practice, no source

std::vector<Point2> roundScrews(const PortBody& body, int wanted)
{
    const double radius = body.radius + body.screw;
    const int count = wanted > 0 ? wanted : std::max(4, int(std::ceil(2 * pi * radius / farthestScrews)));
    std::vector<Point2> places;
    for (int i = 0; i < count; ++i) {
        const double turn = 2 * pi * (i + 0.5) / count;  // none in line with the row of several ports
        places.push_back({radius * std::cos(turn), radius * std::sin(turn)});
    }
    return places;
}

/// One at each corner, the rest along the sides, shared out so that the widest gap is least.
std::vector<Point2> slotScrews(const PortBody& body, int wanted)
{
    const double x = body.halfWidth + body.screw * std::sqrt(0.5), y = body.halfHeight + body.screw * std::sqrt(0.5);
    std::array<int, 2> between{0, 0};  // along the width, along the height; on both sides alike
    const auto gap = [&](std::size_t k) { return 2 * (k == 0 ? x : y) / (between[k] + 1); };
    const auto widerOne = [&] { return gap(0) >= gap(1) ? std::size_t{0} : std::size_t{1}; };
    if (wanted > 0)
        for (int left = wanted - 4; left >= 2; left -= 2)
            ++between[widerOne()];
    else
        while (gap(widerOne()) > farthestScrews)
            ++between[widerOne()];
    std::vector<Point2> places{{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    for (int i = 1; i <= between[0]; ++i)
        for (const double side : {-1.0, 1.0})
            places.push_back({-x + i * gap(0), side * (body.halfHeight + body.screw)});
    for (int i = 1; i <= between[1]; ++i)
        for (const double side : {-1.0, 1.0})
            places.push_back({side * (body.halfWidth + body.screw), -y + i * gap(1)});
    return places;
}

Result<void> addFlange(PortBody& body, const PartOptions& options)
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
    body.rim = body.screw + options.land;
    body.screwRadius = options.screwDiameter / 2;
    body.screws = body.shape == PortShape::round ? roundScrews(body, options.screws) : slotScrews(body, options.screws);
    for (std::size_t i = 0; i < body.screws.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (std::hypot(body.screws[i][0] - body.screws[k][0], body.screws[i][1] - body.screws[k][1]) <
                3 * body.screwRadius)
                return fail("", fmt::format("{} screws of {} come too close to each other; use fewer",
                                            body.screws.size(), shopLength(options.screwDiameter, options.units)));
    return {};
}

}  // namespace

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

double outlineHalfAcross(const PortBody& body, double offset)
{
    return (body.shape == PortShape::round ? body.radius : body.halfWidth) + offset;
}

Result<PortBody> printedBody(const PortOpening& port, const PartOptions& options)
{
    if (const auto fine = checkPort(port); !fine) return tl::unexpected(fine.error());
    if (const auto fine = checkOptions(options); !fine) return tl::unexpected(fine.error());
    if (!port.bends.empty())
        return fail("bends", "a bent port is not printed in one piece; it is made of straight pieces and stock bends");
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
    body.length = port.length;
    body.wall = options.wall.value_or(port.wall.value_or(0) > 0 ? *port.wall : usualWall);
    if (!(body.wall >= 0.8e-3 && body.wall <= 20e-3))
        return fail("wall_mm", fmt::format("a wall of {} is not printed; allowed is 0.8 to 20 mm",
                                           shopLength(body.wall, options.units)));
    body.outerFlare = port.outerFlare.value_or(0), body.innerFlare = port.innerFlare.value_or(0);
    if (!options.flange || port.outerEnd != TubeEnd::flush) {
        body.hole = std::max(std::min(body.outerFlare, body.innerFlare), body.wall) + options.fit / 2;
        return body;
    }
    if (const auto fine = addFlange(body, options); !fine) return tl::unexpected(fine.error());
    return body;
}

}  // namespace portwright
