// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/hole_template.h"

#include "core/parts/blanks.h"
#include "core/parts/port_body.h"
#include "core/parts/shop_length.h"

#include <algorithm>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr double mm = 1e3;
constexpr double between = 20e-3;  // m, common practice, no source: material left between neighbours
constexpr double checkWide = 170, checkHigh = 50, gap = 12, lineHeight = 5;  // mm

/// What one opening looks like, about its centre; mm.
struct Cutout {
    bool round = true;
    double width = 0, height = 0, corner = 0;  // of the hole; round: width is the diameter
    double boreWidth = 0, boreHeight = 0;
    const PortBody* body = nullptr;  // printed
};

Cutout stockHole(const PortOpening& port, const PartOptions& options)
{
    Cutout hole;
    hole.round = port.shape == PortShape::round;
    if (hole.round) {
        const double wall = port.wall.value_or(0);
        hole.boreWidth = hole.boreHeight = port.diameter * mm;
        hole.width = hole.height = (port.diameter + 2 * wall + (wall > 0 ? options.fit : 0)) * mm;
        return hole;
    }
    hole.width = hole.boreWidth = port.width * mm, hole.height = hole.boreHeight = port.height * mm;
    hole.corner = std::min({options.cornerRadius, port.width / 2, port.height / 2}) * mm;
    return hole;
}

Cutout printedHole(const PortOpening& port, const PortBody& body)
{
    Cutout hole;
    hole.round = port.shape == PortShape::round;
    hole.boreWidth = (hole.round ? port.diameter : port.width) * mm;
    hole.boreHeight = (hole.round ? port.diameter : port.height) * mm;
    hole.width = hole.boreWidth + 2 * body.hole * mm, hole.height = hole.boreHeight + 2 * body.hole * mm;
    hole.corner = body.hole * mm;
    hole.body = &body;
    return hole;
}

void addOutline(Drawing& drawing, DrawingLayer layer, const Point2& at, bool round, double width, double height,
                double corner)
{
    if (round)
        draw(drawing, layer, DrawnCircle{at, width / 2});
    else
        addRoundedRectangle(drawing, layer, at, width, height, corner);
}

void addCross(Drawing& drawing, const Point2& at, double half)
{
    draw(drawing, DrawingLayer::centre, DrawnLine{{at[0] - half, at[1]}, {at[0] + half, at[1]}});
    draw(drawing, DrawingLayer::centre, DrawnLine{{at[0], at[1] - half}, {at[0], at[1] + half}});
}

void addHole(Drawing& drawing, const Cutout& hole, const Point2& at)
{
    addOutline(drawing, DrawingLayer::cut, at, hole.round, hole.width, hole.height, hole.corner);
    if (hole.width > hole.boreWidth)
        addOutline(drawing, DrawingLayer::notes, at, hole.round, hole.boreWidth, hole.boreHeight, 0);
    addCross(drawing, at, 5);
}

/// With its screws, about its middle.
void addFlange(Drawing& drawing, const PortBody& body, const Point2& at)
{
    const FlangeCore core = flangeCore(body);
    const auto outline = [&](DrawingLayer layer, double offset) {
        const double out = (core.radius + offset) * mm;
        addOutline(drawing, layer, at, core.round(), 2 * core.halfWidth * mm + 2 * out,
                   2 * core.halfHeight * mm + 2 * out, out);
    };
    outline(DrawingLayer::engrave, body.rim);
    if (!body.screws.empty()) outline(DrawingLayer::centre, body.screw);
    for (const Point2& place : body.screws) {
        const Point2 centre{at[0] + place[0] * mm, at[1] + place[1] * mm};
        draw(drawing, DrawingLayer::cut, DrawnCircle{centre, body.screwRadius * mm});
        addCross(drawing, centre, body.screwRadius * mm + 2);
    }
}

std::vector<std::string> wordsOf(const PortOpening& port, const Cutout& hole, double spacing,
                                 const PartOptions& options)
{
    const auto size = [&](double millimetres) { return shopLength(millimetres / mm, options.units); };
    std::vector<std::string> words;
    words.push_back(fmt::format("Opening for a {} port, {}", hole.round ? "round" : "slot",
                                hole.body    ? "printed"
                                : hole.round ? "made of tube"
                                             : "made of panels"));
    words.push_back(hole.round ? fmt::format("Bore {}", size(hole.boreWidth))
                               : fmt::format("Bore {} by {}", size(hole.boreWidth), size(hole.boreHeight)));
    words.push_back(fmt::format("Length of the port {}", shopLength(port.length, options.units)));
    if (hole.round)
        words.push_back(fmt::format("Hole: diameter {}", size(hole.width)));
    else
        words.push_back(fmt::format("Hole: {} by {}, corners of radius {}", size(hole.width), size(hole.height),
                                    size(hole.corner)));
    if (hole.body && hole.body->tubes > 1) words.push_back("One flange for all tubes");
    if (hole.body && hole.body->flange > 0 && !hole.body->screws.empty()) {
        const PortBody& body = *hole.body;
        words.push_back(fmt::format("{} screw holes of {}, {} outside the bore", body.screws.size(),
                                    shopLength(2 * body.screwRadius, options.units),
                                    shopLength(body.screw, options.units)));
    }
    if (!hole.body && hole.round && port.wall.value_or(0) <= 0)
        words.push_back("The tube's wall is not known: measure its outside before sawing.");
    if (countOf(port) > 1)
        words.push_back(fmt::format("{} openings, {} between centres", countOf(port), size(spacing)));
    words.push_back("Seen from outside. Make a trial hole in scrap first.");
    return words;
}

/// mm between centres. The row runs along x.
Result<double> spacingOf(const PortOpening& port, const Cutout& hole, const PartOptions& options)
{
    const bool ownFlange = hole.body && hole.body->flange > 0 && hole.body->tubes == 1;
    const double across = ownFlange ? hole.boreWidth + 2 * hole.body->rim * mm : hole.width;
    if (!port.spacing || countOf(port) == 1) return across + between * mm;
    if (*port.spacing * mm >= across) return *port.spacing * mm;
    return fail("spacing_mm",
                fmt::format("the ports' centres are {} apart, and each hole takes {}; set them wider apart (Opening, "
                            "Place, Spacing), or make the tubes smaller",
                            shopLength(*port.spacing, options.units), shopLength(across / mm, options.units)));
}

}  // namespace

Result<Drawing> holeTemplate(const PortOpening& port, PortMaking making, const PartOptions& options,
                             const std::vector<double>& legs, const std::vector<std::string>& names)
{
    if (const auto fine = checkPort(port); !fine) return fail(fine.error());
    if (const auto fine = checkOptions(options); !fine) return fail(fine.error());
    PortBody body;
    if (making == PortMaking::printed) {
        const auto printed = printedBody(port, options, legs);
        if (!printed) return fail(printed.error());
        body = *printed;
    }
    const Cutout hole = making == PortMaking::printed ? printedHole(port, body) : stockHole(port, options);
    const auto spacing = spacingOf(port, hole, options);
    if (!spacing) return fail(spacing.error());

    Drawing drawing;
    const std::vector<std::string> words = wordsOf(port, hole, *spacing, options);
    drawing.title = names.empty() ? words.front() : names.front() + ": " + words.front();
    const bool flanged = hole.body && hole.body->flange > 0, shared = body.tubes > 1;
    for (int i = 0; i < countOf(port); ++i) {
        const Point2 at{*spacing * (i - (countOf(port) - 1) / 2.0), 0};
        addHole(drawing, hole, at);
        if (flanged && !shared) addFlange(drawing, body, at);
    }
    if (flanged && shared) addFlange(drawing, body, {0, 0});
    double y = boundsOf(drawing).low[1] - gap;
    const double left = std::min(boundsOf(drawing).low[0], -checkWide / 2);
    for (const std::string& line : names)
        for (const std::string& part : linesOf(line))
            draw(drawing, DrawingLayer::notes, DrawnText{{left, y}, 3, part}), y -= lineHeight;
    for (const std::string& line : words)
        draw(drawing, DrawingLayer::notes, DrawnText{{left, y}, 3, line}), y -= lineHeight;
    addPrintCheck(drawing, {left, y - checkHigh - 3});
    return drawing;
}

}  // namespace portwright
