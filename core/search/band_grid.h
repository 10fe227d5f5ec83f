// SPDX-License-Identifier: GPL-3.0-or-later
// The frequencies that what is shown of a search is reckoned at. Internal to the search.
#pragma once

#include "core/network/grid.h"
#include "core/search/fast_response.h"

namespace portwright::searching {

/// Some 120 of them from the band's lowest to beyond its end, evenly in logarithms between its edges, which are both
/// among them, and at least 24 steps from edge to edge.
struct BandGrid {
    Grid grid;
    Eigen::Index from = 0, to = 0;  ///< indices of the band's edges
};
BandGrid bandGrid(const FastBand& band);

}  // namespace portwright::searching
