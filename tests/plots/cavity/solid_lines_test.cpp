// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/solid_lines.h"

#include "core/cavity/solids.h"
#include "plots/cut/cut_geometry.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>

using namespace portwright;

namespace {

double size() { return *rc::gen::inRange(10, 500) / 1000.0; }  // m

Solid arbitrarySolid()
{
    const int kind = *rc::gen::inRange(0, 7);
    const double w = size(), b = size(), h = size();
    switch (kind) {
    case 0:
        return BoxSolid{w, b, h};
    case 1:
        return WedgeSolid{w, b, h};
    case 2:
        return RoundFrustumSolid{w, *rc::gen::element(0.0, size()), h};
    case 3:
        return RectangularFrustumSolid{w, b, size(), size(), h};
    case 4:
        return CylinderSolid{w, h};
    case 5:
        return EllipsoidCapSolid{w, b, h};
    default:
        return BentTubeSolid{w, w / 2 + b, *rc::gen::inRange(10, 180) * pi / 180};
    }
}

SolidStep arbitraryStep()
{
    SolidStep step;
    step.solid = arbitrarySolid();
    step.at = {size(), -size(), size()};
    step.axis = *rc::gen::element(SolidAxis::x, SolidAxis::y, SolidAxis::z);
    return step;
}

SolidStep box(double w, double b, double h, Point3 at = {0, 0, 0}, bool subtract = false)
{
    SolidStep step;
    step.solid = BoxSolid{w, b, h};
    step.at = at;
    step.subtract = subtract;
    return step;
}

double lengthOf(const std::vector<QPolygonF>& lines)
{
    double sum = 0;
    for (const QPolygonF& line : lines)
        for (qsizetype i = 0; i + 1 < line.size(); ++i)
            sum += std::hypot(line[i + 1].x() - line[i].x(), line[i + 1].y() - line[i].y());
    return sum;
}

}  // namespace

TEST_CASE("a drawn solid encloses its volume, but for what chords cut off")
{
    rc::prop("any solid, anywhere, along any axis", [] {
        const SolidStep step = arbitraryStep();
        const double ratio = enclosedVolume(shapeOf(step)) / *volumeOf(step.solid);
        // 96 chords a turn take 1 - sin(x)/x, x = 2 pi/96: 0.07 %; a dome in both directions, less than three times
        // that
        RC_ASSERT(ratio > 1 - 0.002);
        RC_ASSERT(ratio < 1 + 1e-9);
    });
}

TEST_CASE("a drawn solid stands where its volume does")
{
    rc::prop("just inside the drawn surface is inside the solid, just outside is not", [] {
        const SolidStep step = arbitraryStep();
        for (const SurfaceNet& net : shapeOf(step).nets)
            for (std::size_t i = 0; i < net.at.size(); ++i) {
                // Corners belong to several faces: a step along one normal may stay on another, so only outwards counts
                Point3 outside = net.at[i];
                for (std::size_t k = 0; k < 3; ++k)
                    outside[k] += 1e-6 * net.normal[i][k];
                RC_ASSERT_FALSE(contains(step, outside));
            }
    });
}

TEST_CASE("paper keeps the three directions of an isometric drawing equal")
{
    const Axonometry view;
    for (const Point3& axis : {Point3{1, 0, 0}, Point3{0, 1, 0}, Point3{0, 0, 1}}) {
        const QPointF p = onPaper(view, axis);
        CHECK(std::hypot(p.x(), p.y()) == Approx(std::sqrt(2.0 / 3)));  // cos of 35.26 degrees
    }
    CHECK(onPaper(view, {0, 0, 1}).y() < 0);
    CHECK(std::abs(onPaper(view, {0, 0, 1}).x()) < 1e-15);
}

TEST_CASE("a box shows nine edges and hides three")
{
    SolidsMeasurement one;
    one.steps.push_back(box(0.3, 0.2, 0.1));
    const SolidsDrawing drawing = drawingOf(one);
    REQUIRE(drawing.solids.size() == 1);
    const double all = 0.3 + 0.2 + 0.1, edge = std::sqrt(2.0 / 3);
    CHECK(lengthOf(drawing.solids[0].seen) == Approx(3 * all * edge).epsilon(1e-9));
    CHECK(lengthOf(drawing.solids[0].hidden) == Approx(all * edge).epsilon(1e-9));
    CHECK(drawing.solids[0].hidden.size() == 3);
}

TEST_CASE("an upright cylinder shows half its foot, its whole top and two sides")
{
    SolidsMeasurement one;
    SolidStep step;
    step.solid = CylinderSolid{0.2, 0.3};
    one.steps.push_back(step);
    const DrawnSolid drawn = drawingOf(one).solids[0];
    const Axonometry view;
    double rim = 0;
    for (int i = 0; i < 96; ++i) {
        const double a = 2 * pi * i / 96, b = 2 * pi * (i + 1) / 96;
        const QPointF d = onPaper(view, {0.1 * std::cos(b), 0.1 * std::sin(b), 0}) -
                          onPaper(view, {0.1 * std::cos(a), 0.1 * std::sin(a), 0});
        rim += std::hypot(d.x(), d.y());
    }
    // An edge is looked at from 0.06 % of the drawing beside it, which shows up to 4 degrees more at both ends of the
    // arc
    const double ends = 2 * 0.1 * 4 * pi / 180;
    CHECK(lengthOf(drawn.hidden) == Approx(rim / 2).margin(ends));
    CHECK(lengthOf(drawn.seen) == Approx(1.5 * rim + 2 * 0.3 * std::sqrt(2.0 / 3)).margin(ends));
}

TEST_CASE("what is split into seen and hidden stays all there")
{
    rc::prop("any row of added solids: the drawn length does not depend on the others", [] {
        SolidsMeasurement solids;
        const int n = *rc::gen::inRange(2, 5);
        for (int i = 0; i < n; ++i)
            solids.steps.push_back(arbitraryStep());
        const SolidsDrawing all = drawingOf(solids);
        for (std::size_t i = 0; i < solids.steps.size(); ++i) {
            SolidsMeasurement alone;
            alone.steps.push_back(solids.steps[i]);
            const DrawnSolid one = drawingOf(alone).solids[0];
            const double whole = lengthOf(one.seen) + lengthOf(one.hidden);
            RC_ASSERT(std::abs(lengthOf(all.solids[i].seen) + lengthOf(all.solids[i].hidden) - whole) < 1e-9 * whole);
        }
    });
}

TEST_CASE("a large box before a small one hides it; subtracted solids hide nothing and are seen through all")
{
    SolidsMeasurement two;
    two.steps.push_back(box(0.05, 0.05, 0.05));
    two.steps.push_back(box(0.8, 0.1, 0.8, {0.3, -0.5, -0.2}));  // between the small one and the viewer
    SolidsDrawing drawing = drawingOf(two);
    CHECK(drawing.solids[0].seen.empty());
    CHECK_FALSE(drawing.solids[0].hidden.empty());
    two.steps[1].subtract = true;
    drawing = drawingOf(two);
    CHECK(drawing.solids[0].hidden.size() == 3);
    two.steps[0].subtract = true;
    two.steps[1].subtract = false;
    CHECK(drawingOf(two).solids[0].hidden.empty());
}

TEST_CASE("the crease around a nose that stands on a body is seen where its front is")
{
    SolidsMeasurement two;
    two.steps.push_back(box(0.3, 0.3, 0.1));
    two.steps.push_back(box(0.1, 0.1, 0.1, {0, 0, 0.1}));
    const DrawnSolid nose = drawingOf(two).solids[1];
    CHECK(lengthOf(nose.seen) == Approx(9 * 0.1 * std::sqrt(2.0 / 3)).epsilon(1e-9));
    CHECK(nose.hidden.size() == 3);
}

TEST_CASE("a point of the paper finds the solids under it, the nearest first")
{
    SolidsMeasurement two;
    two.steps.push_back(box(0.1, 0.1, 0.1));
    two.steps.push_back(box(0.1, 0.1, 0.1, {0.3, -0.3, 0.3}));  // straight towards the viewer
    const SolidsDrawing drawing = drawingOf(two);
    CHECK(stepsAt(drawing, onPaper(drawing.view, {0, 0, 0.05})) == std::vector<int>{1, 0});
    CHECK(stepsAt(drawing, onPaper(drawing.view, {1, 1, 1})).empty());
}

TEST_CASE("a step with a size that is no size is left out, the others are drawn")
{
    SolidsMeasurement two;
    two.steps.push_back(box(0.1, std::nan(""), 0.1));
    two.steps.push_back(box(0.1, 0.1, 0.1));
    SolidsDrawing drawing = drawingOf(two);
    REQUIRE(drawing.solids.size() == 2);
    CHECK(drawing.solids[0].seen.empty());
    CHECK(drawing.solids[1].hidden.size() == 3);
    CHECK(std::isfinite(drawing.bounds.width()));
    two.steps.pop_back();
    CHECK(drawingOf(two).bounds.isNull());
}
