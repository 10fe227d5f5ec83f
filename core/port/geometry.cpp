// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

// Section of the outline where it stands off the bore by o: c0 + c1 o + c2 o^2.
struct Offset {
    double c0, c1, c2;
    double area(double o) const { return c0 + (c1 + c2 * o) * o; }
};
Offset offsetOf(const PortOpening& port)
{
    if (port.shape == PortShape::round) return {pi * port.diameter * port.diameter / 4, pi * port.diameter, pi};
    const OwnWalls own = ownWalls(port);
    return {port.width * port.height, own.sides * port.height + own.flats * port.width, 1.0 * own.sides * own.flats};
}

// A quarter-round flare's body: its outside is the arc of radius r - t about the same centre, then the lip.
double flareBody(const Offset& section, double r, double t)
{
    const double q = r - t;
    const double mean = r * q - pi / 4 * q * q;
    const double square = r * r * q - pi / 2 * r * q * q + 2.0 / 3 * q * q * q;
    return section.c0 * q + section.c1 * mean + section.c2 * square + section.area(r) * t;
}

}  // namespace

double arcLength(const PortOpening& port)
{
    double length = 0;
    for (const Bend& bend : port.bends)
        length += bend.angle * bend.radius;
    return length;
}

OwnWalls ownWalls(const PortOpening& port)
{
    switch (sharedWallsOf(port)) {
    case 1:
        return {2, 1};
    case 2:
        return {1, 1};
    case 3:
        return {0, 1};
    default:
        return {2, 2};
    }
}

double wallOf(const PortOpening& port) { return port.wall.value_or(0); }

double insideOf(const PortOpening& port)
{
    return std::min(port.inside.value_or(port.innerEnd == TubeEnd::free ? port.length : 0), port.length);
}

int sharedWallsOf(const PortOpening& port)
{
    return port.shape == PortShape::slot ? std::clamp(port.sharedWalls.value_or(0), 0, 3) : 0;
}

Outline boreOf(const PortOpening& port)
{
    if (port.shape == PortShape::round) return {port.diameter, port.diameter};
    return {port.width, port.height};
}

Outline outlineOf(const PortOpening& port)
{
    const OwnWalls own = ownWalls(port);
    const Outline bore = boreOf(port);
    return {bore.width + own.sides * wallOf(port), bore.height + own.flats * wallOf(port)};
}

double outlineArea(const PortOpening& port) { return offsetOf(port).area(wallOf(port)); }

double outlineVolume(const PortOpening& port)
{
    const double inside = insideOf(port), r = port.innerFlare.value_or(0), t = wallOf(port);
    if (!(inside > 0)) return 0;
    const Offset section = offsetOf(port);
    double one = section.area(t) * inside;
    // Of a flare longer than what is inside, its share.
    if (r > t) one += (flareBody(section, r, t) - section.area(t) * r) * std::min(1.0, inside / r);
    return countOf(port) * one;
}

std::vector<std::array<double, 2>> Arrangement::centres() const
{
    std::vector<std::array<double, 2>> list;
    for (int i = 0; i < count; ++i) {
        const int row = i / columns, inRow = std::min(columns, count - row * columns);
        list.push_back({(i % columns - (inRow - 1) / 2.0) * dx, row * dy - height() / 2});
    }
    return list;
}

Arrangement arrangementOf(const PortOpening& port, double roomWidth)
{
    const Outline outline = outlineOf(port);
    Arrangement a;
    a.count = countOf(port);
    a.dx = port.spacing.value_or(outline.width), a.dy = port.spacing.value_or(outline.height);
    const double lip = sharedWallsOf(port) == 3 ? 0 : std::max(port.innerFlare.value_or(0) - wallOf(port), 0.0);
    const auto fits = [&](int columns) { return (columns - 1) * a.dx + outline.width + 2 * lip <= roomWidth; };
    a.columns = fits(a.count) ? a.count : int(std::ceil(std::sqrt(a.count)));
    while (a.columns > 1 && !fits(a.columns))
        --a.columns;
    return a;
}

double bendFactor(const PortOpening& port, const Bend& bend)
{
    if (!(bend.radius > 0)) return 1;
    constexpr double sharpest = 0.999;  // a centre line inside the bore is no bend
    if (port.shape == PortShape::round) {
        const double B = std::min(port.diameter / 2 / bend.radius, sharpest);
        return (1 + std::sqrt(1 - B * B)) / 2;  // the same, without the 0/0 of a gentle bend
    }
    const double B = std::min(port.height / 2 / bend.radius, sharpest);
    return B < 1e-6 ? 1 : B / std::atanh(B);
}

double straightLength(const PortOpening& port)
{
    double length = port.length;
    for (const Bend& bend : port.bends)
        length -= (1 - bendFactor(port, bend)) * bend.angle * bend.radius;
    return std::max(length, 0.0);
}

double flareLength(double flare, double radius)
{
    return flare > 0 ? -0.434 * radius * std::pow(flare / radius, 1.30) : 0;
}

}  // namespace portwright
