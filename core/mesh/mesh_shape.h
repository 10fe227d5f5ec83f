// SPDX-License-Identifier: GPL-3.0-or-later
// The shape of a closed mesh: long axis, sections along it, longest dimension; and sums over edges.
#pragma once

#include "core/housing/profile.h"
#include "core/mesh/mesh_surface.h"

#include <cstdint>
#include <vector>

namespace portwright {

/// Unit vector along which the enclosed volume spreads most (largest eigenvalue of its second moments about its
/// centroid), so it does not depend on how fine the mesh is. Its largest component is positive. Where two axes are
/// alike (a cube), either may come.
Point3 longAxisOf(const Mesh& mesh);

struct PlacedProfile {
    Profile profile;  ///< position 0 at `from`
    Point3 from{0, 0, 0};
};

/// Sections across a closed mesh, closer together towards both ends, where domes close. The first and last are taken
/// 1/5000 of the length inside, so that a flat end shows its area.
PlacedProfile profileAlong(const Mesh& mesh, const Point3& axis);

/// m, between two corners of the mesh: the farthest from each of the 26 corners that stand out most in 13 directions.
/// Never too long; exact for boxes, within 1 % for round bodies.
double longestOf(const Mesh& mesh);

/// m, the same inside a wall so thick: each corner moves inward until it is that far from the planes of its faces
/// before `patchFrom`, and stays in those of the faces from there on (least squares where more than three disagree).
double longestInside(const Mesh& mesh, std::size_t patchFrom, double wall);

/// Over the edges inside one piece whose volume has the sign given (+1 outward, -1 inside out). Error: cancelled.
struct EdgeSums {
    double faceting = 0;  ///< m3, what flat facets cut off a curved wall (negative: add to one that bends inward):
                          ///< edges below 40 degrees, length x angle x both heights / 12
    double mitre = 0;     ///< m, integral of mean curvature for an offset inward, see readScan
};
Result<EdgeSums> edgeSumsOf(const Surface& surface, std::uint32_t piece, double sign, const Watch& watch = {});

}  // namespace portwright
