// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/hole_template.h"

#include "core/parts/port_body.h"
#include "tests/core/parts/random_port.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

template <class Shape> std::vector<Shape> shapesOn(const Drawing& drawing, DrawingLayer layer)
{
    std::vector<Shape> shapes;
    for (const DrawingItem& item : drawing.items)
        if (const auto* shape = std::get_if<Shape>(&item.what); shape && item.layer == layer) shapes.push_back(*shape);
    return shapes;
}

std::string allWords(const Drawing& drawing)
{
    std::string words;
    for (const DrawnText& text : shapesOn<DrawnText>(drawing, DrawingLayer::notes))
        words += text.words + "\n";
    return words;
}

double apart(const DrawnCircle& a, const DrawnCircle& b)
{
    return std::hypot(a.centre[0] - b.centre[0], a.centre[1] - b.centre[1]);
}

}  // namespace

TEST_CASE("a tube's hole is its outside and the fit, in millimetres")
{
    PortOpening port = roundPort(0.05, 0.163);
    port.wall = 2.5e-3;
    const auto drawing = holeTemplate(port, PortMaking::stock, {});
    REQUIRE(drawing);
    const auto cuts = shapesOn<DrawnCircle>(*drawing, DrawingLayer::cut);
    REQUIRE(cuts.size() == 1);
    CHECK(2 * cuts[0].radius == Approx(50 + 2 * 2.5 + 0.5));
    CHECK(allWords(*drawing).find(
              "Opening for a round port, made of tube\nBore 50.0\u00A0mm\nLength of the port 163.0\u00A0mm\n") == 0);
    CHECK(allWords(*drawing).find("Hole: diameter 55.5\u00A0mm") != std::string::npos);
    port.wall.reset();
    const auto unknown = holeTemplate(port, PortMaking::stock, {});
    CHECK(allWords(*unknown).find("The tube's wall is not known") != std::string::npos);
}

TEST_CASE("a slot of panels has a hole with a cutter's corners")
{
    const auto drawing = holeTemplate(slotPort(0.1, 0.03, 0.2), PortMaking::stock, {});
    REQUIRE(drawing);
    const auto arcs = shapesOn<DrawnArc>(*drawing, DrawingLayer::cut);
    const auto lines = shapesOn<DrawnLine>(*drawing, DrawingLayer::cut);
    REQUIRE(arcs.size() == 4);
    CHECK(arcs[0].radius == Approx(3));
    double around = 0;
    for (const DrawnLine& line : lines)
        around += std::hypot(line.to[0] - line.from[0], line.to[1] - line.from[1]);
    CHECK(around == Approx(2 * (100 + 30) - 8 * 3));
}

TEST_CASE("a printed port's screws keep their land, and holes and flanges of neighbours never meet")
{
    rc::prop("round ports of any size", [] {
        PortOpening port = arbitraryPort();
        port.shape = PortShape::round;
        if (port.diameter <= 0) port.diameter = between(200, 1200, 1e-4);
        port.count = *rc::gen::inRange(1, 5);
        PartOptions options;
        options.land = between(50, 150, 1e-4);
        const auto drawing = holeTemplate(port, PortMaking::printed, options);
        RC_ASSERT(drawing.has_value());
        const auto cuts = shapesOn<DrawnCircle>(*drawing, DrawingLayer::cut);
        const auto rims = shapesOn<DrawnCircle>(*drawing, DrawingLayer::engrave);
        RC_ASSERT(rims.size() == std::size_t(*port.count));
        std::vector<DrawnCircle> holes, screws;
        for (const DrawnCircle& cut : cuts)
            (cut.radius < 2.2 ? screws : holes).push_back(cut);
        RC_ASSERT(holes.size() == rims.size());
        RC_ASSERT(screws.size() >= 4 * holes.size());
        // What goes in lies within the hole: the tube, and an inner flare.
        const double widest = std::max(port.innerFlare.value_or(0), 3e-3);
        RC_ASSERT(holes[0].radius >= (port.diameter / 2 + widest) * 1e3 + 0.2499);
        RC_ASSERT(rims[0].radius >= holes[0].radius + 2e3 * options.land - 1e-9);
        for (const DrawnCircle& screw : screws) {
            double nearest = 1e9;
            for (const DrawnCircle& hole : holes)
                nearest = std::min(nearest, apart(screw, hole) - hole.radius);
            RC_ASSERT(nearest >= options.land * 1e3 - 1e-9);
            // The mouth's flare stays clear of the screws, too.
            RC_ASSERT(nearest + holes[0].radius >=
                      (port.diameter / 2 + port.outerFlare.value_or(0) + options.land) * 1e3 - 1e-9);
        }
        for (std::size_t i = 0; i < rims.size(); ++i)
            for (std::size_t k = 0; k < i; ++k)
                RC_ASSERT(apart(rims[i], rims[k]) > rims[i].radius + rims[k].radius);
    });
}

TEST_CASE("screws of a slot stand on one line around it, none farther than 80 mm from the next along a side")
{
    PortOpening port = slotPort(0.3, 0.04, 0.2);
    const auto body = printedBody(port, {});
    REQUIRE(body);
    CHECK(body->screws.size() == 10);  // corners 316 mm apart: four gaps of 79 mm
    for (const Point2& screw : body->screws) {
        const double dx = std::max(std::abs(screw[0]) - 0.15, 0.0), dy = std::max(std::abs(screw[1]) - 0.02, 0.0);
        CHECK(std::hypot(dx, dy) == Approx(body->screw).epsilon(1e-9));
    }
}

TEST_CASE(
    "several ports keep the spacing of the file, and one too small for their holes is refused with what is needed")
{
    PortOpening port = roundPort(0.05, 0.16);
    port.count = 3, port.wall = 3e-3, port.spacing = 0.09;
    const auto tubes = holeTemplate(port, PortMaking::stock, {});
    REQUIRE(tubes);
    const auto holes = shapesOn<DrawnCircle>(*tubes, DrawingLayer::cut);
    REQUIRE(holes.size() == 3);
    CHECK(apart(holes[0], holes[1]) == Approx(90));
    CHECK(holes[1].centre[0] == Approx(0).margin(1e-9));
    port.spacing = 0.056;
    const auto touching = holeTemplate(port, PortMaking::stock, {});
    REQUIRE(!touching);
    CHECK(touching.error().field == "spacing_mm");
    CHECK(touching.error().message ==  // bore 50, wall 2 x 3 and fit 0.5
          "the ports' centres are 56.0\u00A0mm apart, and each hole takes 56.5\u00A0mm; set them wider apart (Opening, "
          "Place, Spacing), or make the tubes smaller");
}

TEST_CASE("what cannot be printed is a sentence")
{
    PortOpening shelf = slotPort(0.1, 0.03, 0.2);
    shelf.sharedWalls = 3;
    CHECK(printedBody(shelf, {}).error().message ==
          "a slot that shares walls of the cavity is built in place from panels, not printed");
    CHECK(printedBody(roundPort(0.05, 5e-3), {}).error().field == "length_mm");
    CHECK(printedBody(roundPort(0.05, 0), {}).error().field == "length_mm");
    PartOptions options;
    options.screws = 200;
    CHECK(printedBody(roundPort(0.05, 0.1), options).error().message ==
          "there are 200 screws; allowed is 3 to 24, or 0 for none");
    options.screws = 24, options.screwDiameter = 12e-3;
    CHECK(printedBody(roundPort(0.01, 0.1), options).error().message ==
          "24 screws of 12.0\u00A0mm come too close to each other; use fewer");
    options = {};
    options.wall = 0.1e-3;
    CHECK(printedBody(roundPort(0.05, 0.1), options).error().message == "the wall is 0.1 mm; allowed is 0.8 to 20 mm");
}
