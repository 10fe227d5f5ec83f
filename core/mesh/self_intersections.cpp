// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/scan.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/box_intersection_d.h>
#include <CGAL/intersections.h>

#include <algorithm>
#include <exception>

namespace portwright {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Box = CGAL::Box_intersection_d::Box_with_info_d<double, 3, std::uint32_t>;

struct Stopped : std::exception {};

Kernel::Point_3 pointOf(const Point3& p) { return {p[0], p[1], p[2]}; }

/// Two neighbours across an edge cross only where one is folded flat onto the other.
bool foldedTogether(const Mesh& mesh, const Triangle& t, std::uint32_t apart, const Triangle& u, std::uint32_t other)
{
    const auto p = [&](std::uint32_t i) { return pointOf(mesh.points[i]); };
    const Kernel::Point_3 a = p(t[(apart + 1) % 3]), b = p(t[(apart + 2) % 3]), c = p(t[apart]), d = p(u[other]);
    return CGAL::coplanar(a, b, c, d) && CGAL::coplanar_orientation(a, b, c, d) == CGAL::POSITIVE;
}

bool cross(const Mesh& mesh, const Triangle& t, const Triangle& u)
{
    const auto p = [&](std::uint32_t i) { return pointOf(mesh.points[i]); };
    std::uint32_t shared = 0, apart = 0, other = 0, meetingT = 0, meetingU = 0;
    for (std::uint32_t i = 0; i < 3; ++i) {
        const auto at = static_cast<std::uint32_t>(std::find(u.begin(), u.end(), t[i]) - u.begin());
        if (at < 3) {
            ++shared;
            meetingT = i;
            meetingU = at;
        } else {
            apart = i;
        }
        if (std::find(t.begin(), t.end(), u[i]) == t.end()) other = i;
    }
    if (shared == 3) return true;
    if (shared == 2) return foldedTogether(mesh, t, apart, u, other);
    const Kernel::Triangle_3 tt{p(t[0]), p(t[1]), p(t[2])}, uu{p(u[0]), p(u[1]), p(u[2])};
    if (shared == 0) return CGAL::do_intersect(tt, uu);
    // At a common corner they touch anyway: what counts is whether a side across from it meets the other face.
    const Kernel::Segment_3 acrossT{p(t[(meetingT + 1) % 3]), p(t[(meetingT + 2) % 3])};
    const Kernel::Segment_3 acrossU{p(u[(meetingU + 1) % 3]), p(u[(meetingU + 2) % 3])};
    return CGAL::do_intersect(tt, acrossU) || CGAL::do_intersect(uu, acrossT);
}

}  // namespace

Result<std::size_t> selfIntersections(const Mesh& mesh, const Watch& watch)
{
    std::vector<Box> boxes;
    boxes.reserve(mesh.triangles.size());
    for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i) {
        const Triangle& t = mesh.triangles[i];
        const auto p = [&](std::size_t k) { return pointOf(mesh.points[t[k]]); };
        if (CGAL::collinear(p(0), p(1), p(2))) continue;  // no face to cross; counts for nothing in the volume
        boxes.emplace_back(p(0).bbox() + p(1).bbox() + p(2).bbox(), i);
    }
    std::size_t crossings = 0, looked = 0;
    const double expected = 7 * static_cast<double>(boxes.size());  // pairs of boxes that touch, for an even mesh
    const auto look = [&](const Box& a, const Box& b) {
        if (looked++ % 4096 == 0) {
            if (isCancelled(watch)) throw Stopped{};
            report(watch, std::min(0.99, static_cast<double>(looked) / expected), "looking for faces that cross");
        }
        crossings += cross(mesh, mesh.triangles[a.info()], mesh.triangles[b.info()]);
    };
    try {
        CGAL::box_self_intersection_d(boxes.begin(), boxes.end(), look);
    } catch (const Stopped&) {
        return cancelledWork();
    }
    return crossings;
}

}  // namespace portwright
