// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/svg.h"

#include "core/constants.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace portwright;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("an SVG drawing is 1:1 in millimetres, y turned down, one group a layer")
{
    Drawing drawing;
    drawing.title = "Rod & \"plate\" <5";
    draw(drawing, DrawingLayer::cut, DrawnCircle{{10, 20}, 30});
    draw(drawing, DrawingLayer::centre, DrawnLine{{-20, -10}, {40, 50}});
    draw(drawing, DrawingLayer::engrave, DrawnArc{{0, 0}, 10, 0, pi / 2});
    draw(drawing, DrawingLayer::notes, DrawnPolyline{{{0, 0}, {1.23456, 0}, {0, -0.00001}}, true});
    draw(drawing, DrawingLayer::notes, DrawnText{{1, 2}, 3.6, "a < b", true});
    const std::string svg = svgText(drawing);
    // The circle reaches from -20 to 40 and from -10 to 50; 5 mm of margin on each side.
    CHECK(has(svg, R"(width="70mm" height="70mm" viewBox="-25 -55 70 70")"));
    CHECK(has(svg, "<title>Rod &amp; &quot;plate&quot; &lt;5</title>"));
    CHECK(has(svg,
              "<g id=\"cut\" stroke=\"#c00000\" stroke-width=\"0.1\">\n<circle cx=\"10\" cy=\"-20\" r=\"30\"/>\n</g>"));
    CHECK(has(svg, R"(<line x1="-20" y1="10" x2="40" y2="-50"/>)"));
    CHECK(has(svg, R"(<path d="M 10 0 A 10 10 0 0 0 0 -10"/>)"));
    CHECK(has(svg, R"(<polygon points="0,0 1.2346,0 0,0"/>)"));
    CHECK(has(svg,
              R"(<text x="1" y="-2" font-size="5" text-anchor="middle" fill="#000000" stroke="none">a &lt; b</text>)"));
}

TEST_CASE("bounds take an arc as far as it bulges, and no farther")
{
    Drawing drawing;
    draw(drawing, DrawingLayer::cut, DrawnArc{{0, 0}, 10, pi / 4, 3 * pi / 4});
    DrawingBounds bounds = boundsOf(drawing);
    CHECK(bounds.high[1] == Approx(10));
    CHECK(bounds.low[1] == Approx(10 * std::sqrt(0.5)));
    draw(drawing, DrawingLayer::cut, DrawnArc{{0, 0}, 10, 1.75 * pi, 2.25 * pi});
    bounds = boundsOf(drawing);
    CHECK(bounds.high[0] == Approx(10));
    CHECK(bounds.low[0] == Approx(-10 * std::sqrt(0.5)));
}

TEST_CASE("a rounded rectangle is as long around as its sides and one whole circle")
{
    Drawing drawing;
    addRoundedRectangle(drawing, DrawingLayer::cut, {5, 6}, 100, 40, 8);
    double around = 0;
    for (const DrawingItem& item : drawing.items)
        if (const auto* line = std::get_if<DrawnLine>(&item.what))
            around += std::hypot(line->to[0] - line->from[0], line->to[1] - line->from[1]);
        else
            around += std::get<DrawnArc>(item.what).radius *
                      (std::get<DrawnArc>(item.what).to - std::get<DrawnArc>(item.what).from);
    CHECK(around == Approx(2 * (84 + 24) + 2 * pi * 8));
    CHECK(drawing.items.size() == 8);
    const DrawingBounds bounds = boundsOf(drawing);
    CHECK(bounds.low[0] == Approx(-45));
    CHECK(bounds.high[1] == Approx(26));
}

TEST_CASE("the print check is a rule of 100 mm and a square of 50 mm")
{
    Drawing drawing;
    addPrintCheck(drawing, {7, 8});
    double longest = 0;
    int ticks = 0;
    for (const DrawingItem& item : drawing.items) {
        CHECK(item.layer == DrawingLayer::notes);
        if (const auto* line = std::get_if<DrawnLine>(&item.what)) {
            const double length = std::hypot(line->to[0] - line->from[0], line->to[1] - line->from[1]);
            longest = std::max(longest, length), ticks += length < 10;
        }
        if (const auto* square = std::get_if<DrawnPolyline>(&item.what)) {
            CHECK(square->closed);
            for (std::size_t i = 0; i < 4; ++i) {
                const auto &a = square->points[i], &b = square->points[(i + 1) % 4];
                CHECK(std::hypot(b[0] - a[0], b[1] - a[1]) == Approx(50));
            }
        }
    }
    CHECK(longest == Approx(100));
    CHECK(ticks == 11);
}
