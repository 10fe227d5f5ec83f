// SPDX-License-Identifier: GPL-3.0-or-later
// Against programs outside: bodies made by OpenSCAD, volumes summed by admesh.
#include "core/constants.h"
#include "core/mesh/scan.h"
#include "tests/core/mesh/mesh_makers.h"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <memory>

using namespace portwright;
using namespace portwright::test;

namespace {

const ScanOptions millimetres{.unit = 1e-3, .wall = {}};

/// The body that a script describes, as OpenSCAD's STL file.
std::filesystem::path made(const MeshFolder& folder, std::string_view script)
{
    const auto source = folder.write("body.scad", script), file = folder.path() / "body.stl";
    std::filesystem::remove(file);
    outputOf(fmt::format("openscad -q -o '{}' '{}'", file.string(), source.string()));
    INFO("openscad is in the test packages");
    REQUIRE(std::filesystem::exists(file));
    return file;
}

Scan scannedBody(const MeshFolder& folder, std::string_view script)
{
    const auto scan = readScan(made(folder, script), millimetres);
    REQUIRE(scan);
    return *scan;
}

/// mm3, as admesh prints it.
double admeshVolume(const std::filesystem::path& file)
{
    const std::string text = outputOf(fmt::format("LC_ALL=C admesh '{}'", file.string()));
    const auto at = text.find("Volume   :");
    INFO(text);
    REQUIRE(at != std::string::npos);
    return std::strtod(text.c_str() + at + 10, nullptr);
}

}  // namespace

TEST_CASE("Bodies made by OpenSCAD at rising fineness come to the formula as the square of it", "[programs]")
{
    struct Body {
        const char* script;
        double volume;  // m3
    };
    // A sphere of OpenSCAD has its outermost rings half a step from the poles, so their flat ends count to the error.
    const Body body = GENERATE(
        Body{"$fn={0}; cylinder(r=80, h=300);", pi * 0.0064 * 0.3}, Body{"$fn={0}; sphere(r=100);", 4e-3 * pi / 3},
        Body{"$fn={0}; rotate_extrude() translate([100, 0]) circle(r=30);", 2 * pi * pi * 0.1 * 0.0009});
    const MeshFolder folder;
    double before = 0;
    for (const int n : {16, 32, 64, 128}) {
        const Scan scan = scannedBody(folder, fmt::format(fmt::runtime(body.script), n));
        const double error = 1 - scan.volume / body.volume;
        INFO(body.script << " n " << n << ": " << error);
        CHECK(scan.openings.empty());
        CHECK(error > 0);
        // Quartered by each halving; the next term is less than (pi/16)^2 of it. OpenSCAD writes six digits.
        if (before > 0) CHECK(before / error == Approx(4).epsilon(0.04));
        before = error;
    }
}

TEST_CASE("A box made by OpenSCAD is exact to the six digits of its file", "[programs]")
{
    const MeshFolder folder;
    const Scan scan = scannedBody(folder, "rotate([10, 20, 30]) translate([7, 8, 9]) cube([300, 200, 250]);");
    // Beyond 100 mm the sixth digit is 1 um (0.001 mm), half of which in 200 mm is 2.5e-6, in each of three directions.
    CHECK(scan.volume == Approx(0.015).epsilon(8e-6));
    CHECK(scan.profile.area[20] == Approx(0.05).epsilon(8e-6));
}

TEST_CASE("admesh sums the same volume for the file that was closed here", "[programs]")
{
    const char* script =
        GENERATE("rotate([10, 20, 30]) cube([300, 200, 250]);", "$fn=500; cylinder(r=80, h=300);",
                 "$fn=44; sphere(r=100);", "$fn=30; rotate_extrude() translate([100, 0]) circle(r=30);");
    const MeshFolder folder;
    const Mesh body = scannedBody(folder, script).mesh;
    Mesh some = turnedOver(body);
    for (std::size_t i = 0; i < some.triangles.size(); i += 3)
        std::swap(some.triangles[i][0], some.triangles[i][1]);
    for (const Mesh& mesh : {body, without(body, [](const Point3& p) { return p[2] > 0.025 && p[0] > 0.03; }), some}) {
        const auto scan = scanOf(mesh, {.unit = 1, .wall = {}});
        REQUIRE(scan);
        INFO(script << ", " << scan->mesh.triangles.size() << " facets, " << scan->openings.size() << " openings");
        REQUIRE(scan->mesh.triangles.size() <= 2000);
        const auto file = folder.write("closed.stl", stlBytes(scan->mesh, 1e-3));
        // The file is read back, since it keeps single precision. admesh sums in that, too: 6e-7 apart at most here.
        CHECK(admeshVolume(file) * 1e-9 == Approx(readScan(file, millimetres)->volume).epsilon(1e-6));
    }
}

TEST_CASE("Beyond 2000 facets admesh's single precision shows, and no more than that", "[programs]")
{
    const MeshFolder folder;
    const auto fine = folder.write("fine.stl", stlBytes(uvSphere(0.1, 90), 1e-3));  // 32 040 facets
    // Roundings of 6e-8 add up to 1e-5 if they fall by chance and to 2e-3 if all fall one way; found 3.4e-5.
    CHECK(admeshVolume(fine) * 1e-9 == Approx(readScan(fine, millimetres)->volume).epsilon(1e-4));
}
