// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/mark.h"
#include "app/desktop/measure/measure_desk.h"

#include <QWidget>

class QLabel;
class QPushButton;

namespace portwright {

/// What the chosen reading says, what all come to, and what is to be said about that.
class ResultStrip : public QWidget {
    Q_OBJECT
public:
    explicit ResultStrip(MeasureDesk& desk, QWidget* parent = nullptr);
    void refresh();

private:
    MeasureDesk& desk_;
    QLabel *one_, *all_;
    StateLine* remark_;
    QPushButton* use_;      ///< puts the measurements in force where a typed volume stands
    QPushButton* takeOff_;  ///< puts in the deductions that a bare shell needs
};

}  // namespace portwright
