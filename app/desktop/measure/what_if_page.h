// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/session/long_task.h"
#include "app/desktop/session/workbench.h"
#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/response/what_if.h"
#endif

#include <QWidget>

#include <memory>
#include <vector>

class QPushButton;

namespace portwright {

class StateLine;
class ValueTable;

/// The chosen housing as it is lived with: an amount each of luggage, a drain, an open lid, heat and height, and what
/// it does. Nothing of the project changes unless one is taken over by its button.
class WhatIfPage : public QWidget {
    Q_OBJECT
public:
    explicit WhatIfPage(Workbench& workbench, QWidget* parent = nullptr);

    ValueTable* table() const { return table_; }
    LongTask& task() { return task_; }
    void refresh();

private:
    using Outcomes = std::vector<Result<WhatIfOutcome>>;
    void reckon();
    void show();
    void apply();
    std::size_t chosen() const;

    Workbench& workbench_;
    ValueTable* table_;
    StateLine* sentence_;
    QPushButton* apply_;
    std::vector<WhatIf> wishes_;
    Outcomes outcomes_;
    LongTask task_;
    std::shared_ptr<const Computed> of_;  ///< what the outcomes are of ...
    double cursor_ = 0;                   ///< ... and at which frequency
    bool changed_ = true;
};

}  // namespace portwright
