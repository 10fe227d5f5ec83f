// SPDX-License-Identifier: GPL-3.0-or-later
// Tubes side by side on one flange: volumes against closed forms, faults against admesh and CGAL, the template in mm.
#include "core/constants.h"
#include "core/mesh/scan.h"
#include "core/parts/hole_template.h"
#include "core/parts/part_text.h"
#include "core/parts/port_solid.h"
#include "tests/core/mesh/mesh_makers.h"
#include "tests/core/parts/random_port.h"
#include "tests/core/parts/solid_checks.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

/// 38 mm tubes of 2 mm wall, 47 mm between their centres, as a search proposes them.
PortOpening pairOfTubes()
{
    PortOpening port = roundPort(0.038, 0.148);
    port.count = 2, port.spacing = 0.047, port.wall = 2e-3;
    return port;
}

PartOptions whole()
{
    PartOptions options;
    options.printerHeight = 1;
    return options;
}

/// m2: two half circles and the rectangle between them.
double capsule(double row, double radius) { return pi * radius * radius + 2 * radius * row; }

double fromLine(const Point2& p, double half) { return std::hypot(std::max(std::abs(p[0]) - half, 0.0), p[1]); }

template <class Shape> std::vector<Shape> shapesOn(const Drawing& drawing, DrawingLayer layer)
{
    std::vector<Shape> shapes;
    for (const DrawingItem& item : drawing.items)
        if (const auto* shape = std::get_if<Shape>(&item.what); shape && item.layer == layer) shapes.push_back(*shape);
    return shapes;
}

std::vector<PrintedPiece> piecesOf(const PortBody& body, const PartOptions& options)
{
    auto pieces = printedPieces(body, options);
    if (!pieces) FAIL(pieces.error().message);
    return std::move(*pieces);
}

}  // namespace

TEST_CASE("two tubes too near for flanges of their own stand on one, of the volume of the formula")
{
    const PartOptions options = whole();
    const auto body = printedBody(pairOfTubes(), options);
    REQUIRE(body);
    CHECK(body->tubes == 2);
    const auto pieces = piecesOf(*body, options);
    REQUIRE(pieces.size() == 1);
    const Mesh& mesh = pieces[0].mesh;
    CHECK(faults(mesh) == "");
    CHECK(watertight(mesh));
    CHECK(selfIntersections(mesh) == 0u);
    // Bore 19, wall 2, half the fit of 0.5, two lands of 8 mm, flange 5 mm, screw holes of 4.2 mm.
    const double rim = 0.019 + 0.002 + 0.25e-3 + 0.016, bore = pi * 0.019 * 0.019;
    const double flange = capsule(0.047, rim) - double(body->screws.size()) * pi * 2.1e-3 * 2.1e-3 - 2 * bore;
    const double tubes = 2 * (pi * 0.021 * 0.021 - bore) * (0.148 - 5e-3);
    CHECK(volumeOf(mesh) == Approx(tubes + 5e-3 * flange).epsilon(1e-3));
    CHECK(handlesOf(mesh) == 2 + int(body->screws.size()));
    const Bounds bounds = boundsOf(mesh);
    CHECK(bounds.high[0] - bounds.low[0] == Approx(0.047 + 2 * rim).epsilon(1e-5));
    CHECK(bounds.high[1] - bounds.low[1] == Approx(2 * rim).epsilon(1e-5));
    CHECK(pieces[0].height == Approx(0.148));
}

TEST_CASE("the screws of a shared flange stand on one line around all tubes, evenly, and none between them")
{
    const auto body = printedBody(pairOfTubes(), {});
    REQUIRE(body);
    REQUIRE(body->screws.size() == 4);  // 279 mm around
    for (const Point2& screw : body->screws)
        CHECK(fromLine(screw, 0.0235) == Approx(0.019 + body->screw).epsilon(1e-12));
    PartOptions many;
    many.screws = 12;
    PortOpening four = pairOfTubes();
    four.count = 4;
    const auto row = printedBody(four, many);
    REQUIRE(row);
    REQUIRE(row->screws.size() == 12);
    const double half = 1.5 * 0.047, out = 0.019 + row->screw, step = (2 * pi * out + 4 * half) / 12;
    for (std::size_t i = 0; i < 12; ++i) {
        CHECK(fromLine(row->screws[i], half) == Approx(out).epsilon(1e-12));
        const Point2 &a = row->screws[i], &b = row->screws[(i + 1) % 12];
        const double apart = std::hypot(a[0] - b[0], a[1] - b[1]);
        CHECK(apart <= step + 1e-12);           // a straight piece of it
        CHECK(apart >= 2 / pi * step - 1e-12);  // no shorter than of half a turn
    }
}

TEST_CASE("the template of a shared flange has a hole for each tube, its screws and one rim")
{
    const auto drawing = holeTemplate(pairOfTubes(), PortMaking::printed, {});
    REQUIRE(drawing);
    std::vector<DrawnCircle> holes, screws;
    for (const DrawnCircle& cut : shapesOn<DrawnCircle>(*drawing, DrawingLayer::cut))
        (cut.radius < 2.2 ? screws : holes).push_back(cut);
    REQUIRE(holes.size() == 2);
    CHECK(screws.size() == 4);
    for (const DrawnCircle& hole : holes)
        CHECK(hole.radius == Approx(21.25));
    CHECK(holes[1].centre[0] - holes[0].centre[0] == Approx(47));
    for (const DrawnCircle& screw : screws)
        CHECK(fromLine(screw.centre, 23.5) == Approx(29.25));
    CHECK(shapesOn<DrawnCircle>(*drawing, DrawingLayer::engrave).empty());
    const auto arcs = shapesOn<DrawnArc>(*drawing, DrawingLayer::engrave);
    REQUIRE(arcs.size() == 4);
    for (const DrawnArc& arc : arcs) {
        CHECK(arc.radius == Approx(37.25));
        CHECK(std::abs(arc.centre[0]) == Approx(23.5));
        CHECK(arc.centre[1] == Approx(0).margin(1e-9));
    }
}

TEST_CASE("any row of tubes or slots on one flange is closed, and holds as much as its tubes and the flange")
{
    rc::prop("straight or bent, flared or not, split or whole", [] {
        PortOpening port = arbitraryPort();
        PartOptions options = whole();
        options.wall = between(20, 50, 1e-4);
        options.chord = between(20, 200, 1e-6);
        options.screws = *rc::gen::element<std::optional<int>>(std::nullopt, 0, 4, 8);
        if (*rc::gen::arbitrary<bool>()) {
            const double across = port.shape == PortShape::round ? port.diameter : port.height;
            port.bends = {{pi / 2, across / 2 + *options.wall + between(2, 40, 1e-3), {}}};
            port.length += pi / 2 * port.bends[0].radius + 0.1;
        }
        const auto alone = printedBody(port, options);
        if (!alone) return;  // leads back into itself: told of one tube already
        port.count = *rc::gen::inRange(2, 5);
        const double bore = port.shape == PortShape::round ? port.diameter : port.width;
        const double least = bore + 2 * std::max(alone->hole, alone->outerFlare) + 1.001e-3;
        port.spacing = least + (bore + 2 * alone->rim - least) * between(0, 9, 0.1);
        const auto body = printedBody(port, options);
        RC_ASSERT(body.has_value());
        RC_ASSERT(body->tubes == *port.count);
        const auto pieces = printedPieces(*body, options);
        RC_ASSERT(pieces.has_value());
        RC_PRE(pieces->size() == 1u);
        const Mesh& mesh = (*pieces)[0].mesh;
        RC_ASSERT(watertight(mesh));
        RC_ASSERT(faults(mesh) == "");
        RC_ASSERT(selfIntersections(mesh) == 0u);
        RC_ASSERT(handlesOf(mesh) == body->tubes + int(body->screws.size()));
        const auto flange = [](const PortBody& b) {
            return b.flange *
                   (flangeCore(b).area(b.rim) - double(b.screws.size()) * pi * b.screwRadius * b.screwRadius);
        };
        const Mesh one = (*printedPieces(*alone, options))[0].mesh;
        const double want = body->tubes * (volumeOf(one) - flange(*alone)) + flange(*body);
        RC_ASSERT(std::abs(volumeOf(mesh) - want) < options.chord * (areaOf(mesh) + areaOf(one)));
    });
}

TEST_CASE("a tall row of tubes comes as one piece with the flange, and the others once for each tube")
{
    PartOptions options;
    options.printerHeight = 0.1;
    const auto body = printedBody(pairOfTubes(), options);
    REQUIRE(body);
    const auto pieces = piecesOf(*body, options);
    REQUIRE(pieces.size() == 2);
    CHECK(pieces[0].tubes == 2);
    CHECK(pieces[1].tubes == 1);
    for (const PrintedPiece& piece : pieces)
        CHECK(faults(piece.mesh) == "");
    const Bounds first = boundsOf(pieces[0].mesh), second = boundsOf(pieces[1].mesh);
    CHECK(first.high[0] - first.low[0] > 0.12);
    CHECK(second.high[0] - second.low[0] == Approx(0.042).epsilon(1e-3));
    CHECK(printText(*body, pieces, 2, options)
              .find("Print the first piece once, with the flange and 2 tubes; of the others print 2 each.") !=
          std::string::npos);
}

TEST_CASE("tubes that would touch are refused with the spacing that will do and the place to set it")
{
    PartOptions options;
    options.wall = 4.5e-3;
    const auto body = printedBody(pairOfTubes(), options);
    REQUIRE(!body);
    CHECK(body.error().field == "spacing_mm");
    CHECK(body.error().message ==
          "the ports' centres are 47.0\u00A0mm apart, and printed side by side on one flange they need 48.5\u00A0mm; "
          "set them wider apart (Opening, Place, Spacing), or print a thinner wall");
    // Apart by as much as flanges take, each has its own.
    PortOpening wide = pairOfTubes();
    wide.spacing = 0.0745 + 1e-9;
    CHECK(printedBody(wide, {})->tubes == 1);
    // Without a flange there is nothing to share.
    options = {};
    options.flange = false;
    CHECK(printedBody(pairOfTubes(), options)->tubes == 1);
}

TEST_CASE("without screws a flange is glued, and narrower by a land")
{
    PartOptions glued;
    glued.screws = 0;
    const auto with = printedBody(roundPort(0.05, 0.1), {}), without = printedBody(roundPort(0.05, 0.1), glued);
    REQUIRE(without);
    CHECK(without->screws.empty());
    CHECK(with->rim - without->rim == Approx(PartOptions{}.land));
    CHECK(faults(piecesOf(*without, glued)[0].mesh) == "");
    const auto drawing = holeTemplate(roundPort(0.05, 0.1), PortMaking::printed, glued);
    REQUIRE(drawing);
    CHECK(shapesOn<DrawnCircle>(*drawing, DrawingLayer::cut).size() == 1);
}

TEST_CASE("around a slot an odd number of screws, or fewer than four, is refused")
{
    for (const int wanted : {3, 5, 23}) {
        PartOptions options;
        options.screws = wanted;
        const auto body = printedBody(slotPort(0.1, 0.03, 0.2), options);
        REQUIRE(!body);
        CHECK(body.error().message == std::to_string(wanted) +
                                          " screws are wanted around a slot, which takes one at each corner and pairs "
                                          "between them: an even number from 4 on");
        CHECK(printedBody(roundPort(0.1, 0.2), options)->screws.size() == std::size_t(wanted));
    }
    for (const int wanted : {4, 6, 12}) {
        PartOptions options;
        options.screws = wanted;
        CHECK(printedBody(slotPort(0.1, 0.03, 0.2), options)->screws.size() == std::size_t(wanted));
    }
}
