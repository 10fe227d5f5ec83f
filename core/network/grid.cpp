// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/grid.h"

#include <cmath>

namespace portwright {

Grid gridOf(Eigen::ArrayXd frequency)
{
    Grid grid;
    grid.omega = 2 * pi * frequency;
    grid.frequency = std::move(frequency);
    return grid;
}

Grid logGrid(double from, double to, int points)
{
    Eigen::ArrayXd f(points);
    const double step = points > 1 ? std::log(to / from) / (points - 1) : 0;
    for (int i = 0; i < points; ++i)
        f[i] = from * std::exp(step * i);
    f[0] = from;
    if (points > 1) f[points - 1] = to;
    return gridOf(std::move(f));
}

}  // namespace portwright
