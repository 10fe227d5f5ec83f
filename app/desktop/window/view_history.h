// SPDX-License-Identifier: GPL-3.0-or-later
// The views of the four charts before the present one, so that each zoom can be gone back.
#pragma once

#include "plots/chart/frequency_chart.h"

#include <QElapsedTimer>

#include <array>
#include <optional>
#include <vector>

namespace portwright {

using ChartViews = std::array<ChartView, 4>;

class ViewHistory {
public:
    static constexpr std::size_t most = 50;
    static constexpr qint64 pause = 600;  ///< ms; small steps closer together are one zoom

    void remember(const ChartViews& views, bool stepwise);
    /// The last view that differs from the present one; it is taken out. None: there is nothing to go back to.
    std::optional<ChartViews> back(const ChartViews& present);
    bool empty() const { return former_.empty(); }
    void clear();

private:
    std::vector<ChartViews> former_;
    QElapsedTimer sinceStep_;
};

}  // namespace portwright
