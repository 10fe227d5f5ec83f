// SPDX-License-Identifier: GPL-3.0-or-later
// The painted parts of a chart, as items of QCustomPlot. Internal to plots.
#pragma once

#include "plots/chart/chart_state.h"

#include <qcustomplot.h>

#include <vector>

namespace portwright {

/// Frequency or value ticks by the arithmetic of axis.h.
class ChartTicker : public QCPAxisTicker {
public:
    ChartTicker(const ChartState& state, const QCPAxis& axis) : state_(state), axis_(axis) {}
    void generate(const QCPRange& range, const QLocale& locale, QChar formatChar, int precision, QVector<double>& ticks,
                  QVector<double>* subTicks, QVector<QString>* tickLabels) override;

private:
    const ChartState& state_;
    const QCPAxis& axis_;
    double room(bool upright) const;
    QVector<QString> frequencyLabels(const std::vector<double>& ticks, const QCPRange& range) const;
};

/// Base of the items: they paint from the shared state and take no part in the plot's own selection.
class ChartItem : public QCPAbstractItem {
public:
    ChartItem(QCustomPlot* plot, const ChartState& state, const QString& layer, bool clipped);
    double selectTest(const QPointF&, bool, QVariant*) const override { return -1; }

protected:
    const ChartState& state_;
    QRectF plotRect() const;
    double xOf(double hertz) const;
    double yOf(double value) const;

private:
    const QCPAxisRect& box_;
};

/// Hatch beyond the limit, its line and its words, and the remarks on absent curves. Below the curves: hides none.
class LimitItem : public ChartItem {
public:
    using ChartItem::ChartItem;

protected:
    void draw(QCPPainter* painter) override;

private:
    void drawHatch(QCPPainter* painter, double y) const;
    void drawWords(QCPPainter* painter, double y) const;
    void drawRemarks(QCPPainter* painter) const;
    double crowding(const QRectF& box) const;
};

class CurvesItem : public ChartItem {
public:
    using ChartItem::ChartItem;
    /// Px polylines of values over Hz inside a box, gaps and leavings cut out.
    std::vector<QPolygonF> pieces(const std::vector<double>& x, const std::vector<double>& y, const QRectF& box) const;
    /// Px areas between a curve's band's edges inside a box; none without a band.
    std::vector<QPolygonF> bandAreas(const Curve& curve, const QRectF& box) const;

protected:
    void draw(QCPPainter* painter) override;

private:
    void drawBand(QCPPainter* painter, const Curve& curve, const QRectF& box) const;
};

/// Title, unit, "Hz", over-bars and end tags: everything around the plot that stands still while the cursor moves.
class SurroundItem : public ChartItem {
public:
    using ChartItem::ChartItem;
    std::vector<std::pair<int, QRectF>> endTags() const;  ///< slot and box
    struct OverBar {
        int slot;
        double left, right, y;
        bool startsHere, stopsHere;  ///< an upright end: the crossing is inside the picture
    };
    std::vector<OverBar> overBars() const;

protected:
    void draw(QCPPainter* painter) override;
};

/// The mark of a tuning on the frequency axis. Not in exports: it is a handle.
class TuningItem : public ChartItem {
public:
    using ChartItem::ChartItem;
    QRectF handle() const;  ///< px; null without a mark in the picture

protected:
    void draw(QCPPainter* painter) override;
};

/// Cursor line, rings, readouts and the focus frame, on a layer with its own buffer.
class CursorItem : public ChartItem {
public:
    using ChartItem::ChartItem;
    std::vector<std::pair<int, QRectF>> stripTags() const;

protected:
    void draw(QCPPainter* painter) override;

private:
    void drawReadouts(QCPPainter* painter) const;
};

/// Rows and columns of the readouts in a strip of this width.
struct StripLayout {
    int perRow = 1, rows = 1;
    double column = 0, tag = 16, rowHeight = 18;  ///< px
    double spread = 0;                            ///< px of the "±0.8" behind each figure; 0: no band, or no room
    double height = 28;                           ///< px of the whole strip
};
StripLayout stripLayout(const ChartState& state, double width);
int readoutCount(const ChartState& state);
int overBarCount(const ChartState& state);
/// left, top, right, bottom of the plot, px.
QMargins chartMargins(const ChartState& state, const QSizeF& size);

}  // namespace portwright
