// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/core/parts/solid_checks.h"

#include "core/mesh/mesh_formats.h"
#include "core/mesh/mesh_surface.h"
#include "core/mesh/scan.h"
#include "tests/core/mesh/mesh_makers.h"

#include <fmt/format.h>
#include <regex>

namespace portwright::test {

namespace {

/// What admesh counts, or -1 where it says nothing of it.
int counted(const std::string& report, const std::string& what)
{
    std::smatch found;
    return std::regex_search(report, found, std::regex(what + R"(\s*:\s*(\d+))")) ? std::stoi(found[1]) : -1;
}

}  // namespace

bool watertight(const Mesh& mesh)
{
    const auto surface = surfaceOf(mesh);
    return surface && surface->pieces == 1 && rimsOf(*surface).empty() && surface->duplicateFaces == 0 &&
           surface->degenerateFaces == 0 && surface->turnedFaces == 0 && surface->crowdedEdges == 0;
}

std::string faults(const Mesh& mesh)
{
    const MeshFolder folder;
    const auto file = folder.write("piece.stl", stlBytes(mesh, 1e-3));
    const std::string report = outputOf(fmt::format("LC_ALL=C admesh '{}'", file.string()));
    bool fine = counted(report, "Number of parts") == 1;
    for (const char* fault : {"Degenerate facets", "Edges fixed", "Facets removed", "Facets added", "Facets reversed",
                              "Backwards edges", "Normals fixed", "Total disconnected facets"})
        fine = fine && counted(report, fault) == 0;
    return fine ? "" : report;
}

int handlesOf(const Mesh& mesh)
{
    const auto points = long(mesh.points.size()), faces = long(mesh.triangles.size());
    return int((2 - points + faces / 2) / 2);  // V - E + F with three half-edges a face
}

}  // namespace portwright::test
