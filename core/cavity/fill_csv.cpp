// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/fill_csv.h"

#include "core/document/csv_table.h"
#include "core/document/describe_measurement.h"
#include "core/document/fields.h"
#include "core/document/json_text.h"
#include "core/quantity/quantity.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

enum Column : std::size_t { medium, reading, unit, temperature, scaleStep, vesselStep, residue, packing };
constexpr std::array<std::string_view, 8> columns{"medium",       "reading",        "unit",       "temperature_c",
                                                  "scale_step_g", "vessel_step_ml", "residue_ml", "packing_pct"};
constexpr std::size_t neededColumns = 3;

// What stands beside the readings, once for all of them.
constexpr std::array<std::pair<Column, std::optional<double> FillMeasurement::*>, 5> besides{
    {{temperature, &FillMeasurement::temperature},
     {scaleStep, &FillMeasurement::massResolution},
     {vesselStep, &FillMeasurement::volumeResolution},
     {residue, &FillMeasurement::residue},
     {packing, &FillMeasurement::packingDifference}}};

bool uses(FillMedium of, Column column)
{
    const bool weighed = of == FillMedium::waterByWeight;
    switch (column) {
    case temperature:
    case scaleStep:
        return weighed;
    case vesselStep:
        return !weighed;
    case packing:
        return of == FillMedium::dry;
    default:
        return true;
    }
}

std::string_view wordFor(FillMedium of)
{
    return std::find_if(fillMediumWords.begin(), fillMediumWords.end(), [of](const auto& w) { return w.first == of; })
        ->second;
}

Result<FillMedium> mediumOf(const CsvRow& row)
{
    for (const auto& [value, word] : fillMediumWords)
        if (row.cells[medium] == word) return value;
    return failInLine(row.line, fmt::format("medium is {}; allowed is water-weight, water-volume or dry",
                                            quotedText(row.cells[medium])));
}

std::string lowered(std::string text)
{
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return text;
}

Result<Unit> unitOf(const CsvRow& row, Dimension dimension)
{
    const std::string typed = lowered(row.cells[unit]);
    std::string allowed;
    for (const Unit& known : knownUnits(dimension)) {
        if (lowered(known.name) == typed || std::find(known.also.begin(), known.also.end(), typed) != known.also.end())
            return known;
        allowed += (allowed.empty() ? "" : ", ") + known.name;
    }
    return failInLine(row.line, fmt::format("unit is {}; allowed for this medium is one of {}",
                                            quotedText(row.cells[unit]), allowed));
}

Result<double> valueOf(const CsvRow& row, FillMedium of)
{
    const bool weighed = of == FillMedium::waterByWeight;
    const auto in = unitOf(row, weighed ? Dimension::mass : Dimension::volume);
    if (!in) return fail(in.error());
    const std::string& cell = row.cells[reading];
    double number = 0;
    const auto [end, trouble] = std::from_chars(cell.data(), cell.data() + cell.size(), number);
    if (trouble != std::errc() || end != cell.data() + cell.size() || !std::isfinite(number))
        return failInLine(row.line, fmt::format("reading is {}, no number; a number with a point for its decimals is "
                                                "expected",
                                                quotedText(cell)));
    const FieldInfo& info = *fieldInfo("measurement", weighed ? "readings_g" : "readings_l");
    const double si = toSi(*in, number);
    if (!(si > 0 && si * info.perSi <= info.max))
        return failInLine(row.line, fmt::format("reading is {} {}; allowed is above 0 to {} {}", cell, in->name,
                                                info.max, info.unit));
    return si;
}

// The cells beside a reading, taken over; two lines must not say different things.
Result<void> takeBesides(FillMeasurement& fill, const CsvRow& row)
{
    for (const auto& [column, member] : besides) {
        const std::string& cell = row.cells[column];
        if (cell.empty()) continue;
        if (!uses(fill.medium, column))
            return failInLine(row.line, fmt::format("{} is {}, but {} has no use for it; leave it empty",
                                                    columns[column], quotedText(cell), wordFor(fill.medium)));
        const auto value = csvNumber(cell, row.line, "measurement", columns[column]);
        if (!value) return fail(value.error());
        if (fill.*member && *(fill.*member) != *value)
            return failInLine(row.line, fmt::format("{} is {}, above it is {}; one table holds one", columns[column],
                                                    cell, csvText(*(fill.*member), "measurement", columns[column])));
        fill.*member = *value;
    }
    return {};
}

}  // namespace

Result<FillMeasurement> parseFillCsv(std::string_view text)
{
    const auto rows = parseCsv(text, columns, neededColumns);
    if (!rows) return fail(rows.error());
    if (rows->empty())
        return failInLine(1, "there is no reading below the names of the columns; at least one is needed");
    FillMeasurement fill;
    for (const CsvRow& row : *rows) {
        const auto found = mediumOf(row);
        if (!found) return fail(found.error());
        if (&row == &rows->front()) fill.medium = *found;
        if (*found != fill.medium)
            return failInLine(row.line, fmt::format("medium is {}, above it is {}; one table holds one medium",
                                                    row.cells[medium], rows->front().cells[medium]));
        std::vector<double>& values = *found == FillMedium::waterByWeight ? fill.masses : fill.volumes;
        if (values.size() == mostReadings)
            return failInLine(row.line,
                              fmt::format("this is reading {}; at most {} are read", mostReadings + 1, mostReadings));
        const auto value = valueOf(row, *found);
        if (!value) return fail(value.error());
        values.push_back(*value);
        if (const auto taken = takeBesides(fill, row); !taken) return fail(taken.error());
    }
    return fill;
}

std::string fillCsv(const FillMeasurement& fill)
{
    const bool weighed = fill.medium == FillMedium::waterByWeight;
    std::string text = "medium,reading,unit", beside;
    for (const auto& [column, member] : besides)
        if (fill.*member && uses(fill.medium, column)) {
            text += fmt::format(",{}", columns[column]);
            beside += "," + csvText(*(fill.*member), "measurement", columns[column]);
        }
    text += "\n";
    for (const double value : weighed ? fill.masses : fill.volumes)
        text += fmt::format("{},{},{}{}\n", wordFor(fill.medium),
                            csvText(value, "measurement", weighed ? "readings_g" : "readings_l"), weighed ? "g" : "L",
                            beside);
    return text;
}

}  // namespace portwright
