// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/svg.h"

#include "core/constants.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr double margin = 5;  // mm
constexpr std::array layers{DrawingLayer::cut, DrawingLayer::centre, DrawingLayer::engrave, DrawingLayer::notes};

std::string escaped(const std::string& words)
{
    std::string text;
    for (const char c : words)
        switch (c) {
        case '&':
            text += "&amp;";
            break;
        case '<':
            text += "&lt;";
            break;
        case '>':
            text += "&gt;";
            break;
        case '"':
            text += "&quot;";
            break;
        default:
            text += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
        }
    return text;
}

/// Figures as short as a tenth of a micrometre needs.
std::string mm(double value)
{
    std::string text = fmt::format("{:.4f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

struct SvgItem {
    std::string operator()(const DrawnLine& line) const
    {
        return fmt::format(R"(<line x1="{}" y1="{}" x2="{}" y2="{}"/>)", mm(line.from[0]), mm(-line.from[1]),
                           mm(line.to[0]), mm(-line.to[1]));
    }
    std::string operator()(const DrawnCircle& circle) const
    {
        return fmt::format(R"(<circle cx="{}" cy="{}" r="{}"/>)", mm(circle.centre[0]), mm(-circle.centre[1]),
                           mm(circle.radius));
    }
    std::string operator()(const DrawnArc& arc) const
    {
        const auto x = [&](double turn) { return mm(arc.centre[0] + arc.radius * std::cos(turn)); };
        const auto y = [&](double turn) { return mm(-arc.centre[1] - arc.radius * std::sin(turn)); };
        return fmt::format(R"(<path d="M {} {} A {} {} 0 {} 0 {} {}"/>)", x(arc.from), y(arc.from), mm(arc.radius),
                           mm(arc.radius), arc.to - arc.from > pi ? 1 : 0, x(arc.to), y(arc.to));
    }
    std::string operator()(const DrawnPolyline& line) const
    {
        std::string points;
        for (const auto& p : line.points)
            points += fmt::format("{}{},{}", points.empty() ? "" : " ", mm(p[0]), mm(-p[1]));
        return fmt::format(R"(<{} points="{}"/>)", line.closed ? "polygon" : "polyline", points);
    }
    std::string operator()(const DrawnText& text) const
    {
        constexpr double capitals = 0.72;  // of the font's size, in ordinary fonts
        return fmt::format(R"(<text x="{}" y="{}" font-size="{}"{} fill="#000000" stroke="none">{}</text>)",
                           mm(text.at[0]), mm(-text.at[1]), mm(text.height / capitals),
                           text.centred ? R"( text-anchor="middle")" : "", escaped(text.words));
    }
};

const char* styleOf(DrawingLayer layer)
{
    switch (layer) {
    case DrawingLayer::cut:
        return R"(stroke="#c00000" stroke-width="0.1")";
    case DrawingLayer::centre:
        return R"(stroke="#0050b0" stroke-width="0.25" stroke-dasharray="6 1.5 1 1.5")";
    case DrawingLayer::engrave:
        return R"(stroke="#007040" stroke-width="0.25")";
    case DrawingLayer::notes:
        return R"(stroke="#000000" stroke-width="0.25")";
    }
    return "";
}

}  // namespace

std::string svgText(const Drawing& drawing)
{
    const DrawingBounds bounds = boundsOf(drawing);
    const double width = bounds.high[0] - bounds.low[0] + 2 * margin;
    const double height = bounds.high[1] - bounds.low[1] + 2 * margin;
    std::string svg = fmt::format("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                                  "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{}mm\" "
                                  "height=\"{}mm\" viewBox=\"{} {} {} {}\" "
                                  "fill=\"none\" font-family=\"sans-serif\">\n<title>{}</title>\n",
                                  mm(width), mm(height), mm(bounds.low[0] - margin), mm(-bounds.high[1] - margin),
                                  mm(width), mm(height), escaped(drawing.title));
    for (const DrawingLayer layer : layers) {
        svg += fmt::format("<g id=\"{}\" {}>\n", layerName(layer), styleOf(layer));
        for (const DrawingItem& item : drawing.items)
            if (item.layer == layer) svg += std::visit(SvgItem{}, item.what) + "\n";
        svg += "</g>\n";
    }
    return svg + "</svg>\n";
}

}  // namespace portwright
