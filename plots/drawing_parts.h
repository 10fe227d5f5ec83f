// SPDX-License-Identifier: GPL-3.0-or-later
// What the drawings of a cavity share. Internal to plots.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#endif
#include "plots/plot_palette.h"

#include <QFont>
#include <QLineF>
#include <QPolygonF>
#include <QVector>

#include <functional>
#include <vector>

class QPainter;

namespace portwright {

double emOf(const QFont& font);  ///< px for one px of the drawings, made at 12 px
QFont sizedFont(const QFont& font, double factor, QFont::Weight weight = QFont::Normal);

/// 100 mm (4 in) wherever that is 24 px at least and fits the room; else the next shorter or longer round length.
/// Length 0: none fits.
struct ScaleBar {
    double length = 0;  ///< m
    QString words;
};
ScaleBar scaleBar(double pixelsPerMetre, double room, UnitSystem units,
                  const std::function<double(const QString&)>& widthOf);
/// Bar from `left` to the right with its words behind.
void paintScaleBar(QPainter& painter, const QPointF& left, double pixelsPerMetre, double room, UnitSystem units,
                   const PlotPalette& palette);

/// Lines at 45 degrees, `apart` px from one another along x and the same for every call, inside a union of convex
/// polygons. Overlaps give one line.
QVector<QLineF> hatchInside(const std::vector<QPolygonF>& convex, double apart);

/// A sentence where there is nothing to draw, wrapped in the middle of the box.
void paintSentence(QPainter& painter, const QRectF& box, const QString& sentence, const PlotPalette& palette);
void paintFocus(QPainter& painter, const QRectF& box, const PlotPalette& palette);  ///< 2 px inside the box
QString shownLength(double metres, UnitSystem units);                               ///< "130 mm", "5.12 in"

}  // namespace portwright
