// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/section_geometry.h"

#include "core/cavity/sections.h"
#include "plots/cut/cut_geometry.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace portwright {
namespace {

constexpr int chords = 96;  // of a whole turn

/// Points of an ellipse's arc about its centre, angles in rad, both ends included.
void appendArc(QPolygonF& out, const QPointF& centre, double a, double b, double from, double to)
{
    const int steps = std::max(int(std::lround(chords * std::abs(to - from) / (2 * pi))), 1);
    for (int i = 0; i <= steps; ++i) {
        const double angle = from + (to - from) * i / steps;
        out.append(centre + QPointF(a * std::cos(angle), b * std::sin(angle)));
    }
}

QPolygonF ellipse(double width, double height)
{
    QPolygonF out;
    appendArc(out, {0, 0}, width / 2, height / 2, 0, 2 * pi);
    out.removeLast();  // closes by itself
    return out;
}

QPolygonF roundedRectangle(double width, double height, double corner)
{
    const double r = std::clamp(corner, 0.0, std::min(width, height) / 2), x = width / 2 - r, y = height / 2 - r;
    if (r <= 0) return {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    QPolygonF out;
    appendArc(out, {x, y}, r, r, 0, pi / 2);
    appendArc(out, {-x, y}, r, r, pi / 2, pi);
    appendArc(out, {-x, -y}, r, r, pi, 1.5 * pi);
    appendArc(out, {x, -y}, r, r, 1.5 * pi, 2 * pi);
    return out;
}

QPolygonF bareOutline(const Section& s)
{
    QPolygonF out;
    switch (s.shape) {
    case SectionShape::rectangle:
        return roundedRectangle(s.width, s.height, 0);
    case SectionShape::rounded:
        return roundedRectangle(s.width, s.height, s.corner);
    case SectionShape::ellipse:
        return ellipse(s.width, s.height);
    case SectionShape::d:
        appendArc(out, {0, -s.height / 2}, s.width / 2, s.height, 0, pi);
        return out;
    case SectionShape::triangle:
        return {{-s.width / 2, -s.height / 2}, {s.width / 2, -s.height / 2}, {0, s.height / 2}};
    case SectionShape::outline:
        for (const Point2& p : s.points)
            out.append(QPointF(p[0], p[1]));
        return out.translated(-out.boundingRect().center());
    case SectionShape::area:
        break;
    }
    const double d = 2 * std::sqrt(std::max(s.area, 0.0) / pi);
    return ellipse(d, d);
}

/// Polynomial through n points at x, by Lagrange.
double through(std::span<const double> at, std::span<const double> y, double x)
{
    double sum = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
        double term = y[i];
        for (std::size_t k = 0; k < at.size(); ++k)
            if (k != i) term *= (x - at[k]) / (at[i] - at[k]);
        sum += term;
    }
    return sum;
}

}  // namespace

double drawnArea(const Section& section) { return areaOf(section).value_or(0); }

QPolygonF sectionOutline(const Section& section)
{
    QPolygonF out = bareOutline(section);
    const double drawn = polygonArea(out), wanted = drawnArea(section);
    if (drawn <= 0 || wanted <= 0) return out;
    const double grow = std::sqrt(wanted / drawn);
    for (QPointF& p : out)
        p *= grow;
    return out;
}

QPointF cabinet(double at, double width, double height)
{
    constexpr double back = 0.35355339059327373;  // half of cos 45 degrees
    return {at + back * width, -height - back * width};
}

bool drawable(const SectionsMeasurement& sections)
{
    const auto& all = sections.sections;
    if (all.size() < 2) return false;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!std::isfinite(all[i].at) || !areaOf(all[i])) return false;
        if (i > 0 && all[i].at <= all[i - 1].at) return false;
    }
    return true;
}

AreaCurve trapezoidCurve(const SectionsMeasurement& sections)
{
    AreaCurve curve;
    if (!drawable(sections)) return curve;
    for (const Section& s : sections.sections)
        curve.at.push_back(s.at), curve.area.push_back(drawnArea(s));
    return curve;
}

AreaCurve simpsonCurve(const SectionsMeasurement& sections, int stepsPerInterval)
{
    const AreaCurve points = trapezoidCurve(sections);
    const std::size_t n = points.at.size();
    AreaCurve curve;
    if (n < 3) return curve;
    for (std::size_t i = 0; i + 1 < n; ++i) {
        const bool odd = n % 2 == 0 && i + 4 >= n;  // an odd number of steps: the last three
        const std::size_t first = odd ? n - 4 : i - i % 2, count = odd ? 4 : 3;
        const std::span at(points.at.data() + first, count), area(points.area.data() + first, count);
        for (int k = i == 0 ? 0 : 1; k <= stepsPerInterval; ++k) {
            const double x = points.at[i] + (points.at[i + 1] - points.at[i]) * k / stepsPerInterval;
            curve.at.push_back(x);
            curve.area.push_back(through(at, area, x));
        }
    }
    return curve;
}

AxisExtent axisExtent(const SectionsMeasurement& sections)
{
    if (sections.sections.empty()) return {};
    const auto beyond = [](const EndCap& cap) { return cap.shape == CapShape::flat ? 0 : std::max(cap.height, 0.0); };
    return {sections.sections.front().at - beyond(sections.firstCap),
            sections.sections.back().at + beyond(sections.lastCap)};
}

}  // namespace portwright
