// SPDX-License-Identifier: GPL-3.0-or-later
// Closing an opening.
#pragma once

#include "core/mesh/mesh.h"

#include <vector>

namespace portwright {

struct Patch {
    std::vector<Triangle> triangles;  ///< places in the rim; rim.size() is the centre, where a fan was needed
    bool fan = false;                 ///< the rim crosses itself, has more than 3000 edges, or CGAL found no way
    Point3 centre{0, 0, 0};           ///< m, mean of the rim weighted by the length of its edges
};

/// Triangles that close a rim, running along it in its own order. Flat where the rim is flat, else of the least
/// bending (CGAL, triangulation of holes: constrained Delaunay in the plane, else in space).
Patch patchOf(const std::vector<Point3>& rim);

}  // namespace portwright
