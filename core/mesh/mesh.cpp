// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh.h"

#include "core/mesh/hash_slots.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace portwright {
namespace {

Point3 minus(const Point3& a, const Point3& b) { return {a[0] - b[0], a[1] - b[1], a[2] - b[2]}; }
Point3 cross(const Point3& a, const Point3& b)
{
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
double dot(const Point3& a, const Point3& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

constexpr std::size_t mostCubes = 50'000'000;

/// Where a line along x through a cube's centre passes the surface: +1 into the mesh, -1 out of it.
struct Crossing {
    double x;
    int step;
};

struct Columns {
    double cell, y, z;  // of the first column
    int countY, countZ;
    std::vector<std::vector<Crossing>> crossings;
};

/// Enters a triangle's crossings into all columns that pass through its shadow on the y-z plane.
void enterTriangle(Columns& columns, const Point3& a, const Point3& b, const Point3& c)
{
    const double twice = (b[1] - a[1]) * (c[2] - a[2]) - (c[1] - a[1]) * (b[2] - a[2]);
    if (twice == 0) return;
    const auto range = [&](int axis, double first, int count) {
        const auto [low, high] = std::minmax({a[axis], b[axis], c[axis]});
        return std::pair{std::max(0, static_cast<int>(std::ceil((low - first) / columns.cell))),
                         std::min(count - 1, static_cast<int>(std::floor((high - first) / columns.cell)))};
    };
    const auto [j0, j1] = range(1, columns.y, columns.countY);
    const auto [k0, k1] = range(2, columns.z, columns.countZ);
    for (int k = k0; k <= k1; ++k) {
        const double z = columns.z + columns.cell * k;
        for (int j = j0; j <= j1; ++j) {
            const double y = columns.y + columns.cell * j;
            const double wb = ((y - a[1]) * (c[2] - a[2]) - (c[1] - a[1]) * (z - a[2])) / twice;
            const double wc = ((b[1] - a[1]) * (z - a[2]) - (y - a[1]) * (b[2] - a[2])) / twice;
            if (wb < 0 || wc < 0 || wb + wc > 1) continue;
            const double x = a[0] + wb * (b[0] - a[0]) + wc * (c[0] - a[0]);
            const auto column =
                static_cast<std::size_t>(k) * static_cast<std::size_t>(columns.countY) + static_cast<std::size_t>(j);
            columns.crossings[column].push_back({x, twice < 0 ? 1 : -1});  // outward normal against x: going in
        }
    }
}

}  // namespace

Bounds boundsOf(const Mesh& mesh)
{
    if (mesh.points.empty()) return {};
    Bounds bounds{mesh.points.front(), mesh.points.front()};
    for (const Point3& p : mesh.points)
        for (std::size_t i = 0; i < 3; ++i) {
            bounds.low[i] = std::min(bounds.low[i], p[i]);
            bounds.high[i] = std::max(bounds.high[i], p[i]);
        }
    return bounds;
}

double diagonalOf(const Bounds& bounds)
{
    const Point3 d = minus(bounds.high, bounds.low);
    return std::hypot(d[0], d[1], d[2]);
}

double volumeOf(const Mesh& mesh)
{
    const Bounds bounds = boundsOf(mesh);
    Point3 middle;
    for (std::size_t i = 0; i < 3; ++i)
        middle[i] = (bounds.low[i] + bounds.high[i]) / 2;
    double six = 0;
    for (const Triangle& t : mesh.triangles) {
        const Point3 a = minus(mesh.points[t[0]], middle), b = minus(mesh.points[t[1]], middle);
        six += dot(a, cross(b, minus(mesh.points[t[2]], middle)));
    }
    return six / 6;
}

double areaOf(const Mesh& mesh)
{
    double twice = 0;
    for (const Triangle& t : mesh.triangles) {
        const Point3& a = mesh.points[t[0]];
        const Point3 n = cross(minus(mesh.points[t[1]], a), minus(mesh.points[t[2]], a));
        twice += std::sqrt(dot(n, n));
    }
    return twice / 2;
}

namespace {

Mesh clustered(const Mesh& mesh, const Bounds& bounds, double cell)
{
    constexpr std::uint64_t side = std::uint64_t{1} << 20;  // per axis; the cell is never that small
    HashSlots slots(mesh.points.size());
    std::vector<std::uint64_t> keys;
    std::vector<double> counts;
    std::vector<std::uint32_t> placeOf(mesh.points.size());
    Mesh out;
    for (std::size_t i = 0; i < mesh.points.size(); ++i) {
        const Point3& p = mesh.points[i];
        std::uint64_t key = 0;
        for (std::size_t k = 0; k < 3; ++k)
            key = key * side + static_cast<std::uint64_t>((p[k] - bounds.low[k]) / cell) % side;
        const auto next = static_cast<std::uint32_t>(keys.size());
        const std::uint32_t place = slots.placeOf(key, next, [&](std::uint32_t q) { return keys[q] == key; });
        if (place == next) {
            keys.push_back(key);
            counts.push_back(0);
            out.points.push_back({0, 0, 0});
        }
        placeOf[i] = place;
        counts[place] += 1;
        for (std::size_t k = 0; k < 3; ++k)
            out.points[place][k] += p[k];
    }
    for (std::size_t i = 0; i < out.points.size(); ++i)
        for (double& x : out.points[i])
            x /= counts[i];
    for (const Triangle& t : mesh.triangles) {
        const Triangle u{placeOf[t[0]], placeOf[t[1]], placeOf[t[2]]};
        if (u[0] != u[1] && u[1] != u[2] && u[2] != u[0]) out.triangles.push_back(u);
    }
    return out;
}

}  // namespace

Mesh reduced(const Mesh& mesh, std::size_t triangles)
{
    if (mesh.triangles.size() <= triangles || triangles == 0) return mesh;
    const Bounds bounds = boundsOf(mesh);
    const double diagonal = diagonalOf(bounds);
    if (!(diagonal > 0)) return mesh;
    // A surface passes through about 1.5 area/cell^2 cubes, and has two triangles to a point.
    double cell = std::max(std::sqrt(3 * areaOf(mesh) / static_cast<double>(triangles)), diagonal / 500'000);
    Mesh out = clustered(mesh, bounds, cell);
    for (int tries = 0; tries < 6 && out.triangles.size() > triangles; ++tries) {
        const double ratio = static_cast<double>(out.triangles.size()) / static_cast<double>(triangles);
        cell *= std::max(1.05, 1.02 * std::sqrt(ratio));
        out = clustered(mesh, bounds, cell);
    }
    return out;
}

Result<VoxelGrid> voxelsOf(const Mesh& mesh, double cell, const Watch& watch)
{
    if (mesh.triangles.empty()) return fail("mesh", "the mesh has no triangles, so nothing is inside it");
    if (!(cell > 0) || !std::isfinite(cell)) return fail("cell", "the cubes' edge must be above 0");
    const Bounds bounds = boundsOf(mesh);
    VoxelGrid grid;
    grid.cell = cell;
    double cubes = 1;
    for (std::size_t i = 0; i < 3; ++i) {
        const double wanted = std::max(1.0, std::ceil((bounds.high[i] - bounds.low[i]) / cell - 1e-9));
        cubes *= wanted;
        if (!(cubes <= static_cast<double>(mostCubes)))
            return fail("cell", "the cubes are too small: more than 50 million would be needed; make them larger");
        grid.size[i] = static_cast<int>(wanted);
        grid.origin[i] = (bounds.low[i] + bounds.high[i]) / 2 - cell * wanted / 2;
    }
    grid.inside.assign(static_cast<std::size_t>(cubes), 0);

    // The lines are shifted by a millionth of a cube, so that none runs along an edge of a mesh with round figures.
    Columns columns{cell,
                    grid.origin[1] + cell * (0.5 + 1.37e-6),
                    grid.origin[2] + cell * (0.5 + 2.71e-6),
                    grid.size[1],
                    grid.size[2],
                    {}};
    columns.crossings.resize(static_cast<std::size_t>(grid.size[1]) * static_cast<std::size_t>(grid.size[2]));
    std::size_t done = 0;
    for (const Triangle& t : mesh.triangles) {
        if (done++ % 16384 == 0) {
            if (isCancelled(watch)) return cancelledWork();
            report(watch, 0.9 * static_cast<double>(done) / static_cast<double>(mesh.triangles.size()), "cubes");
        }
        enterTriangle(columns, mesh.points[t[0]], mesh.points[t[1]], mesh.points[t[2]]);
    }
    for (int k = 0; k < grid.size[2]; ++k)
        for (int j = 0; j < grid.size[1]; ++j) {
            auto& crossings = columns.crossings[static_cast<std::size_t>(k) * static_cast<std::size_t>(grid.size[1]) +
                                                static_cast<std::size_t>(j)];
            std::sort(crossings.begin(), crossings.end(),
                      [](const Crossing& a, const Crossing& b) { return a.x < b.x; });
            std::size_t next = 0;
            int depth = 0;
            for (int i = 0; i < grid.size[0]; ++i) {
                const double x = grid.origin[0] + cell * (i + 0.5);
                while (next < crossings.size() && crossings[next].x < x)
                    depth += crossings[next++].step;
                grid.inside[grid.indexOf(i, j, k)] = depth > 0 ? 1 : 0;
            }
        }
    return grid;
}

}  // namespace portwright
