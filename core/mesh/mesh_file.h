// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/mesh/mesh.h"
#include "core/result.h"
#include "core/work.h"

#include <cstdint>
#include <filesystem>
#include <string_view>

namespace portwright {

inline constexpr std::uintmax_t largestMeshFile = 400'000'000;  ///< bytes; eight million triangles of binary STL

/// STL (binary or text), OBJ or PLY, told apart by what is in it; the name's ending only decides where that says
/// nothing. Units of the file. Errors: one sentence, with the line where there are lines.
Result<Mesh> meshFromBytes(std::string_view bytes, std::string_view ending, const Watch& watch = {});

/// Errors: field is the path; not there, a folder, no ordinary file, larger than largestMeshFile, and all of the above.
Result<Mesh> readMeshFile(const std::filesystem::path& path, const Watch& watch = {});

}  // namespace portwright
