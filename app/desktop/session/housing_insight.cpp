// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/housing_insight.h"

namespace portwright {

HousingInsight::HousingInsight(QObject* parent) : QObject(parent) {}

void HousingInsight::setHousing(const Project& project, std::size_t housing, std::shared_ptr<const Computed> computed)
{
    if (computed == of_) return;
    of_ = std::move(computed);
    known_.reset();
    if (!of_) return task_.cancel();
    const std::function<Result<Uncertainty>(const Watch&)> work = [project, housing](const Watch&) {
        return uncertaintyOf(project, housing, logGrid(computedFrom, computedTo, 2));  // its curves are not shown here
    };
    startTask<Uncertainty>(task_, work, [this](Result<Uncertainty> found) {
        if (found) known_ = std::move(*found);
        emit changed();
    });
}

void HousingInsight::clear()
{
    of_.reset();
    known_.reset();
    task_.cancel();
}

}  // namespace portwright
