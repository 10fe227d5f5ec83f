// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/mesh/mesh.h"
#include "core/result.h"

#include <vector>

namespace portwright {

/// Triangles, counterclockwise, of what lies inside an odd number of closed loops: an outline with holes. Corners are
/// places in the loops laid end to end; no point is added (CGAL, constrained Delaunay triangulation). Points that are
/// the same are one, the first of them. Errors: loops that cross each other.
Result<std::vector<Triangle>> flatFace(const std::vector<std::vector<Point2>>& loops);

}  // namespace portwright
