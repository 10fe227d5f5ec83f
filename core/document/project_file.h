// SPDX-License-Identifier: GPL-3.0-or-later
// The project file: UTF-8 JSON, see the format description in DEVELOPERS.md. Reading divides (mm / 1000), writing puts
// the shortest decimal that reads back to the same SI double.
#pragma once

#include "core/document/project.h"
#include "core/result.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace portwright {

inline constexpr int projectFileVersion = 1;
inline constexpr std::size_t projectFileSizeLimit = 8u << 20;  ///< bytes

struct LoadedProject {
    Project project;
    std::vector<Error> warnings;  ///< field: JSON pointer; unknown keys and the like
    int fileVersion = projectFileVersion;
};

/// Reads a project from text. Errors: field is a JSON pointer ("/housings/1/cavity/net_volume_l") or "line 12",
/// message says what was found and what is allowed. A driver may lack values (complete() tells); nothing else may.
Result<LoadedProject> parseProject(std::string_view text);

/// The same from a file; an error's field is "PATH, /pointer" or "PATH".
Result<LoadedProject> readProject(const std::filesystem::path& path);

/// Text of a project: stable key order, two-space indent, newline at the end. Never contains NaN.
std::string projectText(const Project& project);

/// The project as it would be after writing and reading: each value the nearest that a decimal can hold.
Project normalised(const Project& project);

}  // namespace portwright
