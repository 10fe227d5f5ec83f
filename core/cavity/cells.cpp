// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/cells.h"

#include "core/cavity/solids.h"
#include "core/quantity/quantity.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace portwright {

namespace {

constexpr double mostCubes = 2e7;
constexpr std::size_t firstLook = 32, closeLook = 256;  // points of a cube

// Points of a cube, 0..1: multiples of the powers of 1/g with g^4 = g + 1, which fill a cube evenly from any start to
// any end of the sequence and never share a coordinate. Source: the generalised golden ratio (checked in the tests by
// the volumes of all solids).
std::array<Point3, closeLook> cubePoints()
{
    constexpr double g = 1.2207440846057596;
    std::array<Point3, closeLook> points;
    for (std::size_t n = 0; n < closeLook; ++n)
        for (std::size_t i = 0; i < 3; ++i) {
            const double x = 0.5 + double(n + 1) * std::pow(g, -double(i + 1));
            points[n][i] = x - std::floor(x);
        }
    return points;
}

// Points of a face, 0..1: the Fibonacci lattice of 144 points; their coordinates are all different too.
std::array<Point2, 144> facePoints()
{
    std::array<Point2, 144> points;
    for (std::size_t n = 0; n < 144; ++n)
        points[n] = {(double(n) + 0.5) / 144, (double(n * 89 % 144) + 0.5) / 144};
    return points;
}

struct Builder {
    const SolidsMeasurement& solids;
    CutCells& cells;
    std::vector<SolidBounds> bounds;
    std::array<Point3, closeLook> cube = cubePoints();
    std::array<Point2, 144> face = facePoints();

    // Steps that reach into a box, last first: the first that contains a point decides.
    std::vector<const SolidStep*> near(const Point3& low, const Point3& high) const
    {
        std::vector<const SolidStep*> found;
        for (std::size_t s = solids.steps.size(); s-- > 0;) {
            bool meets = true;
            for (std::size_t i = 0; i < 3; ++i)
                meets = meets && bounds[s].low[i] <= high[i] && bounds[s].high[i] >= low[i];
            if (meets) found.push_back(&solids.steps[s]);
        }
        return found;
    }

    static bool air(const std::vector<const SolidStep*>& steps, const Point3& p)
    {
        for (const SolidStep* step : steps)
            if (contains(*step, p)) return !step->subtract;
        return false;
    }

    Point3 corner(int i, int j, int k) const
    {
        const VoxelGrid& g = cells.grid;
        return {g.origin[0] + g.cell * i, g.origin[1] + g.cell * j, g.origin[2] + g.cell * k};
    }

    // 32 points and the corners tell cubes in the open and in the wall apart; the wall's own get 256.
    float shareAt(int i, int j, int k) const
    {
        const double h = cells.grid.cell;
        const Point3 low = corner(i, j, k);
        const auto steps = near(low, {low[0] + h, low[1] + h, low[2] + h});
        if (steps.empty()) return 0;
        const auto airAt = [&](double x, double y, double z) {
            return int(air(steps, {low[0] + h * x, low[1] + h * y, low[2] + h * z}));
        };
        int hits = 0, corners = 0;
        for (int c = 0; c < 8; ++c)
            corners += airAt(c & 1, c >> 1 & 1, c >> 2);
        for (std::size_t n = 0; n < firstLook; ++n)
            hits += airAt(cube[n][0], cube[n][1], cube[n][2]);
        if (corners + hits == 0) return 0;
        if (corners + hits == 8 + int(firstLook)) return 1;
        for (std::size_t n = firstLook; n < closeLook; ++n)
            hits += airAt(cube[n][0], cube[n][1], cube[n][2]);
        return float(hits) / float(closeLook);
    }

    float openAt(int i, int j, int k, std::size_t axis) const
    {
        const double h = cells.grid.cell;
        const std::size_t u = (axis + 1) % 3, v = (axis + 2) % 3;
        Point3 low = corner(i, j, k);
        low[axis] += h;
        Point3 high = low;
        high[u] += h, high[v] += h;
        const auto steps = near(low, high);
        int hits = 0;
        for (const Point2& q : face) {
            Point3 p = low;
            p[u] += h * q[0], p[v] += h * q[1];
            hits += air(steps, p);
        }
        return float(hits) / float(face.size());
    }
};

VoxelGrid gridAround(const std::vector<SolidBounds>& bounds, const std::vector<SolidStep>& steps, double cell)
{
    Point3 low{INFINITY, INFINITY, INFINITY}, high{-INFINITY, -INFINITY, -INFINITY};
    for (std::size_t s = 0; s < steps.size(); ++s)
        for (std::size_t i = 0; i < 3 && !steps[s].subtract; ++i) {
            low[i] = std::min(low[i], bounds[s].low[i]);
            high[i] = std::max(high[i], bounds[s].high[i]);
        }
    VoxelGrid grid;
    grid.cell = cell;
    for (std::size_t i = 0; i < 3; ++i) {
        const double cubes = std::max(1.0, std::ceil((high[i] - low[i]) / cell - 1e-9));
        grid.size[i] = int(std::min(cubes, mostCubes));
        grid.origin[i] = (low[i] + high[i] - cubes * cell) / 2;
    }
    return grid;
}

double cubesOf(const VoxelGrid& grid) { return double(grid.size[0]) * grid.size[1] * grid.size[2]; }

void makeRoom(CutCells& cells)
{
    const auto n = std::size_t(cubesOf(cells.grid));
    cells.grid.inside.assign(n, 0);
    cells.share.assign(n, 0);
    for (auto& faces : cells.open)
        faces.assign(n, 0);
}

// The faces of one cube towards +x, +y, +z; neighbours in the open need no counting.
template <class Count> void openFaces(CutCells& cells, int i, int j, int k, const Count& count)
{
    const auto& size = cells.grid.size;
    const std::size_t here = cells.grid.indexOf(i, j, k);
    const std::array<int, 3> at{i, j, k};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        if (at[axis] + 1 >= size[axis]) continue;
        const std::size_t there = cells.grid.indexOf(i + (axis == 0), j + (axis == 1), k + (axis == 2));
        const float least = std::min(cells.share[here], cells.share[there]);
        cells.open[axis][here] = least == 0 ? 0.0f : least == 1 ? 1.0f : count(axis);
    }
}

}  // namespace

double volumeOf(const CutCells& cells)
{
    return std::accumulate(cells.share.begin(), cells.share.end(), 0.0) * std::pow(cells.grid.cell, 3);
}

double cellFor(double volume, int count) { return std::cbrt(volume / count); }

Result<CutCells> cellsOf(const SolidsMeasurement& solids, double cell, const Watch& watch)
{
    if (const auto listed = solidsVolume(solids); !listed) return fail(listed.error());
    if (!(cell > 0) || !std::isfinite(cell)) return fail("cell", "the cubes' edge must be above 0");
    CutCells cells;
    Builder build{solids, cells, {}};
    for (const SolidStep& step : solids.steps)
        build.bounds.push_back(boundsOf(step));
    cells.grid = gridAround(build.bounds, solids.steps, cell);
    if (cubesOf(cells.grid) > mostCubes)
        return fail("cell", "the cubes are too small: more than 20 million would be needed; make them larger");
    makeRoom(cells);
    const auto& size = cells.grid.size;
    for (int k = 0; k < size[2]; ++k) {
        report(watch, 0.6 * k / size[2], "cubes");
        for (int j = 0; j < size[1]; ++j) {
            if (isCancelled(watch)) return cancelledWork();
            for (int i = 0; i < size[0]; ++i) {
                const std::size_t here = cells.grid.indexOf(i, j, k);
                cells.share[here] = build.shareAt(i, j, k);
                cells.grid.inside[here] = cells.share[here] > 0;
            }
        }
    }
    for (int k = 0; k < size[2]; ++k) {
        report(watch, 0.6 + 0.4 * k / size[2], "cubes");
        for (int j = 0; j < size[1]; ++j) {
            if (isCancelled(watch)) return cancelledWork();
            for (int i = 0; i < size[0]; ++i)
                openFaces(cells, i, j, k, [&](std::size_t axis) { return build.openAt(i, j, k, axis); });
        }
    }
    return cells;
}

std::string overlapRemark(const SolidsMeasurement& solids, const CutCells& cells)
{
    const auto listed = solidsVolume(solids);
    if (!listed) return {};
    const double held = volumeOf(cells), expected = listed->reading.volume;
    if (std::abs(held / expected - 1) < 0.03) return {};
    return fmt::format("In their places the solids hold {}, their list adds up to {}: some overlap, or a part that is "
                       "subtracted lies outside.",
                       formatQuantity(held, Dimension::volume), formatQuantity(expected, Dimension::volume));
}

CutCells coarsened(const VoxelGrid& fine, int factor)
{
    assert(factor >= 1 && factor <= 32);
    CutCells cells;
    VoxelGrid& grid = cells.grid;
    grid.cell = fine.cell * factor;
    grid.origin = fine.origin;
    for (std::size_t i = 0; i < 3; ++i)
        grid.size[i] = (fine.size[i] + factor - 1) / factor;
    makeRoom(cells);
    const auto airAt = [&](int x, int y, int z) {
        return x < fine.size[0] && y < fine.size[1] && z < fine.size[2] && fine.inside[fine.indexOf(x, y, z)] != 0;
    };
    const float whole = float(factor) * float(factor) * float(factor);
    for (int z = 0; z < fine.size[2]; ++z)
        for (int y = 0; y < fine.size[1]; ++y)
            for (int x = 0; x < fine.size[0]; ++x)
                if (airAt(x, y, z)) cells.share[grid.indexOf(x / factor, y / factor, z / factor)] += 1 / whole;
    for (std::size_t n = 0; n < cells.share.size(); ++n) {
        cells.share[n] = cells.share[n] > 1 - 0.5f / whole ? 1.0f : cells.share[n];  // sums of 1/whole, rounded
        grid.inside[n] = cells.share[n] > 0;
    }
    // A face lies between two layers of the finer grid: the mean of both.
    const auto layers = [&](int i, int j, int k, std::size_t axis) {
        std::array<int, 3> p{i * factor, j * factor, k * factor};
        const std::size_t u = (axis + 1) % 3, v = (axis + 2) % 3;
        int hits = 0;
        for (int side = 0; side < 2; ++side)
            for (int m = 0; m < factor; ++m)
                for (int n = 0; n < factor; ++n) {
                    std::array<int, 3> q = p;
                    q[axis] += factor - 1 + side, q[u] += m, q[v] += n;
                    hits += airAt(q[0], q[1], q[2]);
                }
        return float(hits) / float(2 * factor * factor);
    };
    for (int k = 0; k < grid.size[2]; ++k)
        for (int j = 0; j < grid.size[1]; ++j)
            for (int i = 0; i < grid.size[0]; ++i)
                openFaces(cells, i, j, k, [&](std::size_t axis) { return layers(i, j, k, axis); });
    return cells;
}

}  // namespace portwright
