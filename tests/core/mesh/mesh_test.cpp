// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh.h"

#include "core/constants.h"
#include "core/mesh/mesh_surface.h"
#include "tests/core/mesh/mesh_makers.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("A mesh far from zero keeps its volume, and turned over it is negative")
{
    const Mesh box = shifted(boxMesh(0.3, 0.2, 0.25), {1000, -2000, 500});
    CHECK(volumeOf(box) == Approx(0.015).epsilon(1e-9));  // coordinates of 2000 carry 2e-13, edges are 0.2
    CHECK(volumeOf(turnedOver(box)) == Approx(-0.015).epsilon(1e-9));
    CHECK(areaOf(box) == Approx(0.37).epsilon(1e-9));
    CHECK(volumeOf(Mesh{}) == 0);
}

TEST_CASE("A likeness for drawing has no more faces than wanted and stays within the bounds")
{
    const Mesh sphere = uvSphere(1, 100);  // 39 600 triangles
    for (const std::size_t wanted : {200u, 3000u, 20000u}) {
        const Mesh small = reduced(sphere, wanted);
        CHECK(small.triangles.size() <= wanted);
        CHECK(small.triangles.size() > wanted / 3);
        for (const Point3& p : small.points)
            CHECK(std::hypot(p[0], p[1], p[2]) <= 1 + 1e-12);
        CHECK(volumeOf(small) == Approx(4 * pi / 3).epsilon(20.0 / std::sqrt(wanted) / 4));  // cells of 2/sqrt(wanted)
    }
    CHECK(reduced(sphere, 50'000) == sphere);
    CHECK(reduced(Mesh{}, 10).triangles.empty());
}

TEST_CASE("Cubes fill a box to the last one, and a sphere to a per cent")
{
    const auto box = voxelsOf(shifted(boxMesh(0.3, 0.2, 0.25), {0.1, -0.4, 2}), 0.01);
    REQUIRE(box);
    CHECK(box->size == std::array<int, 3>{30, 20, 25});
    CHECK(std::count(box->inside.begin(), box->inside.end(), 1) == 30 * 20 * 25);
    CHECK(box->origin[1] == Approx(-0.4));
    const auto ball = voxelsOf(uvSphere(0.1, 64), 0.1 / 20);
    REQUIRE(ball);
    const auto inside = static_cast<double>(std::count(ball->inside.begin(), ball->inside.end(), 1));
    // Each cube on the surface is in or out by chance: 20 000 of 33 500, so some 0.2 %.
    CHECK(inside * std::pow(ball->cell, 3) == Approx(4e-3 * pi / 3).epsilon(0.01));
    for (int k = 0; k < ball->size[2]; ++k)
        for (int j = 0; j < ball->size[1]; ++j)
            for (int i = 0; i < ball->size[0]; ++i) {
                const double r =
                    std::hypot(ball->origin[0] + ball->cell * (i + 0.5), ball->origin[1] + ball->cell * (j + 0.5),
                               ball->origin[2] + ball->cell * (k + 0.5));
                if (r < 0.0997) CHECK(ball->inside[ball->indexOf(i, j, k)] == 1);  // facets cut off 0.12 mm
                if (r > 0.1) CHECK(ball->inside[ball->indexOf(i, j, k)] == 0);
            }
}

TEST_CASE("A hollow is not filled with cubes")
{
    const auto grid = voxelsOf(joined(boxMesh(10, 10, 10), turnedOver(shifted(boxMesh(4, 4, 4), {3, 3, 3}))), 1);
    REQUIRE(grid);
    CHECK(std::count(grid->inside.begin(), grid->inside.end(), 1) == 1000 - 64);
}

TEST_CASE("Cubes of no size, too many cubes, and a mesh without faces are refused")
{
    const Mesh box = boxMesh(0.3, 0.2, 0.25);
    for (const double bad : {0.0, -1.0, std::nan("")})
        CHECK(voxelsOf(box, bad).error().field == "cell");
    CHECK(voxelsOf(box, 1e-5).error().message.find("50 million") != std::string::npos);
    CHECK(voxelsOf(Mesh{}, 0.01).error().field == "mesh");
    CHECK(voxelsOf(box, 0.01, {.progress = {}, .cancelled = [] { return true; }}).error().field == "cancelled");
}

TEST_CASE("Rims are closed walks that visit no point twice")
{
    rc::prop("any faces missing from a sphere", [](std::vector<bool> gone) {
        Mesh mesh = uvSphere(100, 5);
        std::vector<Triangle> kept;
        for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
            if (i >= gone.size() || !gone[i]) kept.push_back(mesh.triangles[i]);
        mesh.triangles = kept;
        const auto surface = surfaceOf(mesh);
        if (!surface) {
            RC_ASSERT(kept.empty());
            return;
        }
        std::size_t open = 0, walked = 0;
        for (const std::uint32_t mate : surface->mate)
            open += mate == noMate;
        for (const Rim& rim : rimsOf(*surface)) {
            walked += rim.points.size();
            for (std::size_t i = 0; i < rim.points.size(); ++i) {
                const std::uint32_t h = rim.halfEdges[i];
                RC_ASSERT(surface->mesh.triangles[h / 3][h % 3] == rim.points[i]);
                RC_ASSERT(surface->mesh.triangles[h / 3][(h + 1) % 3] == rim.points[(i + 1) % rim.points.size()]);
            }
            std::vector<std::uint32_t> points = rim.points;
            std::sort(points.begin(), points.end());
            RC_ASSERT(std::adjacent_find(points.begin(), points.end()) == points.end());
        }
        RC_ASSERT(walked == open);
    });
}
