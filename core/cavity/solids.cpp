// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/solids.h"

#include "core/constants.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double shortest = 1e-4, longest = 10;  // m

template <class... F> struct Each : F... {
    using F::operator()...;
};
template <class... F> Each(F...) -> Each<F...>;

double rawVolume(const Solid& solid)
{
    return std::visit(
        Each{[](const BoxSolid& s) { return s.width * s.breadth * s.height; },
             [](const WedgeSolid& s) { return s.width * s.breadth * s.height / 2; },
             [](const RoundFrustumSolid& s) {
                 const double d = s.diameter, t = s.topDiameter;
                 return pi * s.height * (d * d + d * t + t * t) / 12;
             },
             [](const RectangularFrustumSolid& s) {
                 const double A1 = s.width * s.breadth, A2 = s.topWidth * s.topBreadth;
                 const double Am = (s.width + s.topWidth) * (s.breadth + s.topBreadth) / 4;
                 return s.height * (A1 + 4 * Am + A2) / 6;
             },
             [](const CylinderSolid& s) { return pi * s.diameter * s.diameter * s.height / 4; },
             [](const EllipsoidCapSolid& s) { return pi * s.width * s.breadth * s.height / 6; },
             [](const BentTubeSolid& s) { return pi * s.diameter * s.diameter / 4 * s.centreLineRadius * s.angle; }},
        solid);
}

std::vector<SolidLength> brick(double w, double b, double h, double share)
{
    return {{"width_mm", "width", w, share * b * h},
            {"breadth_mm", "breadth", b, share * w * h},
            {"height_mm", "height", h, share * w * b}};
}

std::vector<SolidLength> frustum(const RoundFrustumSolid& s)
{
    const double d = s.diameter, t = s.topDiameter, h = s.height;
    return {{"diameter_mm", "diameter", d, pi * h * (2 * d + t) / 12},
            {"top_diameter_mm", "top diameter", t, pi * h * (d + 2 * t) / 12, true, true},
            {"height_mm", "height", h, pi * (d * d + d * t + t * t) / 12}};
}

// V = h/6 (2 w b + w bt + wt b + 2 wt bt)
std::vector<SolidLength> frustum(const RectangularFrustumSolid& s)
{
    const double w = s.width, b = s.breadth, wt = s.topWidth, bt = s.topBreadth, h = s.height;
    return {{"width_mm", "width", w, h / 6 * (2 * b + bt)},
            {"breadth_mm", "breadth", b, h / 6 * (2 * w + wt)},
            {"top_width_mm", "top width", wt, h / 6 * (b + 2 * bt), true, true},
            {"top_breadth_mm", "top breadth", bt, h / 6 * (w + 2 * wt), true, true},
            {"height_mm", "height", h, (2 * w * b + w * bt + wt * b + 2 * wt * bt) / 6}};
}

std::vector<SolidLength> bend(const BentTubeSolid& s)
{
    const double A = pi * s.diameter * s.diameter / 4, R = s.centreLineRadius;
    return {{"diameter_mm", "diameter", s.diameter, pi * s.diameter / 2 * R * s.angle},
            {"centre_line_radius_mm", "radius of the centre line", R, A * s.angle},
            {"angle_deg", "angle", s.angle, A, false}};
}

std::string shown(double metres, UnitSystem units) { return formatQuantity(metres, Dimension::length, units); }

Result<void> checkSize(const SolidLength& l, const std::string& solid, UnitSystem units)
{
    if (!l.length) {
        if (l.value > 0 && l.value <= 2 * pi * (1 + 1e-12)) return {};
        return fail(l.key, fmt::format("{}: an angle of {:.4g}\u00B0 is no bend; allowed is above 0\u00B0, up to "
                                       "360\u00B0",
                                       solid, l.value * 180 / pi));
    }
    const bool fits = l.value >= shortest && l.value <= longest;
    if (fits || (l.mayBeZero && l.value == 0)) return {};
    return fail(l.key, fmt::format("{}: {} is {}; allowed is {} to {}{}", solid, l.name,
                                   std::isfinite(l.value) ? shown(l.value, units) : "no number", shown(shortest, units),
                                   shown(longest, units), l.mayBeZero ? ", or 0" : ""));
}

std::string lineName(const SolidStep& step, std::size_t index)
{
    return step.name.empty() ? fmt::format("{} {}", nameOf(step.solid), index + 1) : step.name;
}

double uncertaintyOf(const SolidsMeasurement& solids) { return solids.lengthUncertainty.value_or(1e-3); }

// The point in the solid's own axes: width, breadth, height.
Point3 ownAxes(const SolidStep& step, const Point3& p)
{
    const Point3 d{p[0] - step.at[0], p[1] - step.at[1], p[2] - step.at[2]};
    switch (step.axis) {
    case SolidAxis::x:
        return {d[1], d[2], d[0]};
    case SolidAxis::y:
        return {d[2], d[0], d[1]};
    case SolidAxis::z:
        break;
    }
    return d;
}

Point3 outerAxes(const SolidStep& step, const Point3& own)
{
    const auto moved = [&](double x, double y, double z) {
        return Point3{x + step.at[0], y + step.at[1], z + step.at[2]};
    };
    switch (step.axis) {
    case SolidAxis::x:
        return moved(own[2], own[0], own[1]);
    case SolidAxis::y:
        return moved(own[1], own[2], own[0]);
    case SolidAxis::z:
        break;
    }
    return moved(own[0], own[1], own[2]);
}

bool containsOwn(const BentTubeSolid& s, const Point3& p)
{
    const double R = s.centreLineRadius, a = s.diameter / 2;
    const double out = std::hypot(p[0] - R, p[2]);  // from the bend's axis
    if ((out - R) * (out - R) + p[1] * p[1] > a * a) return false;
    double turned = std::atan2(p[2], R - p[0]);  // 0 at the base
    if (turned < 0) turned += 2 * pi;
    return turned <= s.angle;
}

bool containsOwn(const Solid& solid, const Point3& p)
{
    const double x = std::abs(p[0]), y = std::abs(p[1]), z = p[2];
    const auto between = [&](double h) { return z >= 0 && z <= h; };
    return std::visit(
        Each{[&](const BoxSolid& s) { return between(s.height) && x <= s.width / 2 && y <= s.breadth / 2; },
             [&](const WedgeSolid& s) {
                 return z >= 0 && x <= s.width / 2 && y <= s.breadth / 2 && z <= s.height * (0.5 - p[0] / s.width);
             },
             [&](const RoundFrustumSolid& s) {
                 const double r = (s.diameter + (s.topDiameter - s.diameter) * z / s.height) / 2;
                 return between(s.height) && x * x + y * y <= r * r;
             },
             [&](const RectangularFrustumSolid& s) {
                 const double t = z / s.height;
                 return between(s.height) && x <= (s.width + (s.topWidth - s.width) * t) / 2 &&
                        y <= (s.breadth + (s.topBreadth - s.breadth) * t) / 2;
             },
             [&](const CylinderSolid& s) { return between(s.height) && x * x + y * y <= s.diameter * s.diameter / 4; },
             [&](const EllipsoidCapSolid& s) {
                 const double u = 2 * x / s.width, v = 2 * y / s.breadth, w = z / s.height;
                 return z >= 0 && u * u + v * v + w * w <= 1;
             },
             [&](const BentTubeSolid& s) { return containsOwn(s, p); }},
        solid);
}

// Of a bent tube: of the whole ring's square, which is simple and never too small.
SolidBounds ownBounds(const Solid& solid)
{
    const auto standing = [](double w, double b, double h) {
        return SolidBounds{{-w / 2, -b / 2, 0}, {w / 2, b / 2, h}};
    };
    return std::visit(
        Each{[&](const RoundFrustumSolid& s) {
                 const double d = std::max(s.diameter, s.topDiameter);
                 return standing(d, d, s.height);
             },
             [&](const RectangularFrustumSolid& s) {
                 return standing(std::max(s.width, s.topWidth), std::max(s.breadth, s.topBreadth), s.height);
             },
             [&](const CylinderSolid& s) { return standing(s.diameter, s.diameter, s.height); },
             [&](const BentTubeSolid& s) {
                 const double a = s.diameter / 2, outer = s.centreLineRadius + a;
                 const bool half = s.angle <= pi;
                 const double across = s.angle <= pi / 2 ? s.centreLineRadius : outer + s.centreLineRadius;
                 return SolidBounds{{-a, -a, half ? 0 : -outer}, {across, a, outer}};
             },
             [&](const auto& s) { return standing(s.width, s.breadth, s.height); }},
        solid);
}

struct Slope {
    double value, slope;
};

// Square of the uncertainty from lengths: each on its own, or equal ones as one, whichever is larger.
double lengthVariance(const SolidsMeasurement& solids, double u)
{
    std::vector<Slope> slopes;
    double independent = 0;
    for (const SolidStep& step : solids.steps)
        for (const SolidLength& l : lengthsOf(step.solid)) {
            const double slope = step.subtract ? -l.slope : l.slope;
            independent += slope * slope;
            slopes.push_back({l.length ? l.value : -1, slope});  // -1: angles never share
        }
    std::stable_sort(slopes.begin(), slopes.end(), [](const Slope& a, const Slope& b) { return a.value < b.value; });
    double shared = 0;
    for (std::size_t i = 0; i < slopes.size();) {
        double sum = 0;
        const double value = slopes[i].value;
        if (value < 0) {
            shared += slopes[i].slope * slopes[i].slope;
            ++i;
            continue;
        }
        for (; i < slopes.size() && slopes[i].value == value; ++i)
            sum += slopes[i].slope;
        shared += sum * sum;
    }
    return std::max(independent, shared) * u * u;
}

}  // namespace

std::vector<SolidLength> lengthsOf(const Solid& solid)
{
    return std::visit(Each{[](const BoxSolid& s) { return brick(s.width, s.breadth, s.height, 1); },
                           [](const WedgeSolid& s) { return brick(s.width, s.breadth, s.height, 0.5); },
                           [](const RoundFrustumSolid& s) { return frustum(s); },
                           [](const RectangularFrustumSolid& s) { return frustum(s); },
                           [](const CylinderSolid& s) {
                               const double d = s.diameter;
                               return std::vector<SolidLength>{{"diameter_mm", "diameter", d, pi * d * s.height / 2},
                                                               {"height_mm", "height", s.height, pi * d * d / 4}};
                           },
                           [](const EllipsoidCapSolid& s) { return brick(s.width, s.breadth, s.height, pi / 6); },
                           [](const BentTubeSolid& s) { return bend(s); }},
                      solid);
}

Result<double> volumeOf(const Solid& solid, UnitSystem units)
{
    for (const SolidLength& l : lengthsOf(solid))
        if (auto fits = checkSize(l, nameOf(solid), units); !fits) return fail(fits.error());
    if (const auto* tube = std::get_if<BentTubeSolid>(&solid); tube && tube->centreLineRadius < tube->diameter / 2)
        return fail("centre_line_radius_mm",
                    fmt::format("{}: its centre line bends by {}, less than half its diameter of {}; allowed is half "
                                "the diameter and more",
                                nameOf(solid), shown(tube->centreLineRadius, units), shown(tube->diameter, units)));
    return rawVolume(solid);
}

std::string nameOf(const Solid& solid)
{
    static constexpr std::array names{"Box",      "Wedge",         "Round frustum", "Rectangular frustum",
                                      "Cylinder", "Ellipsoid cap", "Bent tube"};
    return names[solid.index()];
}

bool contains(const SolidStep& step, const Point3& point) { return containsOwn(step.solid, ownAxes(step, point)); }

SolidBounds boundsOf(const SolidStep& step)
{
    const SolidBounds own = ownBounds(step.solid);
    return {outerAxes(step, own.low), outerAxes(step, own.high)};
}

std::vector<RunningLine> runningList(const SolidsMeasurement& solids, UnitSystem units)
{
    std::vector<RunningLine> lines;
    const double u = uncertaintyOf(solids);
    double total = 0;
    for (std::size_t i = 0; i < solids.steps.size(); ++i) {
        const SolidStep& step = solids.steps[i];
        RunningLine line{lineName(step, i), 0, 0, 0, {}};
        if (const auto volume = volumeOf(step.solid, units)) {
            line.volume = step.subtract ? -*volume : *volume;
            const SolidsMeasurement alone{{step}, solids.lengthUncertainty};
            line.uncertainty = std::sqrt(lengthVariance(alone, u));
        } else {
            line.error = Error{fmt::format("steps/{}/{}", i, volume.error().field), volume.error().message};
        }
        line.total = total += line.volume;
        lines.push_back(std::move(line));
    }
    return lines;
}

Result<SolidsVolume> solidsVolume(const SolidsMeasurement& solids, UnitSystem units)
{
    if (solids.steps.empty()) return fail("steps", "there is no solid in the list yet; add at least one");
    const double u = uncertaintyOf(solids);
    if (!(u >= 0 && u <= 0.1))
        return fail("length_uncertainty_mm",
                    "the uncertainty of lengths is out of range; allowed is 0 to " + shown(0.1, units));
    SolidsVolume result;
    result.lines = runningList(solids, units);
    for (const RunningLine& line : result.lines)
        if (line.error) return fail(*line.error);
    const double total = result.lines.back().total;
    if (!(total > 0))
        return fail("steps", fmt::format("nothing is left: the solids add up to {}; subtract less, or add what is "
                                         "missing",
                                         formatQuantity(total, Dimension::volume, units)));
    result.fromLengths = std::sqrt(lengthVariance(solids, u));
    result.fromShape = solidsShapeUncertainty * total;
    VolumeReading& reading = result.reading;
    reading.volume = total;
    reading.uncertainty = std::hypot(result.fromLengths, result.fromShape);
    const std::size_t n = solids.steps.size();
    reading.method = fmt::format("{} solid{}", n, n == 1 ? "" : "s");
    reading.remarks.push_back("5\u00A0% of the uncertainty is for what simple solids miss of a moulded shape (common "
                              "practice, no source).");
    return result;
}

Result<VolumeReading> readingOf(const SolidsMeasurement& solids, UnitSystem units)
{
    return solidsVolume(solids, units).transform([](SolidsVolume v) { return std::move(v.reading); });
}

}  // namespace portwright
