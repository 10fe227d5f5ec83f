// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/shape.h"

#include "core/cavity/net_volume.h"
#include "core/port/ends.h"
#include "core/port/port_tuning.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

double square(double x) { return x * x; }

double rootBetween(double x, double x1, double a1, double x2, double a2)
{
    const double t = x2 > x1 ? (x - x1) / (x2 - x1) : 0;
    return std::sqrt(a1) + t * (std::sqrt(a2) - std::sqrt(a1));
}

// Section (square of a straight root) and perimeter (straight) at a place within the profile.
struct Cut {
    double area, perimeter;
};
Cut cutAt(const Profile& p, double at)
{
    const auto above = std::upper_bound(p.at.begin() + 1, p.at.end() - 1, at);
    const auto k = std::size_t(above - p.at.begin());
    const double area = square(rootBetween(at, p.at[k - 1], p.area[k - 1], p.at[k], p.area[k]));
    if (p.perimeter.empty() || !(p.perimeter[k - 1] > 0) || !(p.perimeter[k] > 0)) return {area, 0};
    const double t = (at - p.at[k - 1]) / (p.at[k] - p.at[k - 1]);
    return {area, p.perimeter[k - 1] + t * (p.perimeter[k] - p.perimeter[k - 1])};
}

double frustum(double length, double a1, double a2) { return length * (a1 + a2 + std::sqrt(a1 * a2)) / 3; }

double volumeOf(const Profile& p)
{
    double V = 0;
    for (std::size_t i = 1; i < p.at.size(); ++i)
        V += frustum(p.at[i] - p.at[i - 1], p.area[i - 1], p.area[i]);
    return V;
}

// From 0 on, with no more points than the highest frequency needs, and no section narrower than a hundredth.
Profile tidied(const Profile& given)
{
    constexpr double narrowest = 1e-4;  // of the widest area: a tip's volume is then right to 1e-4 of it
    const double slice = referenceAir().c / highestSegmented / slicesPerWave;
    const double length = given.at.back() - given.at.front();
    const double least = narrowest * *std::max_element(given.area.begin(), given.area.end());
    Profile p;
    const auto add = [&](double at, Cut cut) {
        p.at.push_back(at - given.at.front());
        p.area.push_back(std::max(cut.area, least));
        p.perimeter.push_back(cut.perimeter);
    };
    const auto wanted = std::size_t(std::ceil(length / slice));
    if (given.at.size() - 1 <= wanted) {
        for (double at : given.at)
            add(at, cutAt(given, at));
        return p;
    }
    for (std::size_t i = 0; i <= wanted; ++i) {
        const double at = given.at.front() + length * double(i) / double(wanted);
        add(at, cutAt(given, at));
    }
    return p;
}

void scaleTo(Profile& p, double volume)
{
    const double scale = volume / volumeOf(p);
    for (double& area : p.area)
        area *= scale;
    for (double& perimeter : p.perimeter)
        perimeter *= std::sqrt(scale);
}

// First place from an end where `area` fits, else the widest.
double firstFit(const Shape& shape, bool fromFirst, double area)
{
    const double L = shape.length(), step = (fromFirst ? 1 : -1) * L / 200;
    double widest = 0, at = 0;
    for (int i = 0; i <= 200; ++i) {
        const double x = std::clamp((fromFirst ? 0 : L) + i * step, 0.0, L), here = areaAt(shape, x);
        if (here >= area) return x;
        if (here > widest) widest = here, at = x;
    }
    return at;
}

// The section that a mouth in an end wall looks into: the widest within two radii, since shells are rounded there.
double sectionBefore(const Shape& shape, const PortPlace& place, double radius)
{
    double area = areaAt(shape, place.at);
    for (int i = 1; i <= 8; ++i)
        area = std::max(area, areaAt(shape, place.at + (place.atFirstEnd ? 1 : -1) * radius * i / 4));
    return area;
}

constexpr double snug = 1.02;  // a mouth is taken to have at least this much room across

}  // namespace

double areaAt(const Shape& shape, double at) { return cutAt(shape.profile, std::clamp(at, 0.0, shape.length())).area; }

std::optional<Shape> shapeOf(const Cavity& cavity, const std::vector<PortOpening>& ports)
{
    const std::optional<Profile> given = profileOf(cavity);
    if (!given || !isUsable(*given)) return std::nullopt;
    Shape shape{tidied(*given), {}};
    scaleTo(shape.profile, cavity.netVolume);
    double taken = 0;
    for (const PortOpening& port : ports) {
        const PortPlace place = portPlace(port, shape);
        if (!(place.inside > 0)) continue;
        const double end = place.atFirstEnd ? 0 : shape.length();
        const double area = countOf(port) * outlineArea(port);
        shape.tubes.push_back({std::min(place.at, end), std::max(place.at, end), area});
        taken += area * place.inside;
    }
    if (taken > 0) scaleTo(shape.profile, cavity.netVolume + taken);
    return shape;
}

std::vector<DuctSlice> slicesBetween(const Shape& shape, double from, double to)
{
    std::vector<double> at{from};
    const auto cut = [&](double x) {
        if (x > from + 1e-6 && x < to - 1e-6) at.push_back(x);
    };
    for (double x : shape.profile.at)
        cut(x);
    for (const TakenByTube& t : shape.tubes)
        cut(t.from), cut(t.to);
    std::sort(at.begin(), at.end());
    at.push_back(to);
    std::vector<DuctSlice> slices;
    for (std::size_t i = 1; i < at.size(); ++i) {
        if (at[i] - at[i - 1] < 1e-9) continue;
        const Cut a = cutAt(shape.profile, at[i - 1]), b = cutAt(shape.profile, at[i]);
        double tubes = 0;
        for (const TakenByTube& t : shape.tubes)
            if ((at[i] + at[i - 1]) / 2 > t.from && (at[i] + at[i - 1]) / 2 < t.to) tubes += t.area;
        constexpr double leastLeft = 0.1;  // a tube that would fill its end leaves a gap all the same
        slices.push_back({at[i] - at[i - 1], std::max(a.area - tubes, leastLeft * a.area),
                          std::max(b.area - tubes, leastLeft * b.area),
                          a.perimeter > 0 && b.perimeter > 0 ? (a.perimeter + b.perimeter) / 2 : 0});
    }
    return slices;
}

double driverPlace(const Cavity& cavity, const Shape& shape, double area)
{
    const double at = std::clamp(cavity.driverAt.value_or(0), 0.0, shape.length());
    if (areaAt(shape, at) >= area) return at;
    const double inwards = firstFit(shape, at < shape.length() / 2, area);
    return at < shape.length() / 2 ? std::max(at, inwards) : std::min(at, inwards);
}

PortPlace portPlace(const PortOpening& port, const Shape& shape)
{
    const double L = shape.length(), at = std::clamp(port.at.value_or(L), 0.0, L), a = radiusOf(port);
    PortPlace place;
    place.atFirstEnd = at < L / 2;
    const double fromEnd = place.atFirstEnd ? at : L - at;
    if (fromEnd >= a) {
        place.at = at;
        place.alongAxis = false;
        return place;
    }
    constexpr double room = 1.5;  // times the mouths' area
    const double fit = firstFit(shape, place.atFirstEnd, room * countOf(port) * areaOf(port));
    place.inside = std::min(insideOf(port), 0.95 * L);
    const double in = std::max(place.atFirstEnd ? fit : L - fit, place.inside);
    place.at = place.atFirstEnd ? in : L - in;
    return place;
}

InnerEnd innerEndOf(const PortOpening& port, const PortPlace& place, const Shape& shape)
{
    const double L = shape.length(), n = countOf(port), a = radiusOf(port);
    if (!place.alongAxis) {
        const Mouth mouth = port.shape == PortShape::round ? roundMouth(a) : slotMouth(port.width, port.height);
        const double wide = boreOf(port).width;
        const double W = std::max(std::sqrt(areaAt(shape, place.at)), snug * std::max(2 * a, wide));
        const double across = std::max(W / n, snug * wide);  // side by side round the duct; no narrower than the mouth
        InnerEnd end = innerEndOnDuct({across, L, areaAt(shape, place.at) / W, across / 2, place.at}, mouth);
        end.l0 += flareLength(port.innerFlare.value_or(0), a);
        return end;
    }
    const double depth = place.inside > 0 ? (place.atFirstEnd ? L - place.at : place.at) : L;
    return innerEndOf(port, sectionBefore(shape, place, a), depth, place.inside, volumeOf(shape.profile));
}

}  // namespace portwright
