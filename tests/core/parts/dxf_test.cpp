// SPDX-License-Identifier: GPL-3.0-or-later
// Read back by dxflib's own reader.
#include "core/parts/dxf.h"

#include "core/parts/hole_template.h"
#include "tests/core/parts/random_port.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <dl_creationadapter.h>
#include <dl_dxf.h>
#include <limits>
#include <numbers>
#include <rapidcheck/catch.h>
#include <sstream>

using namespace portwright;
using namespace portwright::test;

namespace {

DrawingLayer layerNamed(const std::string& name)
{
    for (const auto layer : {DrawingLayer::cut, DrawingLayer::centre, DrawingLayer::engrave, DrawingLayer::notes})
        if (name == layerName(layer)) return layer;
    FAIL("a layer that was not written: " << name);
    return DrawingLayer::notes;
}

class Reader : public DL_CreationAdapter {
public:
    Drawing drawing;
    int units = -1;

    void setVariableInt(const std::string& key, int value, int) override
    {
        if (key == "$INSUNITS") units = value;
    }
    void addLine(const DL_LineData& l) override { put(DrawnLine{{l.x1, l.y1}, {l.x2, l.y2}}); }
    void addCircle(const DL_CircleData& c) override { put(DrawnCircle{{c.cx, c.cy}, c.radius}); }
    void addArc(const DL_ArcData& a) override
    {
        put(DrawnArc{{a.cx, a.cy}, a.radius, a.angle1 * std::numbers::pi / 180, a.angle2 * std::numbers::pi / 180});
    }
    void addPolyline(const DL_PolylineData& p) override { put(DrawnPolyline{{}, (p.flags & 1) != 0}); }
    void addVertex(const DL_VertexData& v) override
    {
        std::get<DrawnPolyline>(drawing.items.back().what).points.push_back({v.x, v.y});
    }
    void addText(const DL_TextData& t) override
    {
        put(DrawnText{{t.ipx, t.ipy}, t.height, t.text, t.hJustification == 1});
    }

private:
    void put(DrawnShape what) { draw(drawing, layerNamed(attributes.getLayer()), std::move(what)); }
};

Reader readBack(const Drawing& drawing)
{
    const auto text = dxfText(drawing);
    REQUIRE(text);
    std::istringstream stream(*text);
    Reader reader;
    DL_Dxf dxf;
    REQUIRE(dxf.in(stream, &reader));
    return reader;
}

/// All figures of a shape in a row.
std::vector<double> figures(const DrawnShape& shape)
{
    struct Visitor {
        std::vector<double> operator()(const DrawnLine& l) const { return {l.from[0], l.from[1], l.to[0], l.to[1]}; }
        std::vector<double> operator()(const DrawnCircle& c) const { return {c.centre[0], c.centre[1], c.radius}; }
        std::vector<double> operator()(const DrawnArc& a) const
        {
            return {a.centre[0], a.centre[1], a.radius, a.from, a.to};
        }
        std::vector<double> operator()(const DrawnPolyline& p) const
        {
            std::vector<double> all{p.closed ? 1.0 : 0.0};
            for (const auto& at : p.points)
                all.insert(all.end(), at.begin(), at.end());
            return all;
        }
        std::vector<double> operator()(const DrawnText& t) const
        {
            return {t.at[0], t.at[1], t.height, t.centred ? 1.0 : 0.0};
        }
    };
    return std::visit(Visitor{}, shape);
}

/// Largest difference of any figure; infinite where kind, layer or number of items differ.
double difference(const Drawing& a, const Drawing& b)
{
    const double never = std::numeric_limits<double>::infinity();
    if (a.items.size() != b.items.size()) return never;
    double most = 0;
    for (std::size_t i = 0; i < a.items.size(); ++i) {
        const auto &x = a.items[i], &y = b.items[i];
        if (x.layer != y.layer || x.what.index() != y.what.index()) return never;
        const std::vector<double> one = figures(x.what), other = figures(y.what);
        if (one.size() != other.size()) return never;
        for (std::size_t k = 0; k < one.size(); ++k)
            most = std::max(most, std::abs(one[k] - other[k]));
    }
    return most;
}

}  // namespace

TEST_CASE("a drawing comes back from DXF with every figure to 1e-9 mm, its layers and its unit")
{
    rc::prop("templates of any port", [] {
        PortOpening port = arbitraryPort();
        port.count = *rc::gen::inRange(1, 4);
        const auto making = *rc::gen::arbitrary<bool>() ? PortMaking::printed : PortMaking::stock;
        const auto drawing = holeTemplate(port, making, {});
        RC_ASSERT(drawing.has_value());
        const Reader back = readBack(*drawing);
        RC_ASSERT(back.units == 4);  // millimetres
        RC_ASSERT(difference(*drawing, back.drawing) < 1e-9);
    });
}

TEST_CASE("letters outside ASCII are written so that every program reads them")
{
    Drawing drawing;
    draw(drawing, DrawingLayer::notes, DrawnText{{0, 0}, 3, "\u00D850\u00A0mm, 90\u00B0 \U0001F527"});
    const Reader back = readBack(drawing);
    CHECK(std::get<DrawnText>(back.drawing.items[0].what).words == "\\U+00D850 mm, 90\\U+00B0 \\U+D83D\\U+DD27");
}

TEST_CASE("an empty drawing is a valid file") { CHECK(readBack({}).drawing.items.empty()); }

TEST_CASE("letters that are signs of the format are written as letters")
{
    Drawing drawing;
    for (const char* words : {"50 % and 100%", "%%c", "a^J", "\\U+0041", "\U0001F3CD"})
        draw(drawing, DrawingLayer::notes, DrawnText{{0, 0}, 3, words});
    const auto back = readBack(drawing).drawing.items;
    REQUIRE(back.size() == 5);
    const auto words = [&](std::size_t i) { return std::get<DrawnText>(back[i].what).words; };
    CHECK(words(0) == "50 % and 100%");
    CHECK(words(1) == "%%%%%%c");  // each %%% is one per cent sign
    CHECK(words(2) == "a^ J");
    CHECK(words(3) == "\\U+005CU+0041");
    CHECK(words(4) == "\\U+D83C\\U+DFCD");  // UTF-16 of U+1F3CD
}
