// SPDX-License-Identifier: GPL-3.0-or-later
// Triangle meshes as plain values, and what follows from them by sums over triangles.
#pragma once

#include "core/cavity/voxels.h"
#include "core/housing/measurement.h"
#include "core/work.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace portwright {

/// Corners of a triangle, as places in the list of points, counterclockwise seen from outside.
using Triangle = std::array<std::uint32_t, 3>;

struct Mesh {
    std::vector<Point3> points;  ///< m (while a file is read: units of the file)
    std::vector<Triangle> triangles;
    bool operator==(const Mesh&) const = default;
};

struct Bounds {
    Point3 low{0, 0, 0}, high{0, 0, 0};  ///< m; both 0 where there is no point
};
Bounds boundsOf(const Mesh& mesh);
double diagonalOf(const Bounds& bounds);

/// Enclosed volume [m3] of a closed mesh, sum of v0.(v1 x v2)/6 with v from the middle of the bounds (which keeps the
/// digits when the mesh lies far from zero); negative where the mesh is inside out. A mesh with openings gives a number
/// that depends on where it lies.
double volumeOf(const Mesh& mesh);
double areaOf(const Mesh& mesh);  ///< m2, all triangles

/// A likeness for drawing with about the wanted number of triangles or fewer: points that share a cube of a straight
/// grid become their mean, and triangles that lose a corner go. Not for measuring: the volume shifts by some per cent.
Mesh reduced(const Mesh& mesh, std::size_t triangles);

/// Cubes whose centre lies inside a closed mesh (counted by crossings along x; gaps narrower than a cube may vanish).
/// Errors: cancelled; no triangles; a cell that is not above 0, or that would take more than 50 million cubes.
Result<VoxelGrid> voxelsOf(const Mesh& mesh, double cell, const Watch& watch = {});

}  // namespace portwright
