// SPDX-License-Identifier: GPL-3.0-or-later
// A flat drawing as plain values, in millimetres, y up: what SVG, DXF and PDF are written from.
#pragma once

#include <array>
#include <string>
#include <variant>
#include <vector>

namespace portwright {

enum class DrawingLayer { cut, centre, engrave, notes };  ///< to saw; centre lines; outline of what covers it; the rest

struct DrawnLine {
    std::array<double, 2> from{0, 0}, to{0, 0};
    bool operator==(const DrawnLine&) const = default;
};
struct DrawnCircle {
    std::array<double, 2> centre{0, 0};
    double radius = 0;
    bool operator==(const DrawnCircle&) const = default;
};
struct DrawnArc {  ///< counterclockwise from `from` to `to`
    std::array<double, 2> centre{0, 0};
    double radius = 0, from = 0, to = 0;  ///< rad, to above from by less than a turn
    bool operator==(const DrawnArc&) const = default;
};
struct DrawnPolyline {
    std::vector<std::array<double, 2>> points;
    bool closed = false;
    bool operator==(const DrawnPolyline&) const = default;
};
struct DrawnText {
    std::array<double, 2> at{0, 0};  ///< left end of the base line, its middle where centred
    double height = 3;               ///< of capitals
    std::string words;
    bool centred = false;
    bool operator==(const DrawnText&) const = default;
};

using DrawnShape = std::variant<DrawnLine, DrawnCircle, DrawnArc, DrawnPolyline, DrawnText>;

struct DrawingItem {
    DrawingLayer layer = DrawingLayer::notes;
    DrawnShape what;
    bool operator==(const DrawingItem&) const = default;
};

struct Drawing {
    std::string title;
    std::vector<DrawingItem> items;
    bool operator==(const Drawing&) const = default;
};

void draw(Drawing& drawing, DrawingLayer layer, DrawnShape what);

const char* layerName(DrawingLayer layer);  ///< "cut", "centre", "engrave", "notes"

struct DrawingBounds {
    std::array<double, 2> low{0, 0}, high{0, 0};  ///< mm
};
/// Of all there is; a letter of a text takes 0.85 of the capitals' height, since no font is known here.
DrawingBounds boundsOf(const Drawing& drawing);

/// A rectangle with rounded corners: four lines and four arcs (radius 0: lines alone), counterclockwise.
void addRoundedRectangle(Drawing& drawing, DrawingLayer layer, const std::array<double, 2>& centre, double width,
                         double height, double corner);

/// Words in lines that a drawing has room for: at most 60 letters, fewer where these take much room in a file (seven
/// bytes for one outside ASCII); after the third line the rest is left out, with an ellipsis. Broken at spaces if it
/// can.
std::vector<std::string> linesOf(const std::string& words);

/// To check the print by: a rule of 100 mm with a tick each 10 mm, and a square of 50 mm, with their words; the
/// square's lower left corner at `at`, the rule beside it. Takes 170 mm by 50 mm.
void addPrintCheck(Drawing& drawing, const std::array<double, 2>& at);

}  // namespace portwright
