// SPDX-License-Identifier: GPL-3.0-or-later
// What a FrequencyChart is made of. Internal to plots.
#pragma once

#include "plots/chart/chart_items.h"
#include "plots/chart/frequency_chart.h"

#include <QPicture>
#include <QTimer>

namespace portwright {

/// The plot itself: paints, but leaves mouse and keys to the chart.
class ChartPlot : public QCustomPlot {
public:
    using QCustomPlot::QCustomPlot;

    /// draw() is what toPainter() ends in; through a QPicture any painter can take it, as vectors.
    void drawInto(QPainter& painter, const QSize& size)
    {
        QPicture record;
        QCPPainter recorder;
        recorder.begin(&record);
        recorder.setMode(QCPPainter::pmVectorized);
        recorder.setMode(QCPPainter::pmNoCaching);
        recorder.setMode(QCPPainter::pmNonCosmetic);
        toPainter(&recorder, size.width(), size.height());
        recorder.end();
        painter.drawPicture(QPointF(0, 0), record);
    }
};

struct FrequencyChart::Parts {
    ChartState state;
    QString name;
    RangePolicy policy = RangePolicy::fromZero;
    AxisRange fitted{20, 1000};
    AxisRange toldValue;                         ///< as last emitted
    bool valueSet = false, valueFitted = false;  ///< set by hand: stays; fitted once: keeps still
    bool fast = false;
    QTimer settle;
    ChartPlot* plot = nullptr;
    CurvesItem* curves = nullptr;
    SurroundItem* surround = nullptr;
    CursorItem* cursor = nullptr;
    TuningItem* tuning = nullptr;
    bool tuningDragged = false, tuningMoved = false;
    QString tuningWords;  ///< tip of the mark
    QCPLayer* cursorLayer = nullptr;
    std::optional<QPointF> pressed;
    AxisRange pressedFrequency, pressedValue;
    bool dragging = false, draggingValue = false;
    int pressedTag = -1;

    explicit Parts(FrequencyChart* chart);
    void applyPalette();
    void applyRanges();
    void refresh();        ///< everything, queued
    void refreshCursor();  ///< the cursor's own layer only
    void keepValueRange();
    int tagAt(const QPointF& at) const;
    double frequencyAt(double x) const;
};

}  // namespace portwright
