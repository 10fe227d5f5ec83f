// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/drawing.h"

#include "core/constants.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

using Point = std::array<double, 2>;

class BoundsFinder {
public:
    void operator()(const DrawnLine& line) { include(line.from), include(line.to); }
    void operator()(const DrawnCircle& circle) { square(circle.centre, circle.radius); }
    void operator()(const DrawnArc& arc)
    {
        include(on(arc, arc.from)), include(on(arc, arc.to));
        for (int quarter = -8; quarter <= 8; ++quarter)
            if (const double turn = quarter * pi / 2; turn > arc.from && turn < arc.to) include(on(arc, turn));
    }
    void operator()(const DrawnPolyline& line)
    {
        for (const Point& p : line.points)
            include(p);
    }
    void operator()(const DrawnText& text)
    {
        const double wide = 0.85 * text.height * double(letters(text.words));
        const double left = text.at[0] - (text.centred ? wide / 2 : 0);
        include({left, text.at[1] - 0.3 * text.height});
        include({left + wide, text.at[1] + text.height});
    }
    DrawingBounds bounds() const { return any_ ? bounds_ : DrawingBounds{}; }

private:
    static Point on(const DrawnArc& arc, double turn)
    {
        return {arc.centre[0] + arc.radius * std::cos(turn), arc.centre[1] + arc.radius * std::sin(turn)};
    }
    static std::ptrdiff_t letters(const std::string& words)  // of UTF-8
    {
        return std::count_if(words.begin(), words.end(), [](char c) { return (c & 0xC0) != 0x80; });
    }
    void square(const Point& centre, double r)
    {
        include({centre[0] - r, centre[1] - r}), include({centre[0] + r, centre[1] + r});
    }
    void include(const Point& p)
    {
        for (std::size_t k = 0; k < 2; ++k) {
            bounds_.low[k] = any_ ? std::min(bounds_.low[k], p[k]) : p[k];
            bounds_.high[k] = any_ ? std::max(bounds_.high[k], p[k]) : p[k];
        }
        any_ = true;
    }

    DrawingBounds bounds_;
    bool any_ = false;
};

}  // namespace

void draw(Drawing& drawing, DrawingLayer layer, DrawnShape what)
{
    DrawingItem& item = drawing.items.emplace_back();
    item.layer = layer;
    item.what = std::move(what);
}

const char* layerName(DrawingLayer layer)
{
    switch (layer) {
    case DrawingLayer::cut:
        return "cut";
    case DrawingLayer::centre:
        return "centre";
    case DrawingLayer::engrave:
        return "engrave";
    case DrawingLayer::notes:
        return "notes";
    }
    return "notes";
}

DrawingBounds boundsOf(const Drawing& drawing)
{
    BoundsFinder finder;
    for (const DrawingItem& item : drawing.items)
        std::visit(finder, item.what);
    return finder.bounds();
}

void addRoundedRectangle(Drawing& drawing, DrawingLayer layer, const Point& centre, double width, double height,
                         double corner)
{
    const double r = std::min({corner, width / 2, height / 2}), x = width / 2, y = height / 2;
    const auto line = [&](double x0, double y0, double x1, double y1) {
        if (x0 == x1 && y0 == y1) return;  // the arcs meet
        draw(drawing, layer, DrawnLine{{centre[0] + x0, centre[1] + y0}, {centre[0] + x1, centre[1] + y1}});
    };
    const auto arc = [&](double cx, double cy, int quarter) {
        if (r > 0)
            draw(drawing, layer,
                 DrawnArc{{centre[0] + cx, centre[1] + cy}, r, quarter * pi / 2, (quarter + 1) * pi / 2});
    };
    line(-x + r, -y, x - r, -y), arc(x - r, -y + r, 3);
    line(x, -y + r, x, y - r), arc(x - r, y - r, 0);
    line(x - r, y, -x + r, y), arc(-x + r, y - r, 1);
    line(-x, y - r, -x, -y + r), arc(-x + r, -y + r, 2);
}

std::vector<std::string> linesOf(const std::string& words)
{
    constexpr std::size_t mostLines = 3;
    constexpr int mostLetters = 60, mostBytes = 238,
                  spare = 7;  // bytes of a letter outside ASCII in a DXF file; of the farthest twice
    std::vector<std::string> lines;
    std::size_t at = 0;
    while (at < words.size()) {
        if (lines.size() == mostLines) {
            lines.back() += "\u2026";
            break;
        }
        std::size_t end = at, space = std::string::npos;
        for (int letters = 0, bytes = 0; end < words.size(); ++letters) {
            std::size_t next = end + 1;
            while (next < words.size() && (words[next] & 0xC0) == 0x80)
                ++next;
            bytes += next - end > 3 ? 2 * spare : next - end > 1 ? spare : 1;
            if (letters == mostLetters || bytes > mostBytes) break;
            if (words[end] == ' ') space = end;
            end = next;
        }
        if (end < words.size() && space != std::string::npos && space > at) end = space;
        lines.push_back(words.substr(at, end - at));
        at = end;
        while (at < words.size() && words[at] == ' ')
            ++at;
    }
    return lines;
}

void addPrintCheck(Drawing& drawing, const Point& at)
{
    const auto put = [&](auto what) { draw(drawing, DrawingLayer::notes, std::move(what)); };
    const double x = at[0], y = at[1];
    put(DrawnPolyline{{{x, y}, {x + 50, y}, {x + 50, y + 50}, {x, y + 50}}, true});
    put(DrawnText{{x + 25, y + 24}, 3, "50\u00A0mm square", true});
    const double left = x + 60;
    put(DrawnLine{{left, y + 8}, {left + 100, y + 8}});
    for (int i = 0; i <= 10; ++i) {
        const double tick = i % 5 == 0 ? 6 : 3;
        put(DrawnLine{{left + 10 * i, y + 8}, {left + 10 * i, y + 8 + tick}});
    }
    put(DrawnText{{left, y + 1}, 3, "0"});
    put(DrawnText{{left + 100, y + 1}, 3, "100\u00A0mm", true});
    put(DrawnText{{left, y + 26}, 3, "Print at 100\u00A0%, do not fit to the page."});
    put(DrawnText{{left, y + 20}, 3, "Measure the rule and both sides of the square."});
}

}  // namespace portwright
