// SPDX-License-Identifier: GPL-3.0-or-later
// What a wire drawing of solids consists of: lines on paper, seen or hidden. Pure functions, free of pixels.
#pragma once

#include "core/housing/measurement.h"

#include <QPointF>
#include <QPolygonF>
#include <QRectF>

#include <array>
#include <vector>

namespace portwright {

/// Parallel projection onto paper (x right, y downwards), to scale along every axis (isometric unless given).
struct Axonometry {
    Point3 right{0.7071067811865476, 0.7071067811865476, 0};                      ///< unit vectors of the paper ...
    Point3 up{-0.408248290463863, 0.408248290463863, 0.816496580927726};          ///< ... in space,
    Point3 towards{0.5773502691896258, -0.5773502691896258, 0.5773502691896258};  ///< and to the viewer
};
QPointF onPaper(const Axonometry& view, const Point3& place);
double depthOf(const Axonometry& view, const Point3& place);  ///< larger is nearer to the viewer

/// A piece of surface as a net of points with outward unit normals, for outlines and for hiding what is behind.
struct SurfaceNet {
    int rows = 0, columns = 0;
    std::vector<Point3> at, normal;  ///< rows x columns
    bool flat = false;               ///< no outline of its own
};
/// An edge: points with the outward normals of the two faces that meet there (twice the same on a smooth outline).
struct Edge {
    std::vector<Point3> at, one, other;
};
struct SolidShape {
    std::vector<SurfaceNet> nets;
    std::vector<Edge> edges;
};
/// The surface of a solid of sound sizes, placed as core/cavity/solids.h says. Flat faces exact, curved ones in 48
/// chords a turn.
SolidShape shapeOf(const SolidStep& step);
double enclosedVolume(const SolidShape& shape);  ///< m3, divergence theorem over the nets; for tests

struct DrawnSolid {
    std::size_t step = 0;
    bool subtract = false;
    std::vector<QPolygonF> seen, hidden;  ///< m on paper
    std::vector<QPolygonF> patches;       ///< triangles on paper, front faces, for hatching
};
struct SolidsDrawing {
    Axonometry view;
    std::vector<DrawnSolid> solids;  ///< one a step, in order
    QRectF bounds;                   ///< m on paper
    std::vector<SolidShape> shapes;
};
/// A step whose sizes are not sound has no lines. Added solids hide one another; subtracted ones are seen through
/// everything and hide nothing.
SolidsDrawing drawingOf(const SolidsMeasurement& solids, const Axonometry& view = {});

/// Steps under a point of the paper, the nearest to the viewer first.
std::vector<int> stepsAt(const SolidsDrawing& drawing, const QPointF& paper);

}  // namespace portwright
