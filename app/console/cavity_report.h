// SPDX-License-Identifier: GPL-3.0-or-later
// What the command `cavity` finds out about its files: scanned meshes, tables of sections, fills, the cavities of a
// project.
#pragma once

#include "core/cavity/net_volume.h"
#include "core/document/project.h"
#include "core/mesh/scan.h"
#include "core/response/model_choice.h"
#include "core/response/uncertainty.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace portwright::console {

/// What a main cavity's volume, as well as it is known, means for its housing.
struct CavityMeaning {
    Uncertainty uncertainty;  ///< its curves left out
    ModelChoice choice;
    std::string leftOut;  ///< of its ranges; may be empty
};

enum class CavitySource { scan, sections, fill, project };
std::string nameOf(CavitySource source);  ///< "scan" ...

/// One cavity: of a file that holds one, or one of a project's.
struct CavityReport {
    CavitySource source = CavitySource::scan;
    std::string housing, housingName, cavity;  ///< of a project: ids, and "main" or "second"
    double volume = 0;                         ///< m3: bare shell, or net of a project's cavity
    std::optional<double> uncertainty;         ///< m3, one standard deviation
    std::optional<Profile> profile;
    std::optional<Scan> scan;              ///< without its mesh
    std::optional<NetVolume> net;          ///< of a project's cavity
    std::optional<CavityMeaning> meaning;  ///< of a project's main cavity, where its housing can be reckoned
    std::vector<std::string> warnings;     ///< also why it cannot
};

struct CavityFile {
    std::string file;
    std::vector<CavityReport> cavities;  ///< at least one
    std::vector<Error> fileWarnings;     ///< of a project file: unknown keys and the like; options without use
};

struct CavityOptions {
    std::optional<double> unit, wall;  ///< m, of meshes
};

/// Kind by the file's suffix: .stl .obj .ply are scans, .portwright a project, .csv a fill if it has a column
/// "medium", sections with one "at_mm". In the order given, but scans are read last: where their unit is not stated,
/// what the tables say together helps to guess it. Errors: field is the file with the place in it.
Result<std::vector<CavityFile>> cavityReports(const std::vector<std::string>& files, const CavityOptions& options);

/// All bare-shell volumes together where there are several; nothing for one or none.
std::optional<CombinedVolume> togetherOf(const std::vector<CavityFile>& files);

std::string cavityText(const std::vector<CavityFile>& files);
std::string cavityJson(const std::vector<CavityFile>& files);

}  // namespace portwright::console
