// SPDX-License-Identifier: GPL-3.0-or-later
// Points in a plane of two quantities, each with its number in a list. Knows no acoustics: it is handed finished values
// in the units it shows.
#pragma once

#include "plots/chart/axis.h"
#include "plots/plot_palette.h"

#include <QString>
#include <QWidget>

#include <optional>
#include <vector>

class QPainter;

namespace portwright {

struct ScatterPoint {
    double x = 0, y = 0;
    QString words;          ///< what it is, for the tip and for those who hear the picture
    bool over = false;      ///< past a limit: open instead of filled, an eight-corner instead of a disc
    QString label = {};     ///< beside the mark; empty: its number in the list, from 1
    bool standing = false;  ///< what is there already, not one to be chosen from: a square
    bool operator==(const ScatterPoint&) const = default;
};

/// A limit of x: what lies to the right of it is past it.
struct ScatterLimit {
    double x = 0;
    QString words;
    bool operator==(const ScatterLimit&) const = default;
};

struct ScatterAxis {
    QString title, unit;
};

/// A range that holds the values, with a margin for the marks. Up to a quarter of those that `mayLeave` are left out
/// where the others would else share less than 0.4 of it.
AxisRange scatterRange(std::vector<double> mayLeave, const std::vector<double>& stay = {});

/// A few points far from all others stand as arrows at the edge, with their values. Points with labels where there is
/// room for them; one that has none shows it while it is chosen or pointed at. Up and Down go through the list, Left
/// and Right to the next point along the picture; Return takes the chosen one.
class ScatterView : public QWidget {
    Q_OBJECT
public:
    explicit ScatterView(const QString& accessibleName, QWidget* parent = nullptr);

    void setAxes(const ScatterAxis& x, const ScatterAxis& y);  ///< x is never shown below 0
    void setPoints(std::vector<ScatterPoint> points);          ///< in the list's order; numbers are 1, 2 ...
    const std::vector<ScatterPoint>& points() const { return points_; }
    void setLimit(const std::optional<ScatterLimit>& limit);  ///< always in the picture
    void setEmptyWords(const QString& words);                 ///< where there is no point
    void setCurrent(int index);                               ///< emits nothing; -1: none
    int current() const { return current_; }
    void setHovered(int index);  ///< emits nothing; -1: none
    int hovered() const { return hovered_; }
    void setPlotPalette(const PlotPalette& palette);

    QPointF placeOf(int index) const;  ///< px; at the edge where its values lie beyond
    bool isBeyond(int index) const;
    void paintTo(QPainter& painter, const QSizeF& size) const;
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void hoveredChanged(int index);
    void chosen(int index);     ///< another one is the current one, by mouse or key
    void activated(int index);  ///< Return or a double click

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool event(QEvent* event) override;

private:
    QRectF plotBox(const QSizeF& size) const;
    QPointF placeIn(const QRectF& box, const ScatterPoint& point) const;
    int pointAt(const QPointF& at) const;
    void choose(int index);
    void hover(int index);
    void describe();
    void paintAxes(QPainter& painter, const QRectF& box) const;
    void paintPoint(QPainter& painter, const QRectF& box, int index, const QPointF& at) const;
    void fit();
    QPointF aloneIn(const QRectF& box, const ScatterPoint& point) const;
    std::vector<QPointF> marksIn(const QRectF& box) const;
    void paintArrow(QPainter& painter, const QRectF& box, const ScatterPoint& point, const QPointF& at) const;
    QString labelOf(int index) const;
    QString shownLabelOf(int index) const;
    double markRadius() const;                                  ///< px
    std::optional<QRectF> limitWords(const QRectF& box) const;  ///< where they stand
    void paintLimit(QPainter& painter, const QRectF& box) const;
    void paintLabels(QPainter& painter, const QRectF& box) const;

    std::vector<ScatterPoint> points_;
    ScatterAxis x_, y_;
    AxisRange shownX_, shownY_;
    std::optional<ScatterLimit> limit_;
    QString empty_;
    PlotPalette palette_ = lightPalette();
    int current_ = -1, hovered_ = -1;
};

}  // namespace portwright
