// SPDX-License-Identifier: GPL-3.0-or-later
// A cavity as equal cubes: what its modes are computed on.
#pragma once

#include "core/housing/measurement.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace portwright {

/// Cubes of one size on a straight grid, x running fastest: cube (i, j, k) has its centre at
/// origin + cell (i + 1/2, j + 1/2, k + 1/2).
struct VoxelGrid {
    double cell = 0;                   ///< m, edge of a cube
    std::array<int, 3> size{0, 0, 0};  ///< cubes along x, y, z
    Point3 origin{0, 0, 0};            ///< m, outer corner of cube (0, 0, 0)
    std::vector<std::uint8_t> inside;  ///< 1 air, 0 wall; size[0] size[1] size[2] of them

    std::size_t indexOf(int i, int j, int k) const
    {
        const auto at = [](int n) { return static_cast<std::size_t>(n); };
        return at(i) + at(size[0]) * (at(j) + at(size[1]) * at(k));
    }
    bool operator==(const VoxelGrid&) const = default;
};

}  // namespace portwright
