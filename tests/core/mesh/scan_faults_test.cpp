// SPDX-License-Identifier: GPL-3.0-or-later
// Files that are no cavity: each ends in one clear sentence.
#include "core/mesh/mesh_file.h"
#include "core/mesh/mesh_formats.h"
#include "core/mesh/scan.h"
#include "tests/core/mesh/mesh_makers.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>
#include <sys/stat.h>

using namespace portwright;
using namespace portwright::test;

namespace {

/// What reading a file of these bytes complains about; the sentence stands on one line and names the file as its field.
std::string complaint(std::string_view name, std::string_view bytes)
{
    const MeshFolder folder;
    const auto file = folder.write(name, bytes);
    const auto scan = readScan(file);
    REQUIRE_FALSE(scan);
    CHECK(scan.error().field == file.string());
    CHECK(std::count(scan.error().message.begin(), scan.error().message.end(), '\n') == 0);
    CHECK(scan.error().message.size() > 20);
    CHECK(scan.error().message.size() < 250);
    return scan.error().message;
}

std::string boxStl() { return stlBytes(boxMesh(300, 200, 250), 1); }

void putFloat(std::string& bytes, std::size_t at, float value)
{
    const auto bits = std::bit_cast<std::uint32_t>(value);
    for (std::size_t i = 0; i < 4; ++i)
        bytes[at + i] = static_cast<char>(bits >> 8 * i & 0xff);
}

using Catch::Matchers::Contains;

}  // namespace

TEST_CASE("Binary STL: cut, longer, counted wrong, not finite, empty")
{
    const std::string box = boxStl();
    CHECK_THAT(complaint("a.stl", box.substr(0, 300)), Contains("300 bytes") && Contains("12 triangles"));
    CHECK_THAT(complaint("a.stl", box + "x"), Contains("685 bytes"));
    CHECK_THAT(complaint("a.stl", box.substr(0, 60) + std::string(10, '\0')), Contains("at least 84 bytes"));
    CHECK_THAT(complaint("a.stl", box.substr(0, 80) + std::string(4, '\0')), Contains("no triangle"));
    for (const float bad : {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()}) {
        std::string broken = box;
        putFloat(broken, 84 + 50 * 4 + 12 + 4, bad);
        CHECK_THAT(complaint("a.stl", broken), Contains("triangle 5 of 12") && Contains("not a finite number"));
    }
    std::string normals = box;  // normals are not used, so nan there does no harm
    putFloat(normals, 84, std::numeric_limits<float>::quiet_NaN());
    CHECK(meshFromBytes(normals, ".stl"));
    std::string huge = box;
    for (std::size_t i = 80; i < 84; ++i)
        huge[i] = '\xff';
    CHECK_THAT(complaint("a.stl", huge), Contains("4294967295 triangles"));
}

TEST_CASE("A text named .stl, and other files that are no mesh")
{
    CHECK_THAT(complaint("notes.stl", "Left pannier, measured on Sunday: about 30 litres.\n"),
               Contains("this is a text"));
    CHECK_THAT(complaint("a.xyz", std::string("\x01\x02\x03zzzzzzzz", 11)), Contains("neither STL"));
    CHECK_THAT(complaint("empty.stl", ""), Contains("empty"));
    CHECK_THAT(complaint("blank.obj", "\n\n"), Contains("holds no face"));
    const MeshFolder folder;
    CHECK_THAT(readScan(folder.path()).error().message, Contains("this is a folder"));
    CHECK_THAT(readScan(folder.path() / "missing.stl").error().message, Contains("no such file"));
    REQUIRE(::mkfifo((folder.path() / "pipe.stl").c_str(), 0600) == 0);
    CHECK_THAT(readScan(folder.path() / "pipe.stl").error().message, Contains("no ordinary file"));
}

TEST_CASE("A file beyond the limit is refused before it is read")
{
    const MeshFolder folder;
    const auto file = folder.write("large.stl", "solid");
    std::filesystem::resize_file(file, largestMeshFile + 1);  // a hole on the disk, no bytes
    CHECK_THAT(readScan(file).error().message, Contains("at most 400 MB"));
}

TEST_CASE("Text STL is read strictly, and the line is named")
{
    const auto of = [](std::string_view facets) { return complaint("a.stl", "solid\n" + std::string(facets)); };
    CHECK_THAT(of(""), Contains("the end of the file") && Contains("line 2"));
    CHECK_THAT(of("endsolid\n"), Contains("no triangle"));
    CHECK_THAT(of("facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nendloop\nendfacet\nendsolid\n"),
               Contains("line 6: \"endloop\" stands where a facet's three vertices"));
    CHECK_THAT(of("facet normal 0 0 1\nouter loop\nvertex 0 0 nan\n"), Contains("line 4: \"nan\""));
    CHECK_THAT(of("facet normal 0 0 1\nouter loop\nvertex 0 0 1e999\n"), Contains("line 4: \"1e999\""));
    CHECK_THAT(of("facet normal 0 0 1\nouter loop\nvertex 0,5 0 0\n"), Contains("line 4: \"0,5\""));
    CHECK_THAT(of("facets\n"), Contains("line 2: \"facets\""));
    const std::string whole = stlText(boxMesh(300, 200, 250));
    CHECK_THAT(complaint("a.stl", whole.substr(0, whole.size() / 2)),
               Contains("the end of the file") || Contains("stands where"));
    CHECK_THAT(complaint("a.stl", whole.substr(0, whole.size() - 9)), Contains("the end of the file"));
}

TEST_CASE("OBJ and PLY: corners that are not there, numbers that are none, faces of two")
{
    const std::string corners = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n";
    CHECK_THAT(complaint("a.obj", corners + "f 1 2 5\n"), Contains("line 5: \"5\" names no corner of the 4"));
    CHECK_THAT(complaint("a.obj", corners + "f 1 2 0\n"), Contains("\"0\" names no corner"));
    CHECK_THAT(complaint("a.obj", corners + "f 1 2 -5\n"), Contains("\"-5\" names no corner"));
    CHECK_THAT(complaint("a.obj", corners + "f 1 2 99999999999999999999\n"), Contains("names no corner"));
    CHECK_THAT(complaint("a.obj", corners + "f 1 2\n"), Contains("2 corners"));
    CHECK_THAT(complaint("a.obj", "v 0 0 inf\n"), Contains("line 1: \"inf\""));
    CHECK_THAT(complaint("a.obj", "v 0 0\nf 1 1 1\n"), Contains("line 1: the line ends"));

    Mesh mesh = boxMesh(300, 200, 250);
    const std::string ply = plyText(mesh);
    CHECK_THAT(complaint("a.ply", ply.substr(0, ply.size() - 30)), Contains("cut short"));
    CHECK_THAT(complaint("a.ply", "ply\nformat ascii 1.0\nend_header\n"), Contains("PLY") || Contains("no face"));
    mesh.triangles[2][1] = 8;
    CHECK_THAT(complaint("a.ply", plyText(mesh)),
               Contains("face 3 names corner 8, which is not there") && Contains("0 to 7"));
    std::string nan = ply;
    nan.replace(nan.find("end_header\n") + 11, 1, "nan");
    CHECK_THAT(complaint("a.ply", nan), Contains("not a finite number") || Contains("cut short"));
}

TEST_CASE("Meshes that enclose nothing")
{
    Mesh mesh = boxMesh(300, 200, 250);
    mesh.triangles.resize(1);
    CHECK_THAT(complaint("a.stl", stlText(mesh)), Contains("one face of the mesh encloses no space"));
    mesh.triangles = {{1, 1, 2}};
    CHECK_THAT(complaint("a.stl", stlText(mesh)), Contains("no face is left"));
    mesh.triangles = {{0, 1, 2}, {1, 3, 2}};  // a flat square
    CHECK_THAT(complaint("a.stl", stlText(mesh)), Contains("2 faces of the mesh enclose no space"));
    // A band of five triangles, each sharing an edge with the next, closed after an odd number of them: one side only.
    Mesh strip;
    strip.points = {{0, 0, 0}, {10, 0, 1}, {12, 8, 2}, {5, 12, 8}, {-3, 7, 3}};
    strip.triangles = {{0, 1, 2}, {1, 2, 3}, {2, 3, 4}, {3, 4, 0}, {4, 0, 1}};
    CHECK_THAT(complaint("a.stl", stlText(strip)), Contains("one side only"));
}

TEST_CASE("Options out of range are refused by name")
{
    const Mesh mesh = boxMesh(300, 200, 250);
    for (const double bad :
         {0.0, -1.0, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()})
        CHECK(scanOf(mesh, {.unit = bad, .wall = {}}).error().field == "unit");
    CHECK(scanOf(mesh, {.unit = {}, .wall = -1e-3}).error().field == "wall");
}

TEST_CASE("Bytes changed anywhere never bring a volume that is not finite")
{
    const std::string files[] = {boxStl(), stlText(boxMesh(300, 200, 250)), objText(uvSphere(100, 3)),
                                 plyText(uvSphere(100, 3))};
    const char* endings[] = {".stl", ".stl", ".obj", ".ply"};
    rc::prop("any bytes of any format", [&] {
        const auto which = *rc::gen::inRange<std::size_t>(0, 4);
        std::string bytes = files[which];
        const auto changes = *rc::gen::inRange(1, 6);
        for (int i = 0; i < changes; ++i)
            bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())] = *rc::gen::arbitrary<char>();
        const auto mesh = meshFromBytes(bytes, endings[which]);
        if (!mesh) {
            RC_ASSERT(mesh.error().message.size() > 20);
            return;
        }
        const auto scan = scanOf(*mesh, {.unit = 1e-3, .wall = {}});
        if (scan) RC_ASSERT(std::isfinite(scan->volume) && scan->volume > 0 && std::isfinite(scan->uncertainty));
    });
}
