// SPDX-License-Identifier: GPL-3.0-or-later
// One chart of curves over frequency. Knows no acoustics: it is handed finished curves in the unit it shows.
#pragma once

#include "plots/chart/axis.h"
#include "plots/chart/curve.h"
#include "plots/plot_palette.h"

#include <QImage>
#include <QStringList>
#include <QWidget>

#include <memory>
#include <optional>
#include <utility>
#include <vector>

class QPainter;

namespace portwright {

/// What a chart shows of its plane.
struct ChartView {
    AxisRange frequency, value;
    bool valueByHand = false;  ///< the value range stays when the curves leave it
    bool operator==(const ChartView&) const = default;
};

class FrequencyChart : public QWidget {
    Q_OBJECT
public:
    explicit FrequencyChart(QWidget* parent = nullptr);
    ~FrequencyChart() override;

    void setQuantity(const QString& title, const QString& unit, const QString& accessibleName);
    void setRangePolicy(RangePolicy policy);
    void setPlotPalette(const PlotPalette& palette);

    /// In any order; absent housings as curves without points, so that their readout says "–".
    void setCurves(std::vector<Curve> curves);
    const std::vector<Curve>& curves() const;
    void setAbsentRemarks(const QStringList& remarks);  ///< "A has no port", at the lower right of the plot
    void setLimit(const std::optional<LimitLine>& limit);

    /// A mark on the axis that the hand can drag, in a housing's colour: its tuning. None: no mark.
    void setTuningMark(std::optional<double> hertz, int slot, const QString& words = {});
    QRectF tuningHandle() const;  ///< px, null where there is none

    void setCursorFrequency(double hertz);  ///< emits nothing
    double cursorFrequency() const;
    /// Exact figures at a frequency by slot; shown while the cursor stands there. Otherwise the curves are
    /// interpolated.
    void setCursorReadouts(double hertz, std::vector<std::pair<int, double>> bySlot);
    QString readoutOf(int slot) const;  ///< as painted in the title strip

    void setFrequencyRange(double lower, double upper);  ///< clamped; emits frequencyRangeMoved only if it changed
    AxisRange frequencyRange() const;
    void setFittedFrequencyRange(double lower, double upper);  ///< what fit() returns to, default 20..1000
    void setValueRange(double lower, double upper);
    AxisRange valueRange() const;
    void fit();  ///< both axes
    ChartView view() const;
    void setView(const ChartView& view);  ///< as it was before; ranges that are none are passed over

    void
    drawFast(bool fast);  ///< no anti-aliasing; a full redraw follows 150 ms after drawFast(false) or the last change

    void paintTo(QPainter& painter, const QSizeF& size);  ///< vectors only, at the painter's origin, palette as set
    QImage picture(const QSize& size, double pixelRatio = 1);

    std::vector<QRectF> endTagBoxes() const;   ///< px, by slot order of the visible curves; for tests
    std::vector<QRectF> overBarBoxes() const;  ///< px, above the plot; for tests
    QRectF plotBox() const;                    ///< px, where the curves are
    QSize minimumSizeHint() const override;
    QSize sizeHint() const override;

signals:
    void cursorFrequencyMoved(double hertz);
    void frequencyRangeMoved(double lower, double upper);
    void valueRangeMoved(double lower, double upper);
    /// Before the hand moves a range. `stepwise`: one of a row of small steps (wheel, plus and minus).
    void viewAboutToChange(bool stepwise);
    void backRequested();  ///< Backspace: the view before
    void slotToggled(int slot);
    void tuningDragged(double hertz);  ///< while the hand moves; the mark itself stays until it is set
    void tuningDropped(double hertz);
    void tuningDragGivenUp();  ///< Esc: all is as it was
    void digitTyped(const QString& text);
    void homeRequested();  ///< Home: tuning of the chosen housing
    void endRequested();   ///< End: its 3 dB point
    void contextMenuWanted(const QPoint& globalPosition);

protected:
    bool event(QEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void contextMenuEvent(QContextMenuEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;

    void moveCursorTo(double hertz);
    void endTuningDrag();
    void tellReadouts();
    void tellValueRange();
};

}  // namespace portwright
