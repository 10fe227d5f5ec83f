// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/csv_table.h"

#include "core/document/exact_number.h"
#include "core/document/fields.h"
#include "core/document/json_text.h"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr std::string_view byteOrderMark = "\xEF\xBB\xBF";

std::string_view trimmed(std::string_view text)
{
    constexpr std::string_view blanks = " \t\r";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

struct Line {
    std::size_t number;
    std::string_view text;
};

std::vector<Line> linesOf(std::string_view text)
{
    std::vector<Line> lines;
    std::size_t number = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        ++number;
        if (const std::string_view line = trimmed(text.substr(0, end)); !line.empty() && line.front() != '#')
            lines.push_back({number, line});
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

// Cells between commas; commas inside double quotes belong to the cell.
Result<std::vector<std::string>> cellsOf(const Line& line)
{
    std::vector<std::string> cells;
    std::string_view rest = line.text;
    for (bool more = true; more;) {
        rest = rest.substr(std::min(rest.find_first_not_of(" \t"), rest.size()));
        std::size_t end = std::min(rest.find(','), rest.size());
        if (!rest.empty() && rest.front() == '"') {
            const std::size_t close = rest.find('"', 1);
            if (close == std::string_view::npos)
                return failInLine(line.number, "a double quote is opened and not closed; close it or leave it out");
            end = std::min(rest.find(',', close), rest.size());
            if (!trimmed(rest.substr(close + 1, end - close - 1)).empty())
                return failInLine(line.number, "something follows a cell in double quotes; a comma is expected there");
            cells.emplace_back(trimmed(rest.substr(1, close - 1)));
        } else {
            cells.emplace_back(trimmed(rest.substr(0, end)));
        }
        more = end < rest.size();
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return cells;
}

std::string listOf(std::span<const std::string_view> names)
{
    std::string list;
    for (std::size_t i = 0; i < names.size(); ++i)
        list += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + std::string(names[i]);
    return list;
}

// For each known column where it stands in the table, or no place at all.
constexpr std::size_t nowhere = static_cast<std::size_t>(-1);
Result<std::vector<std::size_t>> placesOf(const Line& header, const std::vector<std::string>& columns,
                                          std::span<const std::string_view> known, std::size_t needed)
{
    std::vector<std::size_t> places(known.size(), nowhere);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const auto found = std::find(known.begin(), known.end(), columns[i]);
        if (found == known.end() && columns.size() == 1 && header.text.find(';') != std::string_view::npos)
            return failInLine(header.number, "the columns are separated by semicolons; commas are expected, and point "
                                             "decimals");
        if (found == known.end())
            return failInLine(header.number, fmt::format("{} is no column of this table; the first line names {}",
                                                         quotedText(columns[i]), listOf(known)));
        std::size_t& place = places[static_cast<std::size_t>(found - known.begin())];
        if (place != nowhere)
            return failInLine(header.number, fmt::format("the column {} stands twice; each may stand once", *found));
        place = i;
    }
    for (std::size_t i = 0; i < needed; ++i)
        if (places[i] == nowhere)
            return failInLine(header.number,
                              fmt::format("the column {} is missing; the first line names the columns", known[i]));
    return places;
}

}  // namespace

Result<std::vector<CsvRow>> parseCsv(std::string_view text, std::span<const std::string_view> known, std::size_t needed)
{
    if (text.size() > csvSizeLimit)
        return fail("", fmt::format("the table has {} bytes; at most {} are read", text.size(), csvSizeLimit));
    if (text.starts_with(byteOrderMark)) text.remove_prefix(byteOrderMark.size());
    const std::vector<Line> lines = linesOf(text);
    if (lines.empty())
        return failInLine(1, fmt::format("there is nothing in it; the first line names the columns {}", listOf(known)));
    const auto columns = cellsOf(lines.front());
    if (!columns) return fail(columns.error());
    const auto places = placesOf(lines.front(), *columns, known, needed);
    if (!places) return fail(places.error());

    std::vector<CsvRow> rows;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const std::size_t number = lines[i].number;
        if (rows.size() == csvRowLimit)
            return failInLine(number, fmt::format("this is row {}; at most {} are read", csvRowLimit + 1, csvRowLimit));
        auto cells = cellsOf(lines[i]);
        if (!cells) return fail(cells.error());
        if (cells->size() != columns->size())
            return failInLine(number, fmt::format("there are {} cells; the first line names {} columns", cells->size(),
                                                  columns->size()));
        CsvRow row{number, std::vector<std::string>(known.size())};
        for (std::size_t k = 0; k < known.size(); ++k)
            if ((*places)[k] != nowhere) row.cells[k] = std::move((*cells)[(*places)[k]]);
        rows.push_back(std::move(row));
    }
    return rows;
}

Result<double> csvNumber(const std::string& cell, std::size_t line, std::string_view object, std::string_view key)
{
    const FieldInfo* info = fieldInfo(object, key);
    assert(info && "only keys of fields.cpp are read");
    const std::string range =
        fmt::format("allowed is {} to {}{}{}", info->min, info->max, info->unit.empty() ? "" : " ", info->unit);
    if (cell.empty()) return failInLine(line, fmt::format("{} is missing; {}", key, range));
    double value = 0;
    const auto [end, trouble] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (trouble != std::errc() || end != cell.data() + cell.size() || !std::isfinite(value))
        return failInLine(line, fmt::format("{} is {}, no number; {}", key, quotedText(cell), range));
    if (!(value >= info->min && value <= info->max))
        return failInLine(line, fmt::format("{} is {}; {}", key, quotedText(cell), range));
    return siValue(value, info->perSi);
}

std::string csvText(double si, std::string_view object, std::string_view key)
{
    const FieldInfo* info = fieldInfo(object, key);
    assert(info && "only keys of fields.cpp are written");
    return fmt::format("{}", fileNumber(si, info->perSi));
}

}  // namespace portwright
