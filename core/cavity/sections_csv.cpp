// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/sections_csv.h"

#include "core/cavity/sections.h"
#include "core/document/csv_table.h"
#include "core/document/describe_measurement.h"
#include "core/document/json_text.h"

#include <algorithm>
#include <fmt/format.h>

namespace portwright {

namespace {

enum Column : std::size_t { at, shape, width, height, corner, area, points };
constexpr std::array<std::string_view, 7> columns{"at_mm",     "shape",    "width_mm", "height_mm",
                                                  "corner_mm", "area_cm2", "points_mm"};
constexpr std::size_t neededColumns = 2;

std::string_view wordFor(SectionShape wanted)
{
    return std::find_if(sectionShapeWords.begin(), sectionShapeWords.end(),
                        [wanted](const auto& word) { return word.first == wanted; })
        ->second;
}

Result<SectionShape> shapeOf(const CsvRow& row)
{
    std::string allowed;
    for (const auto& [value, word] : sectionShapeWords) {
        if (row.cells[shape] == word) return value;
        allowed += (allowed.empty() ? "" : word == sectionShapeWords.back().second ? " or " : ", ") + std::string(word);
    }
    return failInLine(row.line, fmt::format("shape is {}; allowed is {}", quotedText(row.cells[shape]), allowed));
}

// Which columns a shape fills.
bool uses(SectionShape s, Column column)
{
    switch (column) {
    case at:
    case shape:
        return true;
    case width:
    case height:
        return s != SectionShape::outline && s != SectionShape::area;
    case corner:
        return s == SectionShape::rounded;
    case area:
        return s == SectionShape::area;
    case points:
        break;
    }
    return s == SectionShape::outline;
}

bool isNothing(const std::string& cell) { return cell.empty() || cell == "0" || cell == "0.0"; }

// "0 0; 120 0; 60 80"
Result<std::vector<Point2>> pointsOf(const CsvRow& row)
{
    std::vector<Point2> result;
    std::string_view rest = row.cells[points];
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find(';'), rest.size());
        std::string_view pair = rest.substr(0, end);
        rest.remove_prefix(std::min(end + 1, rest.size()));
        std::vector<std::string> numbers;
        while ((pair = pair.substr(std::min(pair.find_first_not_of(" \t"), pair.size()))), !pair.empty()) {
            const std::size_t stop = std::min(pair.find_first_of(" \t"), pair.size());
            numbers.emplace_back(pair.substr(0, stop));
            pair.remove_prefix(stop);
        }
        if (numbers.size() != 2)
            return failInLine(row.line, fmt::format("point {} of the outline has {} numbers; two with a blank between "
                                                    "them are expected, and a semicolon between points",
                                                    result.size() + 1, numbers.size()));
        if (result.size() == mostPoints)
            return failInLine(row.line,
                              fmt::format("the outline has more than {} points; so many are not read", mostPoints));
        Point2 point;
        for (std::size_t i = 0; i < 2; ++i) {
            const auto number = csvNumber(numbers[i], row.line, "section", "points_mm");
            if (!number) return fail(number.error());
            point[i] = *number;
        }
        result.push_back(point);
    }
    return result;
}

Result<Section> sectionOf(const CsvRow& row)
{
    Section section;
    const auto shapeFound = shapeOf(row);
    if (!shapeFound) return fail(shapeFound.error());
    section.shape = *shapeFound;
    const std::array<std::pair<Column, double Section::*>, 5> numbers{{{at, &Section::at},
                                                                       {width, &Section::width},
                                                                       {height, &Section::height},
                                                                       {corner, &Section::corner},
                                                                       {area, &Section::area}}};
    for (const auto& [column, number] : numbers) {
        if (!uses(section.shape, column) && isNothing(row.cells[column])) continue;
        if (!uses(section.shape, column))
            return failInLine(row.line,
                              fmt::format("{} is {}, but the shape {} has no use for it; leave it empty",
                                          columns[column], quotedText(row.cells[column]), wordFor(section.shape)));
        const auto value = csvNumber(row.cells[column], row.line, "section", columns[column]);
        if (!value) return fail(value.error());
        section.*number = *value;
    }
    if (!uses(section.shape, points) && !row.cells[points].empty())
        return failInLine(row.line, fmt::format("points_mm is filled, but the shape {} has no use for it; leave it "
                                                "empty",
                                                wordFor(section.shape)));
    auto outline = pointsOf(row);
    if (!outline) return fail(outline.error());
    section.points = std::move(*outline);
    if (const auto worked = areaOf(section); !worked) return failInLine(row.line, worked.error().message);
    return section;
}

}  // namespace

Result<std::vector<Section>> parseSectionsCsv(std::string_view text)
{
    const auto rows = parseCsv(text, columns, neededColumns);
    if (!rows) return fail(rows.error());
    std::vector<Section> sections;
    for (const CsvRow& row : *rows) {
        if (sections.size() == mostSections)
            return failInLine(row.line,
                              fmt::format("this is section {}; at most {} are read", mostSections + 1, mostSections));
        auto section = sectionOf(row);
        if (!section) return fail(section.error());
        if (!sections.empty() && !(section->at > sections.back().at))
            return failInLine(row.line, fmt::format("at_mm is {}, not beyond the section before; positions must rise",
                                                    row.cells[at]));
        sections.push_back(std::move(*section));
    }
    if (sections.size() < 2)
        return failInLine(
            rows->empty() ? 1 : rows->back().line,
            fmt::format("the table ends after {} of the at least 2 sections that make a volume", sections.size()));
    return sections;
}

std::string sectionsCsv(const std::vector<Section>& sections)
{
    const bool outlines = std::any_of(sections.begin(), sections.end(),
                                      [](const Section& s) { return s.shape == SectionShape::outline; });
    std::string text = "at_mm,shape,width_mm,height_mm,corner_mm,area_cm2";
    text += outlines ? ",points_mm\n" : "\n";
    for (const Section& s : sections) {
        const auto cell = [&s](Column column, double value) {
            return uses(s.shape, column) ? csvText(value, "section", columns[column]) : std::string();
        };
        text += fmt::format("{},{},{},{},{},{}", cell(at, s.at), wordFor(s.shape), cell(width, s.width),
                            cell(height, s.height), cell(corner, s.corner), cell(area, s.area));
        if (outlines) text += ',';
        if (s.shape == SectionShape::outline)
            for (std::size_t i = 0; i < s.points.size(); ++i)
                text += fmt::format("{}{} {}", i == 0 ? "" : "; ", csvText(s.points[i][0], "section", "points_mm"),
                                    csvText(s.points[i][1], "section", "points_mm"));
        text += '\n';
    }
    return text;
}

}  // namespace portwright
