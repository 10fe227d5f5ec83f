// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/console/solved.h"
#include "core/document/json_text.h"

namespace portwright::console {

/// The JSON and CSV of `solve`. What is not finite is null or an empty cell.
std::string solveJson(const std::vector<SolvedHousing>& housings, const Grid& grid);
std::string solveCsv(const std::vector<SolvedHousing>& housings, const Grid& grid);

/// The named quantities of one housing, those that apply.
JsonValue systemJson(const Summary& summary);

/// One cell of a CSV row: quoted where it must be.
std::string csvCell(const std::string& text);
std::string csvNumber(double value);

}  // namespace portwright::console
