// SPDX-License-Identifier: GPL-3.0-or-later
// Clipping by arithmetic instead of by the painter: SVG files know no clipping.
#pragma once

#include <QLineF>
#include <QPolygonF>
#include <QRectF>
#include <QVector>

#include <optional>

namespace portwright {

/// The part of a line inside a box, if any (Liang and Barsky, ACM Trans. Graphics 3 (1984) 1).
std::optional<QLineF> insideBox(const QLineF& line, const QRectF& box);

/// The part of a polygon inside a box; where it falls into several, they hang together along the box's edge
/// (Sutherland and Hodgman, Comm. ACM 17 (1974) 32). Empty if nothing is inside.
QPolygonF insideBox(const QPolygonF& polygon, const QRectF& box);

/// From and to (shares of the line, 0..1) inside a convex polygon, if any (Cyrus and Beck 1978).
std::optional<std::pair<double, double>> insideConvex(const QLineF& line, const QPolygonF& convex);

/// 45 degree hatch of a box, lines `apart` px from one another along x.
QVector<QLineF> hatchOf(const QRectF& box, double apart);

/// 45 degree hatch between two convex polygons, one inside the other.
QVector<QLineF> hatchBetween(const QPolygonF& outer, const QPolygonF& inner, double apart);

}  // namespace portwright
