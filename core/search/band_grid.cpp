// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/band_grid.h"

#include <algorithm>
#include <cmath>

namespace portwright::searching {

BandGrid bandGrid(const FastBand& band)
{
    constexpr int all = 120, leastInBand = 24;
    const double highest = std::max(1.2 * band.to, 200.0), each = std::log(highest / band.lowest) / all;
    const auto steps = [each](double from, double to) { return int(std::ceil(std::log(to / from) / each - 1e-9)); };
    const int below = band.from > band.lowest ? std::max(1, steps(band.lowest, band.from)) : 0;
    const int inside = std::max(leastInBand, steps(band.from, band.to)), above = std::max(1, steps(band.to, highest));
    Eigen::ArrayXd frequency(below + inside + above + 1);
    const auto put = [&](int at, int count, double from, double to) {
        for (int i = 0; i <= count; ++i)  // the edges themselves, not what rounding makes of them
            frequency[at + i] = i == count ? to : from * std::pow(to / from, double(i) / count);
    };
    if (below > 0) put(0, below, band.lowest, band.from);
    put(below, inside, band.from, band.to);
    put(below + inside, above, band.to, highest);
    return {gridOf(std::move(frequency)), below, below + inside};
}

}  // namespace portwright::searching
