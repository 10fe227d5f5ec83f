// SPDX-License-Identifier: GPL-3.0-or-later
// The body of a port in the cut: centre line, bends and flares.
#include "plots/cut/cut_parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace portwright {
namespace {

constexpr double arcStep = std::numbers::pi / 24;  // rad
constexpr int flareSteps = 8;

/// A straight piece, or an arc if its radius is above 0; mm and rad.
struct Piece {
    double length = 0, radius = 0;
};

/// Straight pieces and bends in turn: the first straight goes down as far as it is asked to, the others share the rest.
std::vector<Piece> piecesOf(const CutPort& port, double total, double firstDown)
{
    double arcs = 0;
    for (const auto& [angle, radius] : port.bends)
        arcs += angle * 1e3 * radius;
    const double straight = std::max(0.0, total - arcs), n = double(port.bends.size());
    double first = straight;
    if (n > 0) first = std::clamp(firstDown - 1e3 * port.bends.front().second, straight / (n + 1), straight);
    std::vector<Piece> pieces{{first, 0}};
    for (const auto& [angle, radius] : port.bends) {
        if (radius > 0) pieces.push_back({angle * 1e3 * radius, 1e3 * radius});
        pieces.push_back({(straight - first) / n, 0});
    }
    return pieces;
}

/// Where the centre line is after s mm.
CutGeometry::Tube::Station stationAt(const std::vector<Piece>& pieces, QPointF at, double s)
{
    double turn = 0;
    for (const Piece& piece : pieces) {
        const double step = std::min(s, piece.length);
        if (piece.radius > 0) {
            const double next = turn + step / piece.radius;  // the way in is (-sin, cos) of the turn
            at += piece.radius * QPointF(std::cos(next) - std::cos(turn), std::sin(next) - std::sin(turn));
            turn = next;
        } else {
            at += step * QPointF(-std::sin(turn), std::cos(turn));
        }
        s -= step;
        if (s <= 0) break;
    }
    return {at, turn, 0};
}

/// What a quarter-round of radius r widens at a distance s from its end.
double widening(double r, double s) { return s < r ? r - std::sqrt(std::max(0.0, r * r - (r - s) * (r - s))) : 0; }

}  // namespace

QPointF CutGeometry::Tube::Station::beside(double away) const
{
    return at + away * QPointF(std::cos(turn), std::sin(turn));
}

QRectF CutGeometry::Tube::box(double wallThickness) const
{
    QPolygonF corners;
    for (const Station& s : line)
        for (const double side : {-1.0, 1.0})
            corners << s.beside(side * (s.half + wallThickness));
    return corners.boundingRect();
}

void layTube(CutGeometry::Tube& tube, const CutPort& port, double below)
{
    const double total = std::max(0.0, tube.outside + tube.length);
    const double inner = std::min(1e3 * port.innerFlare, total), outer = std::min(1e3 * port.outerFlare, total);
    const std::vector<Piece> pieces = piecesOf(port, total, tube.outside + below);
    std::vector<double> at{0, total};
    double reached = 0;
    for (const Piece& piece : pieces) {
        const int steps = piece.radius > 0 ? std::max(1, int(std::ceil(piece.length / piece.radius / arcStep))) : 1;
        for (int i = 1; i <= steps; ++i)
            at.push_back(std::min(total, reached + piece.length * i / steps));
        reached += piece.length;
    }
    for (int i = 1; i <= flareSteps; ++i) {
        const double share = 1 - std::cos(std::numbers::pi / 2 * i / flareSteps);
        if (outer > 0) at.push_back(outer * share);
        if (inner > 0) at.push_back(total - inner * share);
    }
    std::sort(at.begin(), at.end());
    at.erase(std::unique(at.begin(), at.end(), [](double a, double b) { return b - a < 1e-6; }), at.end());
    tube.line.clear();
    tube.bent = !port.bends.empty();
    for (const double s : at) {
        auto station = stationAt(pieces, QPointF(tube.left + tube.width / 2, -tube.outside), s);
        station.half = tube.width / 2 + widening(outer, s) + widening(inner, total - s);
        tube.line.push_back(station);
    }
}

}  // namespace portwright
