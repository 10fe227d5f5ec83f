// SPDX-License-Identifier: GPL-3.0-or-later
// Comma-separated text as rows of cells, strictly: the first line names the columns, every line has as many cells.
#pragma once

#include "core/result.h"

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace portwright {

inline constexpr std::size_t csvSizeLimit = 4u << 20;  ///< bytes
inline constexpr std::size_t csvRowLimit = 1000;

struct CsvRow {
    std::size_t line = 0;            ///< from 1
    std::vector<std::string> cells;  ///< one for each column that was asked for, in that order; empty where absent
};

/// The rows of a table with the columns `known`, of which the first `needed` must be there. Blanks around cells and a
/// byte order mark are passed over, so are empty lines and lines that begin with #. A cell may stand in double quotes.
/// Errors: field "line 7", one sentence.
Result<std::vector<CsvRow>> parseCsv(std::string_view text, std::span<const std::string_view> known,
                                     std::size_t needed);

/// An error of a line: field "line 7".
inline auto failInLine(std::size_t line, std::string message)
{
    return fail("line " + std::to_string(line), std::move(message));
}

/// A number in a cell, with the range of a key of the project file, in SI. Errors as above, naming the column.
Result<double> csvNumber(const std::string& cell, std::size_t line, std::string_view object, std::string_view key);

/// The number that csvNumber reads back to this SI value.
std::string csvText(double si, std::string_view object, std::string_view key);

}  // namespace portwright
