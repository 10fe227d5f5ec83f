// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/session/computation.h"
#include "app/desktop/session/long_task.h"
#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/response/uncertainty.h"
#endif

#include <memory>

namespace portwright {

/// What takes many solutions of one housing: how well its results are known. Found out away from the window; another
/// input restarts it, and what is shown is always of the inputs shown, or nothing.
class HousingInsight : public QObject {
    Q_OBJECT
public:
    explicit HousingInsight(QObject* parent = nullptr);

    /// The housing it is to be about, as computed; null: about none. Starts only where the inputs are others.
    void setHousing(const Project& project, std::size_t housing, std::shared_ptr<const Computed> computed);
    void clear();

    const Uncertainty* uncertainty() const { return known_ ? &*known_ : nullptr; }
    LongTask& task() { return task_; }

signals:
    void changed();

private:
    std::shared_ptr<const Computed> of_;
    std::optional<Uncertainty> known_;
    LongTask task_;
};

}  // namespace portwright
