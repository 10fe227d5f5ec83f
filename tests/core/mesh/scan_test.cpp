// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/scan.h"

#include "core/constants.h"
#include "tests/core/mesh/mesh_makers.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

const ScanOptions millimetres{.unit = 1e-3, .wall = {}};

Scan scanned(const Mesh& mesh, const ScanOptions& options = millimetres)
{
    const auto scan = scanOf(mesh, options);
    REQUIRE(scan);
    return *scan;
}

/// The cone rule between sections, as core/cavity/profile.h defines them.
double volumeOf(const Profile& profile)
{
    double sum = 0;
    for (std::size_t i = 1; i < profile.at.size(); ++i)
        sum += (profile.at[i] - profile.at[i - 1]) / 3 *
               (profile.area[i] + profile.area[i - 1] + std::sqrt(profile.area[i] * profile.area[i - 1]));
    return sum;
}

bool told(const Scan& scan, std::string_view words)
{
    for (const std::string& remark : scan.remarks)
        if (remark.find(words) != std::string::npos) return true;
    return false;
}

}  // namespace

TEST_CASE("A box of 300 x 200 x 250 mm holds 15 litres, wherever it lies and however it is turned")
{
    rc::prop("any turn and shift", [](std::uint32_t seed) {
        const auto scan = scanOf(moved(boxMesh(300, 200, 250), seed), millimetres);
        RC_ASSERT(scan.has_value());
        // Rounding: coordinates of some 1000 mm carry 1e-13 of them, each edge is 200 mm.
        RC_ASSERT(std::abs(scan->volume - 0.015) < 1e-11 * 0.015);
        RC_ASSERT(std::abs(scan->area - 0.37) < 1e-11);
        RC_ASSERT(std::abs(scan->longest - std::sqrt(0.3 * 0.3 + 0.2 * 0.2 + 0.25 * 0.25)) < 1e-11);
        RC_ASSERT(std::abs(scan->profile.at.back() - 0.3) < 1e-9);
        // The end planes are square to the axis only to rounding; the first cut is taken 1/5000 inside.
        for (const double area : scan->profile.area)
            RC_ASSERT(std::abs(area - 0.05) < 1e-9);
        for (const double around : scan->profile.perimeter)
            RC_ASSERT(std::abs(around - 0.9) < 1e-9);
    });
}

TEST_CASE("A sphere of flat facets holds less by the known share, and the share is within twice the uncertainty")
{
    // V/V0 of the inscribed sphere with n steps of latitude and 2n of longitude: worked out with 16 digits.
    const auto [n, share] =
        GENERATE(table<int, double>({{8, 0.937406}, {16, 0.984041}, {32, 0.995991}, {64, 0.998996}}));
    const double full = 4 * pi / 3 * 1e-3;
    const Scan scan = scanned(uvSphere(100, n));
    CHECK(scan.volume / full == Approx(share).margin(6e-7));  // the share is given to six digits
    const double faceting = std::sqrt(std::pow(scan.uncertainty, 2) - std::pow(0.02 * scan.volume, 2));
    CHECK(faceting == Approx(full - scan.volume).epsilon(0.15));  // second order; at n = 8 the next one is 10 %
}

TEST_CASE("Volumes converge to the formula as the square of the fineness")
{
    const auto error = [](const Mesh& mesh, double exact) { return 1 - scanned(mesh).volume / exact; };
    for (const int n : {32, 64}) {
        // Halving the steps quarters the error; the next term is some pi^2/n^2 of it.
        CHECK(error(cylinderMesh(80, 300, n), pi * 0.0064 * 0.3) /
                  error(cylinderMesh(80, 300, 2 * n), pi * 0.0064 * 0.3) ==
              Approx(4).epsilon(0.01));
        CHECK(error(uvSphere(100, n), 4e-3 * pi / 3) / error(uvSphere(100, 2 * n), 4e-3 * pi / 3) ==
              Approx(4).epsilon(0.01));
        const double torus = 2 * pi * pi * 0.1 * 0.03 * 0.03;  // Pappus
        CHECK(error(torusMesh(100, 30, 2 * n, n), torus) / error(torusMesh(100, 30, 4 * n, 2 * n), torus) ==
              Approx(4).epsilon(0.01));
    }
}

TEST_CASE("The same cavity comes out of STL, OBJ and PLY, of both kinds of STL and of polygons")
{
    const MeshFolder folder;
    const Mesh mesh = cylinderMesh(80, 300, 24);
    const double volume = scanned(mesh).volume;
    const auto read = [&](std::string_view name, const std::string& bytes) {
        const auto scan = readScan(folder.write(name, bytes), millimetres);
        INFO(name << ": " << (scan ? "" : scan.error().message));
        REQUIRE(scan);
        CHECK(scan->mesh.points.size() == mesh.points.size());
        return scan->volume;
    };
    CHECK(read("a.stl", stlText(mesh)) == Approx(volume).epsilon(1e-14));
    CHECK(read("a.obj", objText(mesh)) == Approx(volume).epsilon(1e-14));
    CHECK(read("a.ply", plyText(mesh)) == Approx(volume).epsilon(1e-14));
    CHECK(read("b.stl", stlBytes(mesh, 1)) == Approx(volume).epsilon(1e-6));  // single precision in the file
    CHECK(read("solid.stl", "solid" + stlBytes(mesh, 1).substr(5)) == Approx(volume).epsilon(1e-6));
    CHECK(read("no ending", stlText(mesh)) == Approx(volume).epsilon(1e-14));

    std::string sides = "v 0 0 0\nv 0.3 0 0\nv 0.3 0.2 0\nv 0 0.2 0\nv 0 0 0.25\nv 0.3 0 0.25\nv 0.3 0.2 0.25\n"
                        "v 0 0.2 0.25\nvn 0 0 1\nf 4//1 3//1 2//1 1//1\nf 5 6 7 8\nf 1/1 2/2 6/3 5/4\nf -7 -6 -2 -3\n"
                        "f 3 4 8 7\nf 4 1 5 8\n";
    const auto box = readScan(folder.write("sides.obj", sides));
    REQUIRE(box);
    CHECK(box->unit == 1);
    CHECK(box->volume == Approx(0.015).epsilon(1e-14));
}

TEST_CASE("Faces turned or listed in any order give the same volume, and it is told")
{
    rc::prop("any faces turned", [](std::vector<bool> turned) {
        Mesh mesh = uvSphere(100, 6);
        std::size_t against = 0;
        for (std::size_t i = 0; i < mesh.triangles.size() && i < turned.size(); ++i)
            if (turned[i]) {
                std::swap(mesh.triangles[i][1], mesh.triangles[i][2]);
                ++against;
            }
        const auto scan = scanOf(mesh, millimetres);
        RC_ASSERT(scan.has_value());
        RC_ASSERT(std::abs(scan->volume / scanOf(uvSphere(100, 6), millimetres)->volume - 1) < 1e-14);
        RC_ASSERT(told(*scan, "turned to agree") == (against > 0 && against < mesh.triangles.size()));
        RC_ASSERT(volumeOf(scan->mesh) > 0);
    });
    const Scan scan = scanned(turnedOver(boxMesh(300, 200, 250)));
    CHECK(scan.turned);
    CHECK(told(scan, "inside out"));
    CHECK(volumeOf(scan.mesh) == Approx(0.015));
    CHECK_FALSE(scanned(boxMesh(300, 200, 250)).turned);
}

TEST_CASE("A driver's hole in a flat wall is found, placed and closed without losing volume")
{
    // A cylinder whose flat top lost its inner faces: the hole is the top.
    const Mesh open = without(cylinderMesh(80, 300, 48), [](const Point3& p) { return p[2] > 299; });
    const Scan scan = scanned(open);
    REQUIRE(scan.openings.size() == 1);
    const ScanOpening& hole = scan.openings.front();
    const double side = 2 * 80e-3 * std::sin(pi / 48), face = 24 * 80e-3 * 80e-3 * std::sin(pi / 24);
    CHECK(hole.edges == 48);
    CHECK(hole.perimeter == Approx(48 * side));
    CHECK(hole.area == Approx(face));
    CHECK(hole.centre[2] == Approx(0.3));
    CHECK(std::hypot(hole.centre[0], hole.centre[1]) < 1e-12);
    CHECK(hole.place == "on top");
    CHECK(hole.uncertainty < 1e-9);  // its rim is flat and the walls stand on it
    CHECK(scan.volume == Approx(face * 0.3));
    CHECK(scan.mesh.triangles.size() - scan.patchFrom == 46);  // edges - 2
    CHECK(scan.area == Approx(48 * side * 0.3 + face));        // without the patch
    CHECK(told(scan, "1 opening closed"));
    CHECK(volumeOf(scan.mesh) == Approx(scan.volume));
}

TEST_CASE("Places of openings are said in words")
{
    const auto placeOfHole = [](const Point3& at) {
        return scanned(
                   without(uvSphere(100, 24),
                           [&](const Point3& p) { return std::hypot(p[0] - at[0], p[1] - at[1], p[2] - at[2]) < 35; }))
            .openings.front()
            .place;
    };
    CHECK(placeOfHole({100, 0, 0}) == "halfway up on the +x side");
    CHECK(placeOfHole({0, -100, 0}) == "halfway up on the \u2212y side");
    CHECK(placeOfHole({0, 0, 100}) == "on top");
    CHECK(placeOfHole({0, 0, -100}) == "at the bottom");
    CHECK(placeOfHole({-77, 0, 64}) == "high on the \u2212x side");
    CHECK(placeOfHole({0, 77, -64}) == "low on the +y side");
}

TEST_CASE("What a bulging hole loses lies within the uncertainty that is told")
{
    for (const int ring : {4, 7, 11, 16}) {  // of 64, so a hole of 11 to 45 degrees with a flat rim
        const Mesh whole = uvSphere(100, 64);
        const double cut = 100 * std::cos(pi * ring / 64);
        const Scan open = scanned(without(whole, [cut](const Point3& p) { return p[2] > cut; }));
        REQUIRE(open.openings.size() == 1);
        const double lost = scanned(whole).volume - open.volume;
        INFO("ring " << ring << ": lost " << lost * 1e3 << " L, told " << open.openings.front().uncertainty * 1e3);
        // The estimate is the cap of a sphere that the faces beside the rim lean to; these lie half a step further out,
        // 1.4 degrees of 11 in the worst case.
        CHECK(open.openings.front().uncertainty == Approx(lost).epsilon(0.16));
    }
}

TEST_CASE("A ragged rim across a tube raises the uncertainty")
{
    Mesh tube = without(cylinderMesh(80, 300, 48), [](const Point3& p) { return p[2] > 299; });
    for (std::size_t i = 1; i < 96; i += 4)
        tube.points[i][2] -= 20;  // every other corner of the upper rim
    const Scan scan = scanned(tube);
    REQUIRE(scan.openings.size() == 1);
    // Teeth of 20 mm: rms 10 mm about their mean, over the tube's face of some 201 cm2.
    CHECK(scan.openings.front().uncertainty == Approx(0.010 * pi * 0.0064).epsilon(0.1));
}

TEST_CASE("Duplicate and flat faces go and are told")
{
    Mesh mesh = boxMesh(300, 200, 250);
    mesh.triangles.push_back(mesh.triangles[3]);
    mesh.triangles.push_back({mesh.triangles[5][1], mesh.triangles[5][0], mesh.triangles[5][2]});  // other way round
    mesh.triangles.push_back({1, 1, 2});
    const Scan scan = scanned(mesh);
    CHECK(scan.duplicateFaces == 2);
    CHECK(scan.degenerateFaces == 1);
    CHECK(told(scan, "2 faces that were there twice"));
    CHECK(told(scan, "1 face without area"));
    CHECK(scan.volume == Approx(0.015));
    CHECK(scan.openings.empty());
}

TEST_CASE("Of two pieces the larger is kept, and the other told with its volume")
{
    const Scan beside = scanned(joined(boxMesh(300, 200, 250), shifted(boxMesh(200, 100, 100), {400, 0, 0})));
    CHECK(beside.strayPieces == 1);
    CHECK(beside.volume == Approx(0.015));
    CHECK(told(beside, "A second piece of 2"));
    CHECK(told(beside, "beside the largest"));

    const Scan within = scanned(joined(shifted(boxMesh(200, 100, 100), {50, 50, 50}), boxMesh(300, 200, 250)));
    CHECK(within.volume == Approx(0.015));
    CHECK(told(within, "within the bounds of the largest"));

    const Scan stray = scanned(joined(boxMesh(300, 200, 250), shifted(uvSphere(5, 6), {150, 100, 100})));
    CHECK(stray.strayPieces == 1);
    CHECK(told(stray, "1 stray piece (120 faces"));
    CHECK(stray.volume == Approx(0.015));
}

TEST_CASE("Three faces at an edge, as of a wall inside, leave the volume and are told")
{
    Mesh mesh = joined(boxMesh(300, 200, 250), Mesh{});
    // The fin: a triangle across the box, standing on one of its edges.
    mesh.triangles.push_back({0, 1, 7});
    const Scan scan = scanned(mesh);
    CHECK(scan.volume == Approx(0.015));
    CHECK(told(scan, "More than two faces meet"));
}

TEST_CASE("Two boxes that touch along an edge hold what both hold, or are told apart")
{
    Mesh mesh = boxMesh(300, 200, 250);
    Mesh other = shifted(boxMesh(300, 200, 250), {300, 200, 0});
    const Scan scan = scanned(*[&]() -> std::optional<Mesh> {
        Mesh both = joined(mesh, other);
        for (Triangle& t : both.triangles)
            for (std::uint32_t& i : t) {
                if (i == 8) i = 3;  // corners at (300, 200, 0) and (300, 200, 250) are shared
                if (i == 12) i = 7;
            }
        return both;
    }());
    CHECK(scan.volume == Approx(0.015));  // paired within each box, so two pieces
    CHECK(scan.strayPieces == 1);
    CHECK(told(scan, "More than two faces meet at 1 edge"));
}

TEST_CASE("The unit is guessed from the size and the guess told")
{
    const auto guessed = [](double factor) { return scanned(scaled(boxMesh(300, 200, 250), factor), {}); };
    CHECK(guessed(1).unit == 1e-3);
    CHECK(guessed(1e-3).unit == 1);
    const Scan inches = guessed(1 / 25.4);
    CHECK(inches.unitGuessed);
    // 11.8 units long: 17 cm of diagonal with 0.9 L, or 439 mm with 15 L were it inches; the first is taken, both are
    // told.
    CHECK(inches.unit == 1e-2);
    CHECK(told(inches, "guessed from its size: cm"));
    CHECK(told(inches, "inch would make it 438.7"));
    const auto stated = scanOf(scaled(boxMesh(300, 200, 250), 1 / 25.4), {.unit = 0.0254, .wall = {}});
    REQUIRE(stated);
    CHECK_FALSE(stated->unitGuessed);
    CHECK(stated->volume == Approx(0.015));
    // 15 L by other measurements: inches, since 0.9 L in cm are farther off.
    const auto helped = scanOf(scaled(boxMesh(300, 200, 250), 1 / 25.4), {.unit = {}, .wall = {}, .otherwise = 0.014});
    REQUIRE(helped);
    CHECK(helped->unitGuessed);
    CHECK(helped->unit == 0.0254);
    CHECK(told(*helped, "from the other measurements, which say 14\u00A0L: inch, which makes it 438.7"));
    CHECK(told(guessed(1e4), "In no unit"));
    CHECK(guessed(1e4).unit == 1e-3);
}

TEST_CASE("A stated unit is taken, and remarked on where it makes no cavity of a motorcycle")
{
    const auto in = [](double unit) {
        const auto scan = scanOf(boxMesh(300, 200, 250), {.unit = unit, .wall = {}});
        REQUIRE(scan);
        CHECK(scan->unit == unit);
        return told(*scan, "check the unit");
    };
    CHECK_FALSE(in(1e-3));
    CHECK(in(0.0254));  // 246 m3
    CHECK(in(1e-4));    // 15 ml
}

TEST_CASE("A guess from the outside of a cavity says that it means the outside")
{
    const Scan scan = scanned(boxMesh(306, 206, 256), {.unit = {}, .wall = 3e-3});
    CHECK(told(scan, "which makes it 449\u00A0mm long with 16.1\u00A0L outside"));
}

TEST_CASE("A wall is taken off an outside scan")
{
    const ScanOptions outside{.unit = 1e-3, .wall = 3e-3};
    SECTION("a box: mitred edges stay sharp inside")
    {
        const Scan scan = scanned(boxMesh(306, 206, 256), outside);
        // The corners' term is 8 t^3, the formula has 4/3 pi t^3: apart by 4 t^3.
        CHECK(std::abs(scan.volume - 0.015) < 4 * 27e-9);
        CHECK(scan.longest == Approx(std::sqrt(0.3 * 0.3 + 0.2 * 0.2 + 0.25 * 0.25)));  // the diagonal inside
        CHECK(scan.profile.at.back() == Approx(0.3));
        CHECK(scan.profile.area[20] == Approx(0.05).epsilon(1e-3));  // a round corner's pi t^2 for 4 t^2
        CHECK(scan.uncertainty == Approx(std::hypot(0.02 * scan.volume, 0.1 * 3e-3 * scan.area)).epsilon(1e-6));
    }
    SECTION("a sphere")
    {
        const Scan scan = scanned(uvSphere(103, 64), outside);
        const double share = scanned(uvSphere(103, 64)).volume / (4 * pi / 3 * std::pow(0.103, 3));
        // The facets' own error passes on; area and curvature add errors of the same order times 3 %.
        CHECK(scan.volume == Approx(4 * pi / 3 * 1e-3 * share).epsilon(1e-4));
        CHECK(scan.longest == Approx(0.2).epsilon(1e-4));  // corners move along facets' normals, not the sphere's
    }
    SECTION("any box, lying anyhow: the diagonal inside")
    {
        rc::prop("three sizes and a wall", [] {
            const double w = *rc::gen::inRange(60, 400), b = *rc::gen::inRange(60, 400), h = *rc::gen::inRange(60, 400),
                         t = *rc::gen::inRange(1, 10);
            const Mesh box = moved(boxMesh(w + 2 * t, b + 2 * t, h + 2 * t), 7);
            const auto scan = scanOf(box, {.unit = 1e-3, .wall = t / 1000});
            if (!scan) RC_FAIL(scan.error().message);
            RC_ASSERT(std::abs(scan->longest - std::sqrt(w * w + b * b + h * h) / 1000) < 1e-9);
        });
    }
    SECTION("a torus, which is curved both ways")
    {
        const Scan scan = scanned(torusMesh(100, 33, 192, 96), outside);
        CHECK(scan.volume ==
              Approx(2 * pi * pi * 0.1 * 0.03 * 0.03).epsilon(2e-3));  // (pi/96)^2 and 4/3 pi t^3 too much
    }
    SECTION("openings have no wall")
    {
        const Mesh open = without(cylinderMesh(83, 306, 96), [](const Point3& p) { return p[2] > 305; });
        const Scan scan = scanned(open, outside);
        // One end and the side lose 3 mm, the open end nothing.
        CHECK(scan.volume == Approx(pi * 0.08 * 0.08 * 0.303).epsilon(3e-3));
        CHECK(scan.longest == Approx(std::hypot(0.16, 0.303)).epsilon(1e-3));  // 96 facets
    }
    SECTION("a wall thicker than the cavity is refused")
    {
        const auto scan = scanOf(boxMesh(306, 206, 256), {.unit = 1e-3, .wall = 0.2});
        REQUIRE_FALSE(scan);
        CHECK(scan.error().field == "wall");
    }
}

TEST_CASE("Walls of a shell scanned on both sides are called out")
{
    const Mesh shell = joined(boxMesh(306, 206, 256), turnedOver(shifted(boxMesh(300, 200, 250), {3, 3, 3})));
    // Joined through the open top into one piece: take both tops off and join the rims.
    Mesh cup = without(shell, [](const Point3& p) { return p[2] > 252; });
    const std::uint32_t outer[4] = {4, 5, 7, 6}, inner[4] = {12, 13, 15, 14};
    for (int i = 0; i < 4; ++i) {
        const int k = (i + 1) % 4;
        cup.triangles.push_back({outer[i], outer[k], inner[k]});
        cup.triangles.push_back({outer[i], inner[k], inner[i]});
    }
    CHECK(told(scanned(cup), "walls of a shell"));
    CHECK_FALSE(told(scanned(boxMesh(300, 200, 250)), "walls of a shell"));
}

TEST_CASE("Sections along the axis add up to the volume")
{
    // 40 intervals between cones: within 0.3 % even where domes close, on top of the facets that both share.
    for (const Mesh& mesh : {cylinderMesh(60, 400, 64), scaled(uvSphere(100, 48), 1.5), boxMesh(500, 120, 90)}) {
        const Scan scan = scanned(moved(mesh, 7));
        CHECK(volumeOf(scan.profile) == Approx(scan.volume).epsilon(3e-3));
    }
    const Scan tube = scanned(cylinderMesh(60, 400, 64));
    CHECK(tube.axis[2] == Approx(1).epsilon(1e-12));
    CHECK(tube.axisFrom[2] == Approx(0).margin(1e-12));
    for (const double around : tube.profile.perimeter)
        CHECK(around == Approx(128 * 0.06 * std::sin(pi / 64)));
}

TEST_CASE("Faces that cross are counted, neighbours are not")
{
    CHECK(*selfIntersections(uvSphere(100, 12)) == 0);
    CHECK(*selfIntersections(boxMesh(300, 200, 250)) == 0);
    // A box pushed through a side of another: four edges pierce that side, whose two triangles they cross.
    const Mesh pierced = joined(boxMesh(300, 200, 250), shifted(boxMesh(100, 50, 50), {250, 60, 60}));
    CHECK(*selfIntersections(pierced) > 4);
    CHECK(*selfIntersections(joined(boxMesh(300, 200, 250), shifted(boxMesh(100, 50, 50), {400, 0, 0}))) == 0);
    Mesh folded = boxMesh(300, 200, 250);
    folded.triangles = {{0, 1, 2}, {1, 0, 3}};  // across the edge 0-1, both to the same side and in one plane
    CHECK(*selfIntersections(folded) == 1);
}

TEST_CASE("A stop is heard in every part of the work, and nothing half done comes out")
{
    const MeshFolder folder;
    const Mesh mesh = without(uvSphere(100, 40), [](const Point3& p) { return p[2] > 90; });
    for (const auto& file : {folder.write("a.stl", stlBytes(mesh, 1)), folder.write("b.stl", stlText(mesh)),
                             folder.write("c.obj", objText(mesh)), folder.write("d.ply", plyText(mesh))}) {
        int asked = 0;
        REQUIRE(readScan(file, millimetres, {.progress = {}, .cancelled = [&] { return ++asked < 0; }}));
        CHECK(asked > 8);
        for (int stopAt = 1; stopAt <= asked; ++stopAt) {
            int count = 0;
            const auto scan =
                readScan(file, millimetres, {.progress = {}, .cancelled = [&] { return ++count >= stopAt; }});
            REQUIRE_FALSE(scan);
            CHECK(scan.error().field == "cancelled");
            CHECK(count <= stopAt + 1);  // it stops, asking once more at most on its way out
        }
    }
    CHECK(selfIntersections(mesh, {.progress = {}, .cancelled = [] { return true; }}).error().field == "cancelled");
}

TEST_CASE("Progress runs from 0 to 1 and never back")
{
    const MeshFolder folder;
    double last = 0;
    bool rising = true;
    const auto file = folder.write("a.stl", stlBytes(uvSphere(100, 60), 1));
    REQUIRE(readScan(file, millimetres,
                     {.progress =
                          [&](double fraction, std::string_view) {
                              rising = rising && fraction >= last && fraction <= 1;
                              last = fraction;
                          },
                      .cancelled = {}}));
    CHECK(rising);
    CHECK(last > 0.8);
}

TEST_CASE("A measurement keeps what the scan found")
{
    const Scan scan = scanned(boxMesh(306, 206, 256), {.unit = 1e-3, .wall = 3e-3});
    const ScanMeasurement kept = measurementOf(scan, "scans/left.stl");
    CHECK(kept.file == "scans/left.stl");
    CHECK(kept.volume == scan.volume);
    CHECK(kept.uncertainty == scan.uncertainty);
    CHECK(kept.wall == 3e-3);
    CHECK(kept.profile == scan.profile);
    CHECK(kept.longest == scan.longest);
}
