// SPDX-License-Identifier: GPL-3.0-or-later
// The four charts, linked: one cursor, one frequency range, one set of housings.
#pragma once

#include "app/desktop/window/workbench.h"
#include "plots/frequency_chart.h"

#include <QWidget>

#include <array>

namespace portwright {

class ChartsPage : public QWidget {
    Q_OBJECT
public:
    enum Which { level, travel, air, impedance };

    explicit ChartsPage(Workbench& workbench, QWidget* parent = nullptr);

    FrequencyChart* chart(Which which) const { return charts_[which]; }
    void refresh();  ///< curves, limits, readouts
    void fit();
    void moveToTuning();  ///< cursor to the chosen housing's tuning or resonance
    void moveToThreeDecibel();

signals:
    void digitTyped(QString text);
    void copyWanted(portwright::FrequencyChart* chart);

protected:
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void connectChart(FrequencyChart* chart);
    void tellCursor();
    void ink();
    void menuAt(FrequencyChart* chart, const QPoint& at);

    Workbench& workbench_;
    std::array<FrequencyChart*, 4> charts_{};
};

/// A chart as SVG, picture and text on the clipboard, in light colours.
void copyChart(FrequencyChart& chart, const QString& title);

}  // namespace portwright
