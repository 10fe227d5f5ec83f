// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/constants.h"

#include <Eigen/Core>

namespace portwright {

/// Frequencies a network is solved at.
struct Grid {
    Eigen::ArrayXd frequency;  ///< Hz, > 0
    Eigen::ArrayXd omega;      ///< rad/s
    Eigen::Index size() const { return frequency.size(); }
};

/// Grid of given frequencies [Hz].
Grid gridOf(Eigen::ArrayXd frequency);

/// Log-spaced grid from..to [Hz], both ends included exactly; one point gives from.
Grid logGrid(double from, double to, int points);

}  // namespace portwright
