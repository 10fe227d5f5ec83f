// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/sections.h"

#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Section sized(SectionShape shape, double width, double height, double at = 0, double corner = 0)
{
    Section s;
    s.at = at, s.shape = shape, s.width = width, s.height = height, s.corner = corner;
    return s;
}

Section traced(std::vector<Point2> points)
{
    Section s;
    s.shape = SectionShape::outline;
    s.points = std::move(points);
    return s;
}

SectionsMeasurement table(std::vector<Section> sections)
{
    SectionsMeasurement m;
    m.sections = std::move(sections);
    return m;
}

SectionsVolume worked(const SectionsMeasurement& m)
{
    const auto result = sectionsVolume(m);
    INFO((result ? "" : result.error().field + ": " + result.error().message));
    REQUIRE(result);
    return *result;
}

double litres(const SectionsMeasurement& m) { return worked(m).reading.volume * 1e3; }

Error refused(const SectionsMeasurement& m)
{
    const auto result = sectionsVolume(m);
    REQUIRE(!result);
    return result.error();
}

// Points along an ellipse's arc, for checks by polygon.
std::vector<Point2> arc(double a, double b, double from, double to, int steps)
{
    std::vector<Point2> points;
    for (int i = 0; i <= steps; ++i) {
        const double angle = from + (to - from) * i / steps;
        points.push_back({a * std::cos(angle), b * std::sin(angle)});
    }
    return points;
}

// Sections of a solid of revolution with these squared radii, at these positions.
SectionsMeasurement revolved(const std::vector<double>& at, double (*radiusSquare)(double))
{
    std::vector<Section> sections;
    for (const double x : at) {
        const double d = 2 * std::sqrt(std::max(0.0, radiusSquare(x)));
        sections.push_back(sized(SectionShape::ellipse, d, d, x));
    }
    return table(sections);
}

std::vector<double> unevenPositions(int steps)
{
    std::vector<double> at{logUniform(1e-3, 1)};
    for (int i = 0; i < steps; ++i)
        at.push_back(at.back() + logUniform(0.02, 0.2));
    return at;
}

}  // namespace

TEST_CASE("each shape has the area and perimeter of its closed form")
{
    const auto area = [](const Section& s) { return *areaOf(s); };
    CHECK(area(sized(SectionShape::rectangle, 0.3, 0.2)) == Approx(0.06));
    CHECK(perimeterOf(sized(SectionShape::rectangle, 0.3, 0.2)) == Approx(1.0));
    // Corners up to a circle: what is left of a square is the circle.
    CHECK(area(sized(SectionShape::rounded, 0.2, 0.2, 0, 0.1)) == Approx(pi * 0.01));
    CHECK(perimeterOf(sized(SectionShape::rounded, 0.2, 0.2, 0, 0.1)) == Approx(pi * 0.2));
    CHECK(area(sized(SectionShape::rounded, 0.3, 0.2, 0, 0)) == Approx(0.06));
    CHECK(area(sized(SectionShape::triangle, 0.3, 0.4)) == Approx(0.06));
    CHECK(perimeterOf(sized(SectionShape::triangle, 0.6, 0.4)) == Approx(1.6));  // 3-4-5 twice
    // Perimeter of the ellipse with half axes 1 and 1/2: 4.8442241 (complete elliptic integral, tables).
    CHECK(perimeterOf(sized(SectionShape::ellipse, 2, 1)) == Approx(4.8442241).epsilon(1e-7));
    CHECK(perimeterOf(sized(SectionShape::ellipse, 1, 2)) == Approx(4.8442241).epsilon(1e-7));
    CHECK(perimeterOf(sized(SectionShape::ellipse, 0.2, 0.2)) == Approx(pi * 0.2));
}

TEST_CASE("curved shapes agree with the polygon through many of their points")
{
    // The polygon's error falls with the square of the step: 4000 steps, below 1e-6.
    auto round = arc(0.15, 0.1, 0, 2 * pi, 4000);
    round.pop_back();
    CHECK(*areaOf(sized(SectionShape::ellipse, 0.3, 0.2)) == Approx(*areaOf(traced(round))).epsilon(1e-6));
    CHECK(perimeterOf(sized(SectionShape::ellipse, 0.3, 0.2)) == Approx(perimeterOf(traced(round))).epsilon(1e-6));
    const auto half = arc(0.15, 0.12, 0, pi, 4000);
    CHECK(*areaOf(sized(SectionShape::d, 0.3, 0.12)) == Approx(*areaOf(traced(half))).epsilon(1e-6));
    CHECK(perimeterOf(sized(SectionShape::d, 0.3, 0.12)) == Approx(perimeterOf(traced(half))).epsilon(1e-6));
}

TEST_CASE("an outline has its area whichever way round, wherever it lies, closed by hand or not")
{
    rc::prop("any star around a point", [] {
        std::vector<Point2> points;
        const int corners = *rc::gen::inRange(3, 12);
        for (int i = 0; i < corners; ++i) {
            const double r = logUniform(0.02, 0.2), angle = 2 * pi * i / corners;
            points.push_back({r * std::cos(angle), r * std::sin(angle)});
        }
        double triangles = 0;  // around the centre
        for (int i = 0; i < corners; ++i) {
            const Point2 &a = points[i], &b = points[(i + 1) % corners];
            triangles += std::hypot(a[0], a[1]) * std::hypot(b[0], b[1]) * std::sin(2 * pi / corners) / 2;
        }
        const auto plain = areaOf(traced(points));
        RC_ASSERT(plain.has_value());
        RC_ASSERT(std::abs(*plain - triangles) < 1e-12);
        std::vector<Point2> moved(points.rbegin(), points.rend());
        for (Point2& p : moved)
            p = {p[0] + 3, p[1] - 2};
        moved.push_back(moved.front());
        const auto turned = areaOf(traced(moved));
        RC_ASSERT(turned.has_value());
        RC_ASSERT(std::abs(*turned - triangles) < 1e-12);
    });
}

TEST_CASE("an outline that crosses, touches or folds back onto itself is refused")
{
    const auto message = [](std::vector<Point2> points) {
        const auto area = areaOf(traced(std::move(points)));
        REQUIRE(!area);
        CHECK(area.error().field == "points_mm");
        return area.error().message;
    };
    CHECK(message({{0, 0}, {0.1, 0.1}, {0.1, 0}, {0, 0.1}}) ==
          "the outline crosses itself: the side after point 1 meets the side after point 3; trace it once around");
    CHECK(message({{0, 0}, {0.1, 0}, {0.1, 0.1}, {0.05, 0}, {0, 0.1}}).find("crosses itself") != std::string::npos);
    CHECK(message({{0, 0}, {0.1, 0}, {0.05, 0}, {0.05, 0.1}}).find("crosses itself") != std::string::npos);
    CHECK(message({{0, 0}, {0.1, 0}}) == "the outline has 2 different points; it takes at least 3");
    CHECK(message({{0, 0}, {0.1, 0}, {0.1, 0}, {0, 0}}) == "the outline has 2 different points; it takes at least 3");
    CHECK(message({{0, 0}, {0.1, 0.1}, {0.2, 0.2}}).find("crosses itself") != std::string::npos);
    CHECK(areaOf(traced({{0, 0}, {0.05, 0}, {0.1, 0}, {0.1, 0.1}})).has_value());  // a point within a straight side
}

TEST_CASE("parabolas are exact on quadratics for any spacing")
{
    rc::prop("two to nine steps, neighbours up to ten to one", [] {
        const auto at = unevenPositions(*rc::gen::inRange(2, 10));
        const double a = logUniform(0.1, 1), b = logUniform(0.1, 1), c = logUniform(0.1, 1);
        std::vector<double> y;
        for (const double x : at)
            y.push_back(a + b * x + c * x * x);
        const auto whole = [&](double x) { return a * x + b * x * x / 2 + c * x * x * x / 3; };
        RC_ASSERT(std::abs(simpson(at, y) - (whole(at.back()) - whole(at.front()))) < 1e-12);  // rounding, values < 4
    });
}

TEST_CASE("parabolas are exact on cubics where the steps are even, for an even and an odd number of them")
{
    rc::prop("two to nine steps", [] {
        const int steps = *rc::gen::inRange(2, 10);
        const double h = logUniform(0.01, 0.2), from = logUniform(0.01, 1);
        std::vector<double> at, y;
        for (int i = 0; i <= steps; ++i) {
            at.push_back(from + i * h);
            y.push_back(1 + at.back() * (2 + at.back() * (3 + 4 * at.back())));
        }
        const auto whole = [](double x) { return x + x * x + x * x * x + x * x * x * x; };
        const double exact = whole(at.back()) - whole(at.front());
        RC_ASSERT(std::abs(simpson(at, y) - exact) < 1e-12 * (1 + exact));
    });
}

TEST_CASE("frustums from two sections have their closed forms")
{
    using enum SectionShape;
    // h/6 (A1 + 4 Am + A2): 300 x 200 to 240 x 160 over 250 mm is 12.2 L, the mean of the areas would say 12.3 L.
    CHECK(litres(table({sized(rectangle, 0.3, 0.2), sized(rectangle, 0.24, 0.16, 0.25)})) == Approx(12.2));
    // Ends that are not similar: 300 x 200 to 300 x 100 is 11.25 L; the square-root form would say 11.0355 L.
    const SectionsVolume wedge = worked(table({sized(rectangle, 0.3, 0.2), sized(rectangle, 0.3, 0.1, 0.25)}));
    CHECK(wedge.reading.volume * 1e3 == Approx(11.25));
    const std::vector<double> at{0, 0.25}, areas{0.06, 0.03};
    CHECK(cones(at, areas) * 1e3 == Approx(11.0355).epsilon(1e-5));
    // Cone frustum of radius 100 to 60 mm over 200 mm: 4.105014 L.
    CHECK(litres(table({sized(ellipse, 0.2, 0.2), sized(ellipse, 0.12, 0.12, 0.2)})) == Approx(4.105014).epsilon(1e-6));
    // A wedge to an edge, a pyramid to a point.
    CHECK(litres(table({sized(rectangle, 0.3, 0.2), sized(rectangle, 0.3, 0, 0.1)})) == Approx(3.0));
    CHECK(litres(table({sized(rectangle, 0.3, 0.2), sized(rectangle, 0, 0, 0.1)})) == Approx(2.0));
    // Where only areas are known: similar ends.
    Section first, last;
    first.shape = last.shape = area;
    first.area = 0.06, last.area = 0.03, last.at = 0.25;
    CHECK(litres(table({first, last})) == Approx(11.0355).epsilon(1e-5));
}

TEST_CASE("sphere, ellipsoid and paraboloid come out exactly, with uneven steps too")
{
    const auto sphere = revolved({-0.1, -0.07, 0.02, 0.05, 0.1}, [](double x) { return 0.01 - x * x; });
    CHECK(litres(sphere) == Approx(4.0 / 3 * pi).epsilon(1e-9));
    // Slice of the ellipsoid 150, 100, 120 mm from 50 mm up: 1.550071 L; its half: 3.769911 L.
    std::vector<Section> slice;
    for (const double z : {0.05, 0.06, 0.08, 0.1, 0.12}) {
        const double s = std::sqrt(1 - z * z / 0.0144);
        slice.push_back(sized(SectionShape::ellipse, 0.3 * s, 0.2 * s, z));
    }
    CHECK(litres(table(slice)) == Approx(1.550071).epsilon(1e-6));
    const auto bowl = revolved({0, 0.05, 0.1, 0.2}, [](double x) { return 0.1 * x; });
    CHECK(litres(bowl) == Approx(pi * 0.1 * 0.2 * 0.2 / 2 * 1e3).epsilon(1e-9));
}

TEST_CASE("caps add what stands beyond the first and last section")
{
    auto m = table({sized(SectionShape::ellipse, 0.3, 0.2, 0.1), sized(SectionShape::ellipse, 0.3, 0.2, 0.2)});
    const double straight = pi * 0.15 * 0.1 * 0.1 * 1e3;
    CHECK(litres(m) == Approx(straight));
    m.lastCap = {CapShape::dome, 0.12};
    CHECK(litres(m) == Approx(straight + 3.769911).epsilon(1e-6));  // half of the ellipsoid 150, 100, 120 mm
    m.firstCap = {CapShape::point, 0.06};
    CHECK(litres(m) == Approx(straight + 3.769911 + pi * 0.15 * 0.1 * 0.02 * 1e3).epsilon(1e-6));
    m.firstCap.shape = CapShape::flat;  // ends there, whatever height is written
    CHECK(litres(m) == Approx(straight + 3.769911).epsilon(1e-6));
}

TEST_CASE("the length uncertainty comes out as simulated tables scatter")
{
    using enum SectionShape;
    constexpr int draws = 4000;
    constexpr double u = 1e-3;
    std::vector<SectionsMeasurement> tables;
    tables.push_back(table({sized(rectangle, 0.2, 0.15), sized(rounded, 0.22, 0.16, 0.08, 0.03),
                            sized(ellipse, 0.2, 0.14, 0.15), sized(d, 0.15, 0.12, 0.3), sized(triangle, 0.1, 0.1, 0.35),
                            traced({{0, 0}, {0.08, 0.01}, {0.07, 0.06}, {0, 0.05}})}));
    tables.back().sections.back().at = 0.4;
    tables.back().lastCap = {CapShape::dome, 0.03};
    tables.push_back(table({sized(rectangle, 0.3, 0.2), sized(rectangle, 0.3, 0.1, 0.25)}));
    tables.back().firstCap = {CapShape::point, 0.05};
    tables.push_back(table({sized(rectangle, 0.3, 0.2), sized(ellipse, 0.2, 0.1, 0.25)}));
    for (const SectionsMeasurement& given : tables) {
        std::mt19937_64 random(4);
        std::normal_distribution<double> noise(0, u);
        double sum = 0, squares = 0;
        for (int i = 0; i < draws; ++i) {
            SectionsMeasurement m = given;
            for (Section& s : m.sections) {
                s.at += noise(random);
                if (s.shape != outline) s.width += noise(random);
                if (s.shape != outline) s.height += noise(random);
                if (s.shape == rounded) s.corner += noise(random);
                for (Point2& p : s.points)
                    p = {p[0] + noise(random), p[1] + noise(random)};
            }
            for (EndCap* cap : {&m.firstCap, &m.lastCap})
                if (cap->shape != CapShape::flat) cap->height += noise(random);
            const double V = litres(m);
            sum += V;
            squares += V * V;
        }
        const double scatter = std::sqrt(squares / draws - sum / draws * (sum / draws));
        // Five standard deviations of a scatter from 4000 draws.
        CHECK(worked(given).fromLengths * 1e3 == Approx(scatter).epsilon(0.056));
    }
}

TEST_CASE("the rules differ where sections are few, and agree on a prism")
{
    const auto coarse = worked(revolved({-0.1, 0, 0.1}, [](double x) { return 0.01 - x * x; }));
    // Sphere of 4.189 L: trapezoid 3.142, cones 2.094; their range over sqrt(12).
    CHECK(coarse.trapezoid * 1e3 == Approx(pi));
    CHECK(coarse.cones * 1e3 == Approx(2 * pi / 3));
    CHECK(coarse.fromRules == Approx((coarse.simpson - coarse.cones) / std::sqrt(12)));
    CHECK(coarse.reading.remarks.size() == 1);
    const auto fine = worked(revolved({-0.1, -0.08, -0.05, 0, 0.05, 0.08, 0.1}, [](double x) { return 0.01 - x * x; }));
    CHECK(fine.fromRules < coarse.fromRules / 3);
    const auto prism =
        worked(table({sized(SectionShape::rectangle, 0.2, 0.1), sized(SectionShape::rectangle, 0.2, 0.1, 0.1),
                      sized(SectionShape::rectangle, 0.2, 0.1, 0.3)}));
    CHECK(prism.fromRules == Approx(0).margin(1e-15));
    CHECK(prism.reading.volume == Approx(6e-3));
}

TEST_CASE("steps that differ more than twofold are remarked; where parabolas swing, frustums are taken")
{
    const auto uneven = worked(revolved({0, 0.1, 0.11, 0.3}, [](double) { return 0.01; }));
    REQUIRE(uneven.reading.remarks.size() == 1);
    CHECK(uneven.reading.remarks[0].find("more than twice its neighbour") != std::string::npos);
    // A thin neck beside a long step: the parabola would dive far below 0.
    const auto swinging = worked(revolved({0, 0.01, 0.5}, [](double x) { return x < 0.005 ? 0.01 : 1e-6; }));
    CHECK(swinging.reading.volume == Approx(swinging.cones));
    CHECK(swinging.reading.volume > 0);
}

TEST_CASE("the shape starts at 0, keeps the sections and ends in its caps")
{
    auto m = table({sized(SectionShape::ellipse, 0.2, 0.2, 0.05), sized(SectionShape::ellipse, 0.2, 0.2, 0.25)});
    CHECK(worked(m).profile.at == std::vector<double>{0, 0.25 - 0.05});
    m.lastCap = {CapShape::dome, 0.1};
    m.firstCap = {CapShape::point, 0.04};
    const SectionsVolume v = worked(m);
    CHECK(isUsable(v.profile));
    CHECK(v.profile.at.front() == Approx(0).margin(1e-15));
    CHECK(v.profile.at[1] == Approx(0.04));
    CHECK(v.profile.at.back() == Approx(0.34));
    CHECK(v.profile.area.front() == 0);
    CHECK(v.profile.area.back() == 0);
    CHECK(v.profile.perimeter[1] == Approx(pi * 0.2));
    // As frustums the dome's chords lose about 1 % of the cap.
    CHECK(cones(v.profile.at, v.profile.area) == Approx(v.reading.volume).epsilon(0.005));
}

TEST_CASE("a table that makes no volume is refused with its place")
{
    using enum SectionShape;
    CHECK(refused(table({})) == Error{"sections", "there are 0 of the at least 2 sections that make a volume"});
    CHECK(refused(table({sized(rectangle, 1, 1)})).message ==
          "there is 1 of the at least 2 sections that make a volume");
    CHECK(refused(table({sized(rectangle, 0.1, 0.1, 0.2), sized(rectangle, 0.1, 0.1, 0.2)})) ==
          Error{"sections/1/at_mm",
                "section 2 stands at 200 mm, not beyond the one before at 200 mm; positions must rise"});
    CHECK(refused(table({sized(rectangle, 0.1, 0.1), sized(rounded, 0.1, 0.08, 0.1, 0.05)})) ==
          Error{"sections/1/corner_mm",
                "section 2: the corner radius is 50 mm; allowed is 0 to half the shorter side, 40 mm"});
    CHECK(refused(table({sized(rectangle, -0.1, 0.1), sized(rectangle, 0.1, 0.1, 0.1)})).field ==
          "sections/0/width_mm");
    CHECK(refused(table({sized(rectangle, 0.1, std::nan("")), sized(rectangle, 0.1, 0.1, 0.1)})).field ==
          "sections/0/height_mm");
    CHECK(refused(table({sized(rectangle, 0, 0), sized(rectangle, 0, 0, 0.1)})).message ==
          "the sections hold no volume; none of them has an area");
    auto capped = table({sized(rectangle, 0.1, 0.1), sized(rectangle, 0.1, 0.1, 0.1)});
    capped.lastCap = {CapShape::dome, -0.01};
    CHECK(refused(capped).field == "last_cap_mm");
}
