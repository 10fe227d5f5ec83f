// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/view_history.h"

namespace portwright {

void ViewHistory::remember(const ChartViews& views, bool stepwise)
{
    const bool continued = stepwise && sinceStep_.isValid() && sinceStep_.elapsed() < pause;
    if (stepwise)
        sinceStep_.start();
    else
        sinceStep_.invalidate();
    if (continued || (!former_.empty() && former_.back() == views)) return;
    if (former_.size() == most) former_.erase(former_.begin());
    former_.push_back(views);
}

std::optional<ChartViews> ViewHistory::back(const ChartViews& present)
{
    sinceStep_.invalidate();
    while (!former_.empty()) {
        const ChartViews last = former_.back();
        former_.pop_back();
        if (last != present) return last;
    }
    return std::nullopt;
}

void ViewHistory::clear()
{
    former_.clear();
    sinceStep_.invalidate();
}

}  // namespace portwright
