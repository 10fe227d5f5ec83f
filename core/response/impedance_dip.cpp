// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/impedance_dip.h"

#include "core/response/curves.h"
#include "core/response/rises.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

Eigen::ArrayXd magnitudeOver(const Model& model, const Grid& grid)
{
    const auto Z = impedanceOf(model, grid);
    return Z ? *Z : Eigen::ArrayXd::Zero(grid.size());
}

// No upper peak lies higher without losses: f_low^2 + f_high^2 = fs^2 (1 + n Cas/Cab) + fb^2 (Small 1973). What peaks
// above are waves that stand in cavity or port.
double upperPeakAtMost(const Model& model, double tuning)
{
    const Driver& d = model.driver.driver;
    const double alpha = model.driverCount * d.Cms * d.Sd * d.Sd / model.Cab;
    return std::hypot(model.driver.fs * std::sqrt(1 + alpha), tuning);
}

// The place of the lowest point between two, by where the slope turns: the lowest value itself is too flat to be
// placed better than to 1e-8, and what is derived from it by differences needs more.
std::optional<double> lowestWithin(const Model& model, double from, double to)
{
    constexpr double h = 2e-5;
    const auto slope = [&](const Grid& grid) -> Eigen::ArrayXd {
        const auto shifted = [&](double by) { return magnitudeOver(model, {grid.frequency * by, grid.omega * by}); };
        return shifted(1 + h) - shifted(1 - h);
    };
    return riseOf(slope, Rise::first, from, to, 16);
}

}  // namespace

std::optional<double> impedanceDip(const Model& model, double tuning)
{
    constexpr double asFarAs = 1.6, least = 1.01;  // from the tuning; peak over dip that a sweep still shows
    if (!(tuning > 0)) return std::nullopt;
    const Grid grid = logGrid(tuning / (2 * asFarAs), 1.2 * upperPeakAtMost(model, tuning), 240);
    const Eigen::ArrayXd Z = magnitudeOver(model, grid);
    const auto distance = [&](Eigen::Index i) { return std::abs(std::log(grid.frequency[i] / tuning)); };
    std::optional<Eigen::Index> dip;
    for (Eigen::Index i = 1; i + 1 < Z.size(); ++i) {
        if (!(Z[i] < Z[i - 1] && Z[i] <= Z[i + 1]) || distance(i) > std::log(asFarAs)) continue;
        Eigen::Index low = i, high = i;
        while (low > 0 && Z[low - 1] >= Z[low])
            --low;
        while (high + 1 < Z.size() && Z[high + 1] >= Z[high])
            ++high;
        const bool peaks = high + 1 < Z.size() && std::min(Z[low], Z[high]) >= least * Z[i];
        if (peaks && (!dip || distance(i) < distance(*dip))) dip = i;
    }
    if (!dip) return std::nullopt;
    return lowestWithin(model, grid.frequency[*dip - 1], grid.frequency[*dip + 1]);
}

}  // namespace portwright
