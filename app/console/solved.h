// SPDX-License-Identifier: GPL-3.0-or-later
// A project's housings, solved for the console's tables.
#pragma once

#include "core/document/project.h"
#include "core/response/verdicts.h"

#include <string>
#include <vector>

namespace portwright::console {

struct SolvedHousing {
    std::string id, name;
    Model model;
    Curves curves;
    Summary summary;
};

/// Indices of the wanted housings in the order asked for, each once; all if none is named. Error: an id that is not
/// there.
Result<std::vector<std::size_t>> housingsNamed(const Project& project, const std::vector<std::string>& ids);

/// Errors: field is a JSON pointer.
Result<std::vector<SolvedHousing>> solveHousings(const Project& project, const std::vector<std::size_t>& indices,
                                                 const Grid& grid);

/// The error with a JSON pointer of the project as its field.
Error inHousing(Error error, std::size_t index);

/// "closed", "vented", "passive".
std::string nameOf(SystemKind kind);

}  // namespace portwright::console
