// SPDX-License-Identifier: GPL-3.0-or-later
// Searches on functions of frequency that are evaluated a whole grid at a time.
#pragma once

#include "core/network/grid.h"

#include <cmath>
#include <optional>

namespace portwright {

/// Which of several rises through 0 is wanted: the lowest, or the one above which the function stays above 0.
enum class Rise { first, last };

/// Frequency in from..to [Hz] where `value` (grid -> array) rises through 0 from below, narrowed to 1e-10.
/// Absent if it never does within the range (for Rise::last: if it is never below 0).
/// `points` must resolve the function.
template <class Value> std::optional<double> riseOf(const Value& value, Rise which, double from, double to, int points)
{
    while (to / from - 1 > 1e-10) {
        const Grid grid = logGrid(from, to, points);
        const Eigen::ArrayXd v = value(grid);
        Eigen::Index found = -1;  // last index below 0 before a rise
        for (Eigen::Index i = 0; i < v.size(); ++i) {
            if (!(v[i] < 0)) continue;
            const bool rises = i + 1 < v.size() && !(v[i + 1] < 0);
            if (rises || which == Rise::last) found = i;
            if (rises && which == Rise::first) break;
        }
        if (found < 0) return std::nullopt;
        if (found + 1 == v.size()) return to;
        from = grid.frequency[found];
        to = grid.frequency[found + 1];
        points = 16;
    }
    return std::sqrt(from * to);
}

/// The place and height of the largest value between two frequencies that enclose a single peak, to 1e-7 in frequency.
struct Extremum {
    double frequency, value;
};
template <class Value> Extremum largestWithin(const Value& value, double from, double to)
{
    for (int round = 0; round < 12 && to / from - 1 > 1e-7; ++round) {
        const Grid grid = logGrid(from, to, 16);
        Eigen::Index best = 0;
        value(grid).maxCoeff(&best);
        from = grid.frequency[std::max<Eigen::Index>(best - 1, 0)];
        to = grid.frequency[std::min<Eigen::Index>(best + 1, grid.size() - 1)];
    }
    const double f = std::sqrt(from * to);
    return {f, value(logGrid(f, f, 1))[0]};
}

}  // namespace portwright
