// SPDX-License-Identifier: GPL-3.0-or-later
// The four charts, linked: one cursor, one frequency range, one set of housings.
#pragma once

#include "app/desktop/session/workbench.h"
#include "app/desktop/window/view_history.h"
#include "plots/chart/frequency_chart.h"

#include <QWidget>

#include <array>

namespace portwright {

class ChartsPage : public QWidget {
    Q_OBJECT
public:
    enum Which { level, travel, air, impedance };

    explicit ChartsPage(Workbench& workbench, QWidget* parent = nullptr);

    FrequencyChart* chart(Which which) const { return charts_[which]; }
    UnitSystem units() const { return named_; }  ///< of the value axes
    void refresh();                              ///< curves, limits, readouts
    void setBands(bool shown);                   ///< of one standard uncertainty about the curves
    void fit();
    void back();                              ///< the view before the last zoom, drag, fit or typed limit
    void forgetViews() { history_.clear(); }  ///< another project is open
    bool canGoBack() const { return !history_.empty(); }
    void setFrequencyLimits(double lower, double upper);           ///< Hz
    void setValueLimits(Which which, double lower, double upper);  ///< in the unit that chart shows
    void moveToTuning();  ///< cursor to the chosen housing's tuning or resonance
    void moveToThreeDecibel();

signals:
    void digitTyped(QString text);
    void viewChanged();  ///< a range of some chart is another one
    void limitsWanted();
    void copyWanted(portwright::FrequencyChart* chart);

protected:
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void connectChart(FrequencyChart* chart);
    void connectTuning(FrequencyChart* chart);
    void showTuning();
    void dragTuning(double hertz);
    void dropTuning();
    void giveUpTuning();
    void nameUnits();
    void changeUnits();
    void tellCursor();
    ChartViews views() const;
    void remember(bool stepwise);
    void ink();
    void menuAt(FrequencyChart* chart, const QPoint& at);

    Workbench& workbench_;
    std::array<FrequencyChart*, 4> charts_{};
    ViewHistory history_;
    bool bands_ = false;
    /// While a tuning is dragged: the housing as it was, and the length that the port would have.
    struct TuningDrag {
        std::shared_ptr<const Computed> from;
        std::size_t opening = 0;
        std::optional<double> length = {};
    };
    std::optional<TuningDrag> tuningDrag_;
    UnitSystem named_ = UnitSystem::metric;  ///< what the titles speak of
};

/// A chart as SVG, picture and text on the clipboard, in light colours.
void copyChart(FrequencyChart& chart, const QString& title);

}  // namespace portwright
