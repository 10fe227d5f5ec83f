// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace portwright {

/// The cross-section of a cavity along its long axis, from one closed end to the other: positions [m] rising, section
/// areas [m2], and perimeters [m] (0 or none at all where not known: a circle of that area). Between two positions the
/// square root of the area runs straight, as in a cone; an end may run to a point of area 0. At least two positions.
struct Profile {
    std::vector<double> at, area, perimeter;
    bool operator==(const Profile&) const = default;
};

/// Whether a profile keeps the rules above; one that was read from a file need not.
bool isUsable(const Profile& profile);

}  // namespace portwright
