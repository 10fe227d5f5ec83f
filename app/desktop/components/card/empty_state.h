// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include <array>

class QPushButton;

namespace portwright {

/// A dashed cavity with the three questions; stands where the charts will be.
class EmptyState : public QWidget {
    Q_OBJECT
public:
    explicit EmptyState(QWidget* parent = nullptr);

    void setAnswered(bool driver, bool cavity, bool opening);  ///< answered ones get the tick
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void mainActionWanted();
    void sampleWanted();

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void place();
    void dress();
    std::array<bool, 3> answered_{};
    QPushButton *main_, *sample_;
};

}  // namespace portwright
