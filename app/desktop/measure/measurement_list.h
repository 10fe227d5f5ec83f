// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/measure/measure_desk.h"

#include <QWidget>

class QListWidget;
class QPushButton;

namespace portwright {

class SegmentSwitch;

/// The measurements of the shown cavity: what each says, whether it is used (Space) and whether it agrees. Below it
/// what adds, copies and removes.
class MeasurementList : public QWidget {
    Q_OBJECT
public:
    explicit MeasurementList(MeasureDesk& desk, QWidget* parent = nullptr);

    QListWidget* list() const { return list_; }
    QPushButton* addButton() const { return add_; }
    void refresh();

protected:
    void changeEvent(QEvent* event) override;

private:
    QString wordsOf(int measurement) const;

    MeasureDesk& desk_;
    SegmentSwitch* cavities_;
    QListWidget* list_;
    QPushButton *add_, *copy_, *remove_;
    bool filling_ = false;
};

}  // namespace portwright
