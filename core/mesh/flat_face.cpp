// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/flat_face.h"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <algorithm>
#include <exception>
#include <map>
#include <optional>

namespace portwright {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using VertexBase = CGAL::Triangulation_vertex_base_with_info_2<std::optional<std::uint32_t>, Kernel>;
using FaceBase = CGAL::Constrained_triangulation_face_base_2<Kernel>;
using Triangulation =
    CGAL::Constrained_Delaunay_triangulation_2<Kernel, CGAL::Triangulation_data_structure_2<VertexBase, FaceBase>,
                                               CGAL::No_constraint_intersection_tag>;
using Face = Triangulation::Face_handle;

void insertLoop(Triangulation& flat, const std::vector<Point2>& loop, std::uint32_t first)
{
    std::vector<Triangulation::Vertex_handle> corners;
    for (std::size_t i = 0; i < loop.size(); ++i) {
        const auto corner = flat.insert(Kernel::Point_2(loop[i][0], loop[i][1]));
        if (!corner->info()) corner->info() = first + static_cast<std::uint32_t>(i);
        corners.push_back(corner);
    }
    for (std::size_t i = 0; i < corners.size(); ++i)
        if (const auto next = corners[(i + 1) % corners.size()]; next != corners[i])
            flat.insert_constraint(corners[i], next);
}

/// Whether a face is inside: from outside in, each loop crossed changes the side.
std::map<Face, bool> sides(const Triangulation& flat)
{
    std::map<Face, bool> inside{{flat.infinite_face(), false}};
    std::vector<Face> open{flat.infinite_face()};
    while (!open.empty()) {
        const Face face = open.back();
        open.pop_back();
        for (int i = 0; i < 3; ++i) {
            const bool crossed = face->is_constrained(i);
            if (inside.emplace(face->neighbor(i), inside[face] != crossed).second) open.push_back(face->neighbor(i));
        }
    }
    return inside;
}

}  // namespace

Result<std::vector<Triangle>> flatFace(const std::vector<std::vector<Point2>>& loops)
try {
    Triangulation flat;
    std::uint32_t first = 0;
    for (const auto& loop : loops) {
        insertLoop(flat, loop, first);
        first += static_cast<std::uint32_t>(loop.size());
    }
    std::vector<Triangle> triangles;
    for (const auto& [face, inside] : sides(flat))
        if (inside && !flat.is_infinite(face))
            triangles.push_back({*face->vertex(0)->info(), *face->vertex(1)->info(), *face->vertex(2)->info()});
    // In the order of corners, not of places in memory: the same loops give the same list.
    for (Triangle& t : triangles)
        std::rotate(t.begin(), std::min_element(t.begin(), t.end()), t.end());
    std::sort(triangles.begin(), triangles.end());
    return triangles;
} catch (const std::exception&) {  // thrown where two constraints cross
    return fail("", "the outlines of a flange cross each other; give it more land or fewer screws");
}

}  // namespace portwright
