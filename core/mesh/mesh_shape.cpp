// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh_shape.h"

#include "core/constants.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

using Eigen::Vector3d;

Eigen::Map<const Vector3d> vectorOf(const Point3& p) { return Eigen::Map<const Vector3d>(p.data()); }
Vector3d cornerOf(const Mesh& mesh, const Triangle& t, int i) { return vectorOf(mesh.points[t[i]]); }

constexpr int sections = 40;         // intervals; 0.05 % of a sphere's volume is lost between them
constexpr double fromEnd = 1 / 5e3;  // of the length
constexpr double smooth = 40 * pi / 180, steepest = 150 * pi / 180;

/// One cut: area by the sum over its pieces p -> q of p x q / 2, and length around.
struct Cut {
    double area = 0, perimeter = 0;
};

}  // namespace

Point3 longAxisOf(const Mesh& mesh)
{
    const Bounds bounds = boundsOf(mesh);
    const Vector3d middle = (vectorOf(bounds.low) + vectorOf(bounds.high)) / 2;
    // Tetrahedron from the middle: integral of x x^T is det/120 (sum of v v^T + s s^T), s = a + b + c.
    double six = 0;
    Vector3d first = Vector3d::Zero();
    Eigen::Matrix3d second = Eigen::Matrix3d::Zero();
    for (const Triangle& t : mesh.triangles) {
        const Vector3d a = cornerOf(mesh, t, 0) - middle, b = cornerOf(mesh, t, 1) - middle,
                       c = cornerOf(mesh, t, 2) - middle, s = a + b + c;
        const double det = a.dot(b.cross(c));
        six += det;
        first += det / 24 * s;
        second += det / 120 * (a * a.transpose() + b * b.transpose() + c * c.transpose() + s * s.transpose());
    }
    if (six == 0) return {1, 0, 0};
    const Vector3d centroid = first / (six / 6);
    const Eigen::Matrix3d spread = second / (six / 6) - centroid * centroid.transpose();
    Vector3d axis = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(spread).eigenvectors().col(2);
    if (!axis.allFinite()) return {1, 0, 0};
    Eigen::Index largest = 0;
    axis.cwiseAbs().maxCoeff(&largest);
    if (axis[largest] < 0) axis = -axis;
    return {axis[0], axis[1], axis[2]};
}

PlacedProfile profileAlong(const Mesh& mesh, const Point3& axis)
{
    const Vector3d along = vectorOf(axis), u = along.unitOrthogonal(), v = along.cross(u);
    std::vector<Vector3d> placed;  // position along the axis, and place in the plane across
    placed.reserve(mesh.points.size());
    for (const Point3& p : mesh.points)
        placed.emplace_back(vectorOf(p).dot(along), vectorOf(p).dot(u), vectorOf(p).dot(v));
    const auto [lowest, highest] =
        std::minmax_element(placed.begin(), placed.end(), [](const auto& a, const auto& b) { return a[0] < b[0]; });
    const double start = (*lowest)[0], length = (*highest)[0] - start;
    const Vector3d middle = (*lowest + *highest) / 2;  // keeps the digits of areas far from zero
    PlacedProfile out;
    std::vector<double> at;
    for (int i = 0; i <= sections; ++i) {
        const double share = (1 - std::cos(pi * i / sections)) / 2;
        out.profile.at.push_back(length * share);
        at.push_back(start + length * std::clamp(share, fromEnd, 1 - fromEnd));
    }
    std::vector<Cut> cuts(at.size());
    for (const Triangle& t : mesh.triangles) {
        const Vector3d corners[3] = {placed[t[0]], placed[t[1]], placed[t[2]]};
        const auto [low, high] = std::minmax({corners[0][0], corners[1][0], corners[2][0]});
        for (auto s = std::upper_bound(at.begin(), at.end(), low); s != at.end() && *s <= high; ++s) {
            // One side goes up through the plane and one down: seen along the axis an outward face runs from the side
            // going up to the one going down.
            Vector3d up = Vector3d::Zero(), down = up;
            for (int i = 0; i < 3; ++i) {
                const Vector3d &a = corners[i], &b = corners[(i + 1) % 3];
                if ((a[0] >= *s) == (b[0] >= *s)) continue;
                (a[0] < *s ? up : down) = a + (*s - a[0]) / (b[0] - a[0]) * (b - a) - middle;
            }
            Cut& cut = cuts[static_cast<std::size_t>(s - at.begin())];
            cut.area += (up[1] * down[2] - up[2] * down[1]) / 2;
            cut.perimeter += std::hypot(down[1] - up[1], down[2] - up[2]);
        }
    }
    for (const Cut& cut : cuts) {
        out.profile.area.push_back(std::abs(cut.area));
        out.profile.perimeter.push_back(cut.perimeter);
    }
    // The line through the middle of the bounds, so that pictures show it inside.
    const Bounds bounds = boundsOf(mesh);
    const Vector3d centre = (vectorOf(bounds.low) + vectorOf(bounds.high)) / 2;
    const Vector3d from = centre + (start - centre.dot(along)) * along;
    out.from = {from[0], from[1], from[2]};
    return out;
}

double longestOf(const Mesh& mesh)
{
    std::vector<std::uint32_t> outstanding;
    for (int x = -1; x <= 1; ++x)
        for (int y = -1; y <= 1; ++y)
            for (int z = -1; z <= 1; ++z) {
                const Vector3d direction(x, y, z);
                const auto farther = [&](const Point3& a, const Point3& b) {
                    return vectorOf(a).dot(direction) < vectorOf(b).dot(direction);
                };
                const auto best = std::max_element(mesh.points.begin(), mesh.points.end(), farther);
                if (best != mesh.points.end())
                    outstanding.push_back(static_cast<std::uint32_t>(best - mesh.points.begin()));
            }
    std::sort(outstanding.begin(), outstanding.end());
    outstanding.erase(std::unique(outstanding.begin(), outstanding.end()), outstanding.end());
    double square = 0;
    for (const std::uint32_t i : outstanding)
        for (const Point3& p : mesh.points)
            square = std::max(square, (vectorOf(p) - vectorOf(mesh.points[i])).squaredNorm());
    return std::sqrt(square);
}

double longestInside(const Mesh& mesh, std::size_t patchFrom, double wall)
{
    struct Planes {  // normal equations of n.d = -wall (0 at a patch) over the faces that meet in a corner
        Eigen::Matrix3d matrix = Eigen::Matrix3d::Zero();
        Vector3d right = Vector3d::Zero();
    };
    std::vector<Planes> planes(mesh.points.size());
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const Triangle& t = mesh.triangles[i];
        const Vector3d a = cornerOf(mesh, t, 0);
        const Vector3d n = (cornerOf(mesh, t, 1) - a).cross(cornerOf(mesh, t, 2) - a).normalized();
        for (const std::uint32_t corner : t) {
            planes[corner].matrix += n * n.transpose();
            if (i < patchFrom) planes[corner].right -= wall * n;
        }
    }
    constexpr double flat = 1e-3;      // of the largest: below, the faces leave that direction open
    constexpr double farthest = 10.0;  // walls; sharper corners than 11 degrees are not followed to their end
    Mesh inside{.points = mesh.points, .triangles = {}};
    for (std::size_t i = 0; i < planes.size(); ++i) {
        Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver;
        solver.computeDirect(planes[i].matrix);
        const Vector3d& values = solver.eigenvalues();
        Vector3d shift = Vector3d::Zero();
        for (int k = 0; k < 3; ++k)
            if (values[k] > flat * values[2]) {
                const Vector3d direction = solver.eigenvectors().col(k);
                shift += direction * direction.dot(planes[i].right) / values[k];
            }
        if (const double far = shift.norm(); far > farthest * wall) shift *= farthest * wall / far;
        Eigen::Map<Vector3d>(inside.points[i].data()) += shift;
    }
    return longestOf(inside);
}

Result<EdgeSums> edgeSumsOf(const Surface& surface, std::uint32_t piece, double sign, const Watch& watch)
{
    EdgeSums sums;
    const Mesh& mesh = surface.mesh;
    std::vector<Vector3d> normals;  // twice the area long
    normals.reserve(mesh.triangles.size());
    for (const Triangle& t : mesh.triangles) {
        const Vector3d a = cornerOf(mesh, t, 0);
        normals.push_back((cornerOf(mesh, t, 1) - a).cross(cornerOf(mesh, t, 2) - a));
    }
    for (std::uint32_t h = 0; h < surface.mate.size(); ++h) {
        if (h % 65536 == 0 && isCancelled(watch)) return cancelledWork();
        const std::uint32_t mate = surface.mate[h];
        if (mate == noMate || mate < h || surface.piece[h / 3] != piece) continue;
        const Triangle &t = mesh.triangles[h / 3], &u = mesh.triangles[mate / 3];
        const Vector3d from = cornerOf(mesh, t, h % 3), edge = cornerOf(mesh, t, (h + 1) % 3) - from;
        const Vector3d &n = normals[h / 3], &m = normals[mate / 3];
        const double length = edge.norm(), areas = n.norm() * m.norm();
        if (length == 0 || areas == 0) continue;
        const double outwards = n.dot(cornerOf(mesh, u, (mate + 2) % 3) - from) * sign <= 0 ? 1 : -1;
        const double angle = std::atan2(n.cross(m).norm(), n.dot(m));
        if (angle < smooth) sums.faceting += outwards * angle * areas / length / 12;  // areas = length^2 h1 h2
        sums.mitre += outwards > 0 ? length * std::tan(std::min(angle, steepest) / 2) : -length * angle / 2;
    }
    return sums;
}

}  // namespace portwright
