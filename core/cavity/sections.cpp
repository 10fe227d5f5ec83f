// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/sections.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double usualLengthUncertainty = 1e-3;  // m, a ruler held inside

double square(double x) { return x * x; }

// --- One section ---

double cross(const Point2& a, const Point2& b, const Point2& c)
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

bool between(double a, double b, double x) { return std::min(a, b) <= x && x <= std::max(a, b); }
bool onStretch(const Point2& a, const Point2& b, const Point2& p)  // p known to be in line with a and b
{
    return between(a[0], b[0], p[0]) && between(a[1], b[1], p[1]);
}

bool meet(const Point2& a, const Point2& b, const Point2& c, const Point2& d)
{
    const double abc = cross(a, b, c), abd = cross(a, b, d), cda = cross(c, d, a), cdb = cross(c, d, b);
    if (((abc > 0 && abd < 0) || (abc < 0 && abd > 0)) && ((cda > 0 && cdb < 0) || (cda < 0 && cdb > 0))) return true;
    return (abc == 0 && onStretch(a, b, c)) || (abd == 0 && onStretch(a, b, d)) || (cda == 0 && onStretch(c, d, a)) ||
           (cdb == 0 && onStretch(c, d, b));
}

// Two sides that meet elsewhere than in the corner they share; neighbours only where one folds back onto the other.
std::optional<std::pair<std::size_t, std::size_t>> crossingSides(const std::vector<Point2>& p)
{
    const std::size_t n = p.size();
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t k = i + 1; k < n; ++k) {
            const Point2 &a = p[i], &b = p[(i + 1) % n], &c = p[k], &d = p[(k + 1) % n];
            const bool next = k == i + 1, last = i == 0 && k == n - 1;
            const bool folded = next   ? cross(a, b, d) == 0 && (onStretch(a, b, d) || onStretch(c, d, a))
                                : last ? cross(c, d, b) == 0 && (onStretch(c, d, b) || onStretch(a, b, c))
                                       : false;
            if (folded || (!next && !last && meet(a, b, c, d))) return std::pair(i, k);
        }
    return std::nullopt;
}

// The outline without points that stand on the one before; scans and hand-written tables often close it themselves.
std::vector<Point2> distinct(std::vector<Point2> points)
{
    points.erase(std::unique(points.begin(), points.end()), points.end());
    while (points.size() > 1 && points.front() == points.back())
        points.pop_back();
    return points;
}

double shoelace(const std::vector<Point2>& p)
{
    double twice = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const Point2 &a = p[i], &b = p[(i + 1) % p.size()];
        // About the first point, so that an outline far from the origin loses no digits.
        twice += (a[0] - p[0][0]) * (b[1] - p[0][1]) - (b[0] - p[0][0]) * (a[1] - p[0][1]);
    }
    return twice / 2;
}

Result<double> outlineArea(const std::vector<Point2>& given)
{
    const std::vector<Point2> points = distinct(given);
    if (points.size() < 3)
        return fail("points_mm",
                    fmt::format("the outline has {} different points; it takes at least 3", points.size()));
    if (const auto sides = crossingSides(points))
        return fail("points_mm",
                    fmt::format("the outline crosses itself: the side after point {} meets the side after point {}; "
                                "trace it once around",
                                sides->first + 1, sides->second + 1));
    const double area = std::abs(shoelace(points));
    if (!(area > 0)) return fail("points_mm", "the outline holds no area; its points lie in one line");
    return area;
}

double distance(const Point2& a, const Point2& b) { return std::hypot(b[0] - a[0], b[1] - a[1]); }

double ellipsePerimeter(double width, double height)
{
    const double a = std::max(width, height) / 2, b = std::min(width, height) / 2;
    return a > 0 ? 4 * a * std::comp_ellint_2(std::sqrt(1 - square(b / a))) : 0;
}

double plainArea(const Section& s)  // of any shape but an outline
{
    switch (s.shape) {
    case SectionShape::rectangle:
        return s.width * s.height;
    case SectionShape::rounded:
        return s.width * s.height - (4 - pi) * square(s.corner);
    case SectionShape::ellipse:
    case SectionShape::d:
        return pi / 4 * s.width * s.height;
    case SectionShape::triangle:
        return s.width * s.height / 2;
    case SectionShape::area:
    case SectionShape::outline:
        break;
    }
    return s.area;
}

std::optional<Error> troubleWith(const Section& s)
{
    const auto size = [](double x) { return std::isfinite(x) && x >= 0; };
    if (!std::isfinite(s.at)) return Error{"at_mm", "the position is no number"};
    if (!size(s.width)) return Error{"width_mm", "the width is below 0 or no number; a length is expected"};
    if (!size(s.height)) return Error{"height_mm", "the height is below 0 or no number; a length is expected"};
    if (!size(s.area)) return Error{"area_cm2", "the area is below 0 or no number; an area is expected"};
    if (s.shape == SectionShape::rounded && !(s.corner >= 0 && s.corner <= std::min(s.width, s.height) / 2))
        return Error{"corner_mm", fmt::format("the corner radius is {:g} mm; allowed is 0 to half the shorter side, "
                                              "{:g} mm",
                                              s.corner * 1e3, std::min(s.width, s.height) * 500)};
    for (const Point2& p : s.points)
        if (!std::isfinite(p[0]) || !std::isfinite(p[1])) return Error{"points_mm", "a point is no number"};
    return std::nullopt;
}

// Variance of a section's area when each of its lengths has the standard uncertainty u.
double areaVariance(const Section& s, double u)
{
    switch (s.shape) {
    case SectionShape::rectangle:
        return square(u) * (square(s.width) + square(s.height));
    case SectionShape::rounded:
        return square(u) * (square(s.width) + square(s.height) + square(2 * (4 - pi) * s.corner));
    case SectionShape::ellipse:
    case SectionShape::d:
        return square(u * pi / 4) * (square(s.width) + square(s.height));
    case SectionShape::triangle:
        return square(u / 2) * (square(s.width) + square(s.height));
    case SectionShape::area:
        return square(u) * pi * s.area;  // as the diameter of a circle of that area: (pi d/2 u)^2
    case SectionShape::outline:
        break;
    }
    const std::vector<Point2> p = distinct(s.points);
    double variance = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const Point2 &before = p[(i + p.size() - 1) % p.size()], &after = p[(i + 1) % p.size()];
        variance += square(u / 2) * (square(after[0] - before[0]) + square(after[1] - before[1]));
    }
    return variance;
}

// --- Rules over a stack ---

// Parabola through three positions, integrated over both steps.
double parabola(std::span<const double> x, std::span<const double> y)
{
    const double g = x[1] - x[0], h = x[2] - x[1];
    return (g + h) / 6 * ((2 - h / g) * y[0] + square(g + h) / (g * h) * y[1] + (2 - g / h) * y[2]);
}

// Cubic through four positions, integrated over the three steps: Simpson's rule is exact on it.
double cubic(std::span<const double> x, std::span<const double> y)
{
    const double middle = (x[0] + x[3]) / 2;
    double value = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        double term = y[i];
        for (std::size_t k = 0; k < 4; ++k)
            if (k != i) term *= (middle - x[k]) / (x[i] - x[k]);
        value += term;
    }
    return (x[3] - x[0]) / 6 * (y[0] + 4 * value + y[3]);
}

// --- A whole table ---

bool straightBetween(const Section& a, const Section& b)  // sizes that may run straight from one to the other
{
    return a.shape == b.shape && a.shape != SectionShape::outline && a.shape != SectionShape::area;
}

Section halfWay(const Section& a, const Section& b)
{
    Section middle = a;
    middle.at = (a.at + b.at) / 2;
    middle.width = (a.width + b.width) / 2;
    middle.height = (a.height + b.height) / 2;
    middle.corner = (a.corner + b.corner) / 2;
    return middle;
}

// The table as it is integrated: two sections of one shape get the one half-way between them.
std::vector<Section> integrated(std::vector<Section> sections)
{
    if (sections.size() == 2 && straightBetween(sections[0], sections[1]))
        sections.insert(sections.begin() + 1, halfWay(sections[0], sections[1]));
    return sections;
}

struct Stack {
    std::vector<double> at, areas;
};

Stack stackOf(const std::vector<Section>& sections)  // all of them accepted by areaOf
{
    Stack stack;
    for (const Section& section : sections) {
        stack.at.push_back(section.at);
        stack.areas.push_back(*areaOf(section));
    }
    return stack;
}

double capFactor(CapShape shape) { return shape == CapShape::flat ? 0 : shape == CapShape::dome ? 2.0 / 3 : 1.0 / 3; }

double capVolume(const EndCap& cap, double area) { return capFactor(cap.shape) * area * cap.height; }

// The rule in force between the sections: parabolas; frustums of similar ends where there is one step alone, or where
// the steps are so uneven that the parabolas leave the other rules far behind.
enum class Rule { parabolas, frustums };

Rule ruleFor(const Stack& stack)
{
    if (stack.at.size() == 2) return Rule::frustums;
    const double S = simpson(stack.at, stack.areas), C = cones(stack.at, stack.areas);
    return S < C / 2 || S > 2 * trapezoid(stack.at, stack.areas) ? Rule::frustums : Rule::parabolas;
}

struct WholeVolume {  // as a function of positions and areas
    Rule rule;
    EndCap first, last;

    double operator()(const Stack& s) const
    {
        return (rule == Rule::parabolas ? simpson(s.at, s.areas) : cones(s.at, s.areas)) +
               capVolume(first, s.areas.front()) + capVolume(last, s.areas.back());
    }
};

// How the volume changes with one number of the stack, by central difference.
double slope(const WholeVolume& volume, const Stack& stack, std::vector<double> Stack::* numbers, std::size_t i,
             double step)
{
    Stack more = stack, less = stack;
    (more.*numbers)[i] += step;
    (less.*numbers)[i] -= step;
    return (volume(more) - volume(less)) / (2 * step);
}

// The sizes of two sections with the one half-way between, which moves along.
double straightSizesVariance(const SectionsMeasurement& m, const WholeVolume& volume, double u)
{
    double variance = 0;
    for (const std::size_t i : {std::size_t{0}, std::size_t{1}})
        for (double Section::* size : {&Section::width, &Section::height, &Section::corner}) {
            if (m.sections[i].*size == 0) continue;
            const double step = 1e-4 * m.sections[i].*size;  // corners at their greatest may pass it: no areaOf here
            auto more = m.sections, less = m.sections;
            more[i].*size += step;
            less[i].*size -= step;
            const auto of = [&](const std::vector<Section>& sections) {
                Stack stack;
                for (const Section& section : integrated(sections)) {
                    stack.at.push_back(section.at);
                    stack.areas.push_back(plainArea(section));
                }
                return volume(stack);
            };
            variance += square((of(more) - of(less)) / (2 * step) * u);
        }
    return variance;
}

double lengthVariance(const SectionsMeasurement& m, const WholeVolume& volume, double u)
{
    const Stack stack = stackOf(m.sections);
    const Stack whole = stackOf(integrated(m.sections));
    const bool straight = whole.at.size() != stack.at.size();
    double variance = straight ? straightSizesVariance(m, volume, u) : 0;
    for (std::size_t i = 0; !straight && i < stack.areas.size(); ++i)
        if (stack.areas[i] > 0)
            variance +=
                square(slope(volume, stack, &Stack::areas, i, 1e-4 * stack.areas[i])) * areaVariance(m.sections[i], u);
    if (straight) {
        // Both positions only set the length.
        variance += 2 * square((volume(whole) - capVolume(m.firstCap, whole.areas.front()) -
                                capVolume(m.lastCap, whole.areas.back())) /
                               (whole.at.back() - whole.at.front()) * u);
    } else {
        double least = stack.at[1] - stack.at[0];
        for (std::size_t i = 2; i < stack.at.size(); ++i)
            least = std::min(least, stack.at[i] - stack.at[i - 1]);
        for (std::size_t i = 0; i < stack.at.size(); ++i)
            variance += square(slope(volume, stack, &Stack::at, i, 1e-3 * least) * u);
    }
    variance += square(capFactor(m.firstCap.shape) * stack.areas.front() * u);
    variance += square(capFactor(m.lastCap.shape) * stack.areas.back() * u);
    return variance;
}

// --- Shape ---

// Slices of a cap from its section outwards: distance from the section and area over the section's, both as shares.
std::vector<std::pair<double, double>> capSlices(const EndCap& cap)
{
    if (cap.shape == CapShape::flat || !(cap.height > 0)) return {};
    if (cap.shape == CapShape::point) return {{1, 0}};
    constexpr int slices = 8;  // a dome's outline as chords: within 1 % in volume
    std::vector<std::pair<double, double>> result;
    for (int i = 1; i <= slices; ++i) {
        const double angle = pi / 2 * i / slices;
        result.emplace_back(std::sin(angle), i == slices ? 0 : square(std::cos(angle)));
    }
    return result;
}

Profile profileFrom(const SectionsMeasurement& m, const std::vector<double>& areas,
                    const std::vector<double>& perimeters)
{
    Profile p;
    const auto add = [&p](double at, double area, double perimeter) {
        p.at.push_back(at);
        p.area.push_back(area);
        p.perimeter.push_back(perimeter);
    };
    auto first = capSlices(m.firstCap);
    std::reverse(first.begin(), first.end());
    const double start = m.sections.front().at - (first.empty() ? 0 : m.firstCap.height);
    for (const auto& [away, share] : first)
        add((1 - away) * m.firstCap.height, share * areas.front(), std::sqrt(share) * perimeters.front());
    for (std::size_t i = 0; i < areas.size(); ++i)
        add(m.sections[i].at - start, areas[i], perimeters[i]);
    for (const auto& [away, share] : capSlices(m.lastCap))
        add(m.sections.back().at - start + away * m.lastCap.height, share * areas.back(),
            std::sqrt(share) * perimeters.back());
    return p;
}

std::optional<Error> troubleIn(const SectionsMeasurement& m)
{
    if (m.sections.size() < 2)
        return Error{"sections", fmt::format("there {} {} of the at least 2 sections that make a volume",
                                             m.sections.size() == 1 ? "is" : "are", m.sections.size())};
    for (std::size_t i = 0; i < m.sections.size(); ++i) {
        if (const auto area = areaOf(m.sections[i]); !area)
            return Error{fmt::format("sections/{}/{}", i, area.error().field),
                         fmt::format("section {}: {}", i + 1, area.error().message)};
        if (i > 0 && !(m.sections[i].at > m.sections[i - 1].at))
            return Error{fmt::format("sections/{}/at_mm", i),
                         fmt::format("section {} stands at {:g} mm, not beyond the one before at {:g} mm; positions "
                                     "must rise",
                                     i + 1, m.sections[i].at * 1e3, m.sections[i - 1].at * 1e3)};
    }
    for (const auto& [cap, key] : {std::pair(m.firstCap, "first_cap_mm"), std::pair(m.lastCap, "last_cap_mm")})
        if (!(cap.height >= 0) || !std::isfinite(cap.height))
            return Error{key, "the height of the cap is below 0 or no number; a length is expected"};
    return std::nullopt;
}

// Where neighbouring steps differ so much that a parabola through them swings.
void remarkUneven(SectionsVolume& v, const SectionsMeasurement& m, Rule rule, UnitSystem units)
{
    constexpr double steepest = 2;  // beyond, one weight of the parabola is below 0
    for (std::size_t i = 0; i + 2 < m.sections.size(); ++i) {
        const double g = m.sections[i + 1].at - m.sections[i].at, h = m.sections[i + 2].at - m.sections[i + 1].at;
        if (std::max(g, h) <= steepest * std::min(g, h)) continue;
        const auto& [from, to] = g > h ? std::pair(m.sections[i].at, m.sections[i + 1].at)
                                       : std::pair(m.sections[i + 1].at, m.sections[i + 2].at);
        v.reading.remarks.push_back(fmt::format("The step from {} to {} is more than twice its neighbour; one more "
                                                "section in it would steady the sum.",
                                                formatQuantity(from, Dimension::length, units),
                                                formatQuantity(to, Dimension::length, units)));
        break;
    }
    if (rule == Rule::frustums && m.sections.size() > 2)
        v.reading.remarks.push_back("The steps are too uneven for parabolas; frustums are added up instead.");
    constexpr double coarse = 0.03;
    if (v.fromRules > coarse * v.reading.volume)
        v.reading.remarks.push_back(fmt::format("How the sections are joined matters by {:.0f} %; more sections where "
                                                "the area changes quickly would narrow that.",
                                                100 * v.fromRules / v.reading.volume));
}

}  // namespace

Result<double> areaOf(const Section& section)
{
    if (auto trouble = troubleWith(section)) return fail(*trouble);
    if (section.shape == SectionShape::outline) return outlineArea(section.points);
    return plainArea(section);
}

double perimeterOf(const Section& s)
{
    switch (s.shape) {
    case SectionShape::rectangle:
        return 2 * (s.width + s.height);
    case SectionShape::rounded:
        return 2 * (s.width + s.height) - (8 - 2 * pi) * s.corner;
    case SectionShape::ellipse:
        return ellipsePerimeter(s.width, s.height);
    case SectionShape::d:
        return s.width + ellipsePerimeter(s.width, 2 * s.height) / 2;
    case SectionShape::triangle:
        return s.width + 2 * std::hypot(s.width / 2, s.height);
    case SectionShape::area:
        return 0;
    case SectionShape::outline:
        break;
    }
    const std::vector<Point2> p = distinct(s.points);
    double sum = 0;
    for (std::size_t i = 0; i < p.size(); ++i)
        sum += distance(p[i], p[(i + 1) % p.size()]);
    return sum;
}

double simpson(std::span<const double> x, std::span<const double> y)
{
    const std::size_t steps = x.size() - 1;
    if (steps == 1) return trapezoid(x, y);
    const std::size_t paired = steps % 2 == 0 ? steps : steps - 3;
    double sum = 0;
    for (std::size_t i = 0; i < paired; i += 2)
        sum += parabola(x.subspan(i, 3), y.subspan(i, 3));
    if (paired < steps) sum += cubic(x.subspan(paired, 4), y.subspan(paired, 4));
    return sum;
}

double trapezoid(std::span<const double> x, std::span<const double> y)
{
    double sum = 0;
    for (std::size_t i = 0; i + 1 < x.size(); ++i)
        sum += (x[i + 1] - x[i]) * (y[i] + y[i + 1]) / 2;
    return sum;
}

double cones(std::span<const double> x, std::span<const double> y)
{
    double sum = 0;
    for (std::size_t i = 0; i + 1 < x.size(); ++i)
        sum += (x[i + 1] - x[i]) / 3 * (y[i] + y[i + 1] + std::sqrt(y[i] * y[i + 1]));
    return sum;
}

Result<SectionsVolume> sectionsVolume(const SectionsMeasurement& m, UnitSystem units)
{
    if (auto trouble = troubleIn(m)) return fail(*trouble);
    SectionsVolume v;
    for (const Section& section : m.sections) {
        v.areas.push_back(*areaOf(section));
        v.perimeters.push_back(perimeterOf(section));
    }
    const Stack stack = stackOf(integrated(m.sections));
    const WholeVolume volume{ruleFor(stack), m.firstCap, m.lastCap};
    v.simpson = simpson(stack.at, stack.areas);
    v.trapezoid = trapezoid(stack.at, stack.areas);
    v.cones = cones(stack.at, stack.areas);
    v.firstCap = capVolume(m.firstCap, v.areas.front());
    v.lastCap = capVolume(m.lastCap, v.areas.back());
    v.reading.volume = volume(stack);
    if (!(v.reading.volume > 0)) return fail("sections", "the sections hold no volume; none of them has an area");

    const auto [least, most] = std::minmax({v.simpson, v.trapezoid, v.cones});
    v.fromRules = (most - least) / std::sqrt(12.0);
    v.fromLengths = std::sqrt(lengthVariance(m, volume, m.lengthUncertainty.value_or(usualLengthUncertainty)));
    constexpr double leastShare = 1e-6;  // above 0 even where every length is said to be exact
    v.reading.uncertainty = std::max(std::hypot(v.fromRules, v.fromLengths), leastShare * v.reading.volume);
    v.reading.method = fmt::format("{} sections", m.sections.size());
    remarkUneven(v, m, volume.rule, units);
    v.profile = profileFrom(m, v.areas, v.perimeters);
    return v;
}

Result<VolumeReading> readingOf(const SectionsMeasurement& sections, UnitSystem units)
{
    return sectionsVolume(sections, units).transform([](SectionsVolume v) { return std::move(v.reading); });
}

}  // namespace portwright
