// SPDX-License-Identifier: GPL-3.0-or-later
// A row above the charts in which the limits of their axes are typed.
#pragma once

#include "app/desktop/window/charts_page.h"
#include "core/quantity/quantity.h"

#include <QWidget>

#include <array>

class QStackedWidget;

namespace portwright {

class QuantityBox;
class QuietComboBox;

class AxisRow : public QWidget {
    Q_OBJECT
public:
    static constexpr int axisCount = 5;  ///< frequency, then the values of the four charts

    explicit AxisRow(ChartsPage& charts, QWidget* parent = nullptr);

    void open();  ///< shows it, ready to type
    void chooseAxis(int axis);
    QuantityBox* from(int axis) const { return pairs_[std::size_t(axis)].from; }
    QuantityBox* to(int axis) const { return pairs_[std::size_t(axis)].to; }

signals:
    void closed();

protected:
    void showEvent(QShowEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    struct Pair {
        QuantityBox *from = nullptr, *to = nullptr;
        Dimension dimension = Dimension::frequency;
    };
    QWidget* buildPair(int axis, Dimension dimension, const QString& name);
    double shownPerSi(const Pair& pair) const;  ///< charts show mm, the fields keep m
    void take(int axis);
    void refresh();
    void shut();

    ChartsPage& charts_;
    QuietComboBox* axes_;
    QStackedWidget* stack_;
    std::array<Pair, axisCount> pairs_;
};

}  // namespace portwright
