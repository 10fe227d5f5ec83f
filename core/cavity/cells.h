// SPDX-License-Identifier: GPL-3.0-or-later
// A cavity as equal cubes, of which those at the wall are cut by it: how much of each cube is air, and how much of each
// face between two cubes is open. A curved or slanted wall then has no stairs.
#pragma once

#include "core/cavity/voxels.h"
#include "core/result.h"
#include "core/work.h"

#include <array>
#include <vector>

namespace portwright {

struct CutCells {
    VoxelGrid grid;                          ///< inside: any air at all
    std::vector<float> share;                ///< 0..1 of each cube is air
    std::array<std::vector<float>, 3> open;  ///< 0..1 of the face towards +x, +y, +z of each cube
};
double volumeOf(const CutCells& cells);  ///< m3

/// Edge [m] of cubes of which about `count` fill a volume [m3].
double cellFor(double volume, int count);

/// The solids in their places, the list worked through in order: what a later line adds or subtracts prevails. Volumes
/// of the list simply add, so where solids overlap or lie apart the two volumes differ; told by overlapRemark.
/// Shares are counted on points spread evenly over cube and face (no two at the same height), so that a wall along the
/// axes is right to 1/100 of a cube, any other to about 1/50.
/// Errors: cancelled; bad solids (field as in solids.h); a cell not above 0; more than 20 million cubes.
Result<CutCells> cellsOf(const SolidsMeasurement& solids, double cell, const Watch& watch = {});

/// A sentence if the solids in their places hold over 3 % more or less air than their list; else empty.
std::string overlapRemark(const SolidsMeasurement& solids, const CutCells& cells);

/// Cubes of `factor` edges of a finer grid (1..32), their shares counted on it; 1 leaves the stairs as they are.
/// A mesh: coarsened(voxelsOf(mesh, cell/6), 6).
CutCells coarsened(const VoxelGrid& fine, int factor);

}  // namespace portwright
