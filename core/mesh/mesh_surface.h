// SPDX-License-Identifier: GPL-3.0-or-later
// How the triangles of a mesh hang together: neighbours across edges, one sense for all, pieces, rims of openings.
//
// A half-edge is one side of a triangle: number 3 t + i runs from corner i of triangle t to the next corner.
#pragma once

#include "core/mesh/mesh.h"
#include "core/result.h"
#include "core/work.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace portwright {

inline constexpr std::uint32_t noMate = 0xffffffff;

struct Surface {
    Mesh mesh;                         ///< without duplicate and degenerate faces, neighbours turned to one sense
    std::vector<std::uint32_t> mate;   ///< of each half-edge, the one that runs back along it, or noMate at a rim
    std::vector<std::uint32_t> piece;  ///< of each triangle, counted from 0
    std::uint32_t pieces = 0;
    std::size_t duplicateFaces = 0;   ///< removed: the same three corners once more
    std::size_t degenerateFaces = 0;  ///< removed: two corners in one place
    std::size_t turnedFaces = 0;      ///< against most of their piece, as the file had them
    std::size_t crowdedEdges = 0;     ///< where more than two faces meet; paired where they run opposite ways
};

/// Errors: no triangle left; a surface with one side only (a strip with a half twist); cancelled.
Result<Surface> surfaceOf(Mesh mesh, const Watch& watch = {});

/// The rim of an opening: points in the sense of its half-edges, so a patch runs through them backwards.
struct Rim {
    std::vector<std::uint32_t> points;
    std::vector<std::uint32_t> halfEdges;  ///< from each point to the next
    std::uint32_t piece = 0;
};

/// All rims, none visiting a point twice. Two half-edges that only run forth and back close each other and are no rim.
std::vector<Rim> rimsOf(const Surface& surface);

}  // namespace portwright
