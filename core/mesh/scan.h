// SPDX-License-Identifier: GPL-3.0-or-later
// A scanned cavity: a mesh file read, repaired where that is safe, closed and measured; all that was done is told.
#pragma once

#include "core/mesh/mesh.h"
#include "core/quantity/quantity.h"
#include "core/result.h"
#include "core/work.h"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct ScanOptions {
    std::optional<double> unit;             ///< m per unit of the file; absent: guessed from the size
    std::optional<double> wall;             ///< m: the outside was scanned, and the wall is this thick
    std::optional<double> otherwise = {};   ///< m3: what other measurements say, which decides between units
    UnitSystem units = UnitSystem::metric;  ///< of the sentences
};

/// An opening of the scan, closed by the reader. The driver's hole is one.
struct ScanOpening {
    Point3 centre{0, 0, 0};  ///< m, mean of the rim
    double area = 0;         ///< m2, of the patch that closes it
    double perimeter = 0;    ///< m
    int edges = 0;           ///< of the rim
    std::string place;       ///< "high on the +x side"
    double uncertainty = 0;  ///< m3, one standard deviation: what closing it may have changed
};

struct Scan {
    Mesh mesh;                  ///< m, closed, outward
    std::size_t patchFrom = 0;  ///< triangles from here on close openings
    double unit = 1e-3;         ///< m per unit of the file
    bool unitGuessed = false;
    std::optional<double> wall;         ///< m, taken off inward (mesh is as scanned)
    double volume = 0;                  ///< m3, of the closed mesh, after the wall
    double uncertainty = 0;             ///< m3, one standard deviation
    double area = 0;                    ///< m2, of what was scanned, without the patches
    double longest = 0;                 ///< m, farthest two corners inside the wall; may cross a wall between
    Point3 axis{1, 0, 0};               ///< unit vector, longest principal axis of the volume
    Point3 axisFrom{0, 0, 0};           ///< m, where the profile begins: its position s is at axisFrom + s axis
    std::vector<ScanOpening> openings;  ///< largest first
    Profile profile;                    ///< along the axis, after the wall
    int strayPieces = 0;                ///< left out
    int duplicateFaces = 0, degenerateFaces = 0;  ///< removed
    bool turned = false;                          ///< was inside out
    std::vector<std::string> remarks;             ///< whole sentences: what was found, done and assumed
};

/// Reads STL (binary and text), OBJ or PLY, told apart by what is in the file. Duplicate and flat faces go, faces are
/// turned to one sense and outward, openings are closed, of several pieces the largest is kept.
///
/// Unit guessed: the first of mm, cm, inch, m in which the piece is 0.05 to 1 m long and holds 0.2 to 200 L (common
/// practice, no source: what fits on a motorcycle); others that would fit are named in a remark. With a volume known
/// otherwise: the unit whose volume comes closest to it, by ratio. A unit that was stated is taken, and remarked on
/// where it makes less than 0.05 or more than 200 L.
///
/// Uncertainty, in quadrature: 2 % for scanning and aligning (common practice, no source: scans come within 2 to 5 %);
/// what the flat facets cut off a curved wall (sum over smooth edges of length x angle x height^2/12, exact to second
/// order for cylinder and sphere); each opening's closing (its area times the rms distance of its rim from a plane, and
/// the cap that walls leaning towards it suggest: none for a hole in a flat wall); 10 % of the wall.
///
/// An outside scan of a wall t thick: V - A t + M t^2 - 4/3 pi t^3 (Steiner's formula turned inward), with M the sum
/// over edges of length x angle/2, and length x tan(angle/2) where the edge points outward, since a mitre stays sharp
/// inward. Openings count as having no wall. The longest inner dimension is that between corners moved inward until
/// they are the wall's thickness from each face that meets there (exact for corners of three faces; least squares
/// else).
///
/// Errors (one sentence each): not a file, too large, empty, none of the formats, cut short, a corner that is no
/// number, a face that names a missing corner, no surface left, a one-sided surface, no volume, cancelled.
Result<Scan> readScan(const std::filesystem::path& file, const ScanOptions& options = {}, const Watch& watch = {});

/// The same for a mesh at hand, in units of a file.
Result<Scan> scanOf(Mesh mesh, const ScanOptions& options = {}, const Watch& watch = {});

/// Pairs of triangles that cross each other. Slow (seconds for a million triangles), so run after reading. Looks only;
/// a crossing counts its volume twice. Errors: cancelled.
Result<std::size_t> selfIntersections(const Mesh& mesh, const Watch& watch = {});

ScanMeasurement measurementOf(const Scan& scan, std::string file);

/// Binary STL of a mesh, in units of so many m: the closed cavity for other programs.
std::string stlBytes(const Mesh& mesh, double unit);

}  // namespace portwright
