// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh_patch.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_2_algorithms.h>
#include <CGAL/Polygon_mesh_processing/triangulate_hole.h>
#include <CGAL/utility.h>

#include <Eigen/Geometry>
#include <cmath>
#include <cstdint>
#include <exception>

namespace portwright {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
constexpr std::size_t mostEdges = 3000;  // beyond, the search takes seconds

Point3 centreOf(const std::vector<Point3>& rim)
{
    Point3 sum{0, 0, 0};
    double around = 0;
    for (std::size_t i = 0; i < rim.size(); ++i) {
        const Point3 &a = rim[i], &b = rim[(i + 1) % rim.size()];
        const double length = std::hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
        around += length;
        for (std::size_t k = 0; k < 3; ++k)
            sum[k] += length * (a[k] + b[k]) / 2;
    }
    for (double& x : sum)
        x /= around;
    return around > 0 ? sum : rim.front();
}

/// True if the rim, seen along the direction it faces, is a polygon that neither touches nor crosses itself. CGAL's
/// constrained triangulation takes no other: a crossing rim was seen to crash it.
bool isSimple(const std::vector<Point3>& rim)
{
    Eigen::Vector3d facing = Eigen::Vector3d::Zero();
    const auto at = [&](std::size_t i) -> Eigen::Vector3d {
        return Eigen::Vector3d(rim[i].data()) - Eigen::Vector3d(rim[0].data());
    };
    for (std::size_t i = 1; i + 1 < rim.size(); ++i)
        facing += at(i).cross(at(i + 1));
    if (!(facing.norm() > 0) || !facing.allFinite()) return false;
    facing.normalize();
    const Eigen::Vector3d u = facing.unitOrthogonal(), v = facing.cross(u);
    std::vector<Kernel::Point_2> flat;
    for (std::size_t i = 0; i < rim.size(); ++i)
        flat.emplace_back(at(i).dot(u), at(i).dot(v));
    return CGAL::is_simple_2(flat.begin(), flat.end(), Kernel());
}

/// True if every edge of the rim is a side of exactly one triangle, in the rim's own order once `turned` is applied.
bool closes(std::vector<Triangle>& triangles, std::size_t edges)
{
    std::size_t along = 0, against = 0;
    for (const Triangle& t : triangles)
        for (std::size_t i = 0; i < 3; ++i) {
            if (t[i] >= edges) return false;
            along += (t[i] + 1) % edges == t[(i + 1) % 3];
            against += (t[(i + 1) % 3] + 1) % edges == t[i];
        }
    if (against == edges && along == 0)
        for (Triangle& t : triangles)
            std::swap(t[1], t[2]);
    return triangles.size() + 2 == edges && (along == edges) != (against == edges);
}

}  // namespace

Patch patchOf(const std::vector<Point3>& rim)
{
    Patch patch{.triangles = {}, .fan = false, .centre = centreOf(rim)};
    if (rim.size() == 3) {
        patch.triangles = {{0, 1, 2}};
        return patch;
    }
    if (rim.size() <= mostEdges && isSimple(rim)) {
        std::vector<Kernel::Point_3> points;
        for (const Point3& p : rim)
            points.emplace_back(p[0], p[1], p[2]);
        std::vector<CGAL::Triple<int, int, int>> found;
        try {
            CGAL::Polygon_mesh_processing::triangulate_hole_polyline(
                points, std::back_inserter(found),
                CGAL::parameters::use_2d_constrained_delaunay_triangulation(true).do_not_use_cubic_algorithm(true));
        } catch (const std::exception&) {
            found.clear();  // the fan below always closes
        }
        for (const auto& [a, b, c] : found)
            patch.triangles.push_back(
                {static_cast<std::uint32_t>(a), static_cast<std::uint32_t>(b), static_cast<std::uint32_t>(c)});
        if (closes(patch.triangles, rim.size())) return patch;
    }
    patch.fan = true;
    patch.triangles.clear();
    const auto edges = static_cast<std::uint32_t>(rim.size());
    for (std::uint32_t i = 0; i < edges; ++i)
        patch.triangles.push_back({i, (i + 1) % edges, edges});
    return patch;
}

}  // namespace portwright
