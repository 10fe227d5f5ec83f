// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/section_geometry.h"

#include "core/cavity/sections.h"
#include "plots/cut/cut_geometry.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>

using namespace portwright;

namespace {

double size() { return *rc::gen::inRange(10, 500) / 1000.0; }  // m

Section arbitrarySection()
{
    Section s;
    s.shape = *rc::gen::element(SectionShape::rectangle, SectionShape::rounded, SectionShape::ellipse, SectionShape::d,
                                SectionShape::triangle, SectionShape::outline, SectionShape::area);
    if (s.shape == SectionShape::outline) {  // a star about a point off the axis
        const int n = *rc::gen::inRange(3, 12);
        for (int i = 0; i < n; ++i) {
            const double r = size();
            s.points.push_back({0.2 + r * std::cos(2 * pi * i / n), r * std::sin(2 * pi * i / n)});
        }
    } else if (s.shape == SectionShape::area) {
        s.area = size() * size();
    } else {
        s.width = size(), s.height = size();
        if (s.shape == SectionShape::rounded)
            s.corner = *rc::gen::inRange(1, 100) / 200.0 * std::min(s.width, s.height);
    }
    return s;
}

SectionsMeasurement arbitraryStack(int from, int to)
{
    SectionsMeasurement m;
    double at = -0.1;
    for (int i = *rc::gen::inRange(from, to); i > 0; --i) {
        m.sections.push_back(arbitrarySection());
        m.sections.back().at = at;
        at += size();
    }
    return m;
}

/// Exact under a polynomial up to the third power given at evenly spaced points: Simpson on each pair of steps.
double under(const AreaCurve& curve)
{
    double sum = 0;
    for (std::size_t i = 0; i + 2 < curve.at.size(); i += 2)
        sum += (curve.at[i + 2] - curve.at[i]) / 6 * (curve.area[i] + 4 * curve.area[i + 1] + curve.area[i + 2]);
    return sum;
}

}  // namespace

TEST_CASE("a drawn section has the area it is reckoned with, and stands about its axis")
{
    rc::prop("any section", [] {
        const Section s = arbitrarySection();
        const QPolygonF outline = sectionOutline(s);
        RC_ASSERT(std::abs(polygonArea(outline) / *areaOf(s) - 1) < 1e-12);  // grown to it: rounding alone
        const QRectF r = outline.boundingRect();
        // chords and growing shift a curved outline's box by less than 0.1 % of its size
        RC_ASSERT(std::abs(r.center().x()) + std::abs(r.center().y()) < 1e-3 * (r.width() + r.height()));
        if (s.shape != SectionShape::area && s.shape != SectionShape::outline) {
            RC_ASSERT(std::abs(r.width() / s.width - 1) < 2e-3);
            RC_ASSERT(std::abs(r.height() / s.height - 1) < 2e-3);
        }
    });
}

TEST_CASE("under each drawn curve lies the volume of its rule")
{
    rc::prop("any stack of three sections or more", [] {
        const SectionsMeasurement m = arbitraryStack(3, 9);
        const AreaCurve straight = trapezoidCurve(m), curved = simpsonCurve(m);
        const double volume = simpson(straight.at, straight.area), scale = trapezoid(straight.at, straight.area);
        // 1e-9 of a sum without cancelling: rounding of the polynomials through uneven points
        RC_ASSERT(std::abs(under(curved) - volume) < 1e-9 * (std::abs(volume) + scale));
        for (std::size_t i = 0; i < m.sections.size(); ++i)
            RC_ASSERT(std::abs(curved.area[12 * i] - straight.area[i]) < 1e-9 * scale);
    });
}

TEST_CASE("an axis and an upright keep their true length on paper, a width half of it")
{
    CHECK(cabinet(0.3, 0, 0) == QPointF(0.3, 0));
    CHECK(cabinet(0, 0, 0.3) == QPointF(0, -0.3));
    const QPointF back = cabinet(0, 0.3, 0);
    CHECK(std::hypot(back.x(), back.y()) == Approx(0.15));
    CHECK(back.x() == Approx(-back.y()));
}

TEST_CASE("caps lengthen the axis, flat ones do not")
{
    SectionsMeasurement m;
    m.sections.resize(2);
    m.sections[0].at = 0.1, m.sections[1].at = 0.4;
    m.firstCap = {CapShape::flat, 0.2};
    m.lastCap = {CapShape::dome, 0.05};
    CHECK(axisExtent(m).from == Approx(0.1));
    CHECK(axisExtent(m).to == Approx(0.45));
}

TEST_CASE("a stack needs two sound sections with rising positions")
{
    SectionsMeasurement m;
    CHECK_FALSE(drawable(m));
    Section s;
    s.width = s.height = 0.1;
    m.sections = {s, s};
    CHECK_FALSE(drawable(m));
    CHECK(trapezoidCurve(m).at.empty());
    m.sections[1].at = 0.2;
    CHECK(drawable(m));
    CHECK(simpsonCurve(m).at.empty());
    m.sections[1].height = std::nan("");
    CHECK_FALSE(drawable(m));
}
