// SPDX-License-Identifier: GPL-3.0-or-later
// Mesh files as text or bytes into meshes, in units of the file. Corners at exactly the same place are one point
// afterwards; polygons are cut into fans, which keeps their volume where they are flat.
//
// Errors: the field is empty or "line 12", the message one sentence. A file that breaks its format is refused as a
// whole: half a cavity would look like a whole one.
#pragma once

#include "core/mesh/mesh.h"
#include "core/result.h"
#include "core/work.h"

#include <string_view>

namespace portwright {

/// 84 bytes of head, of which the last four count the triangles, then 50 bytes for each (little endian floats: normal,
/// three corners). Normals are not used: the order of the corners tells the side. Errors: another length, a corner
/// that is no finite number, no triangle.
Result<Mesh> meshFromBinaryStl(std::string_view bytes, const Watch& watch = {});
bool isBinaryStl(std::string_view bytes);  ///< the length fits the count

/// "solid", facets with one outer loop of three vertices, "endsolid"; any number of solids.
Result<Mesh> meshFromTextStl(std::string_view text, const Watch& watch = {});

/// Lines "v x y z" and "f a b c ..." with a, a/t, a//n or a/t/n, counted from 1, or from the end if negative; all
/// other lines are skipped.
Result<Mesh> meshFromObj(std::string_view text, const Watch& watch = {});

/// Text, or binary of either byte order; "vertex" with x, y, z and "face" with a list "vertex_indices" (or
/// "vertex_index"), all other elements and properties skipped. Bytes after the last element are not looked at.
Result<Mesh> meshFromPly(std::string_view bytes, const Watch& watch = {});

/// Points at exactly the same place become one, points without a face go.
Result<Mesh> merged(const Mesh& mesh, const Watch& watch = {});

/// Adds a polygon as a fan from its first corner.
template <class Corners> void addFan(Mesh& mesh, const Corners& corners)
{
    for (std::size_t i = 2; i < corners.size(); ++i)
        mesh.triangles.push_back({static_cast<std::uint32_t>(corners[0]), static_cast<std::uint32_t>(corners[i - 1]),
                                  static_cast<std::uint32_t>(corners[i])});
}

}  // namespace portwright
