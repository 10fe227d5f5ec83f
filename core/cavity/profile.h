// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace portwright {

/// The cross-section of a cavity along its long axis, from one closed end to the other: positions [m] rising, section
/// areas [m2], and perimeters [m] (0 where not known: a circle of that area). Between two positions the square root of
/// the area runs straight, as in a cone. At least two positions.
struct Profile {
    std::vector<double> at, area, perimeter;
    bool operator==(const Profile&) const = default;
};

}  // namespace portwright
