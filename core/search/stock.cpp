// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/stock.h"

#include "core/document/csv_table.h"
#include "core/document/json_text.h"

#include <array>
#include <fmt/format.h>
#include <optional>

namespace portwright {

namespace {

constexpr double mm = 1e-3, inch = 25.4e-3;

// Columns and the key of the project file whose unit and range their numbers have.
enum Column { kind, name, diameter, wall, width, height, length, radius, columnCount };
constexpr std::array<std::string_view, columnCount> columns{"kind",     "name",      "diameter_mm", "wall_mm",
                                                            "width_mm", "height_mm", "length_mm",   "radius_mm"};
constexpr std::string_view objectOf(Column column) { return column == radius ? "bend" : "port"; }

Result<double> number(const CsvRow& row, Column column)
{
    return csvNumber(row.cells[column], row.line, objectOf(column), columns[column]);
}

// 0 where the cell is empty.
Result<double> perhaps(const CsvRow& row, Column column)
{
    return row.cells[column].empty() ? Result<double>(0.0) : number(row, column);
}

/// Cells of one row as they are read; the first that is wrong ends it.
struct Cells {
    const CsvRow& row;
    std::optional<Error> error;

    void take(double& into, Result<double> value)
    {
        if (error) return;
        if (value)
            into = *value;
        else
            error = value.error();
    }
    void need(double& into, Column column) { take(into, number(row, column)); }
    void want(double& into, Column column) { take(into, perhaps(row, column)); }
};

Result<void> addRow(PortStock& stock, const CsvRow& row)
{
    Cells cells{row, {}};
    const std::string& what = row.cells[kind];
    if (what == "tube") {
        StockTube tube{.name = row.cells[name]};
        cells.need(tube.bore, diameter);
        cells.want(tube.wall, wall);
        cells.want(tube.longest, length);
        cells.want(tube.bendRadius, radius);
        stock.tubes.push_back(std::move(tube));
    } else if (what == "slot") {
        StockSlot slot{.name = row.cells[name]};
        cells.need(slot.width, width);
        cells.need(slot.height, height);
        cells.want(slot.wall, wall);
        cells.want(slot.longest, length);
        stock.slotShapes.push_back(std::move(slot));
    } else if (what == "flare") {
        StockFlare flare{.name = row.cells[name]};
        cells.need(flare.radius, radius);
        cells.want(flare.forBore, diameter);
        stock.flares.push_back(std::move(flare));
    } else {
        return failInLine(row.line, fmt::format("kind is {}; allowed are tube, slot and flare", quotedText(what)));
    }
    if (cells.error) return fail(*cells.error);
    return {};
}

std::string cell(double si, Column column)
{
    return si > 0 ? csvText(si, objectOf(column), columns[column]) : std::string();
}

// A name may hold commas; a double quote cannot be written, so it becomes a single one.
std::string quoted(std::string text)
{
    for (char& c : text)
        if (c == '"' || c == '\n' || c == '\r') c = '\'';
    return '"' + text + '"';
}

void addSlots(PortStock& stock, double panel, const std::string& panelName, std::initializer_list<double> widths,
              std::initializer_list<double> heights, double unit, const char* unitName)
{
    for (double w : widths)
        for (double h : heights)
            stock.slotShapes.push_back(
                {fmt::format("slot {:g} x {:g} {} of {}", w, h, unitName, panelName), w * unit, h * unit, panel, 1.22});
}

}  // namespace

PortStock metricPortStock()
{
    PortStock stock;
    for (double bore : {38., 50., 63., 76., 100.})
        stock.tubes.push_back({fmt::format("{:g} mm port tube", bore), bore * mm, 2 * mm, 1.0, bore * mm});
    struct Pipe {
        double outer, wall;
    };
    for (const auto& [outer, thick] : {Pipe{32, 1.8}, {40, 1.8}, {50, 1.8}, {75, 1.9}, {90, 2.2}, {110, 2.7}}) {
        const double bore = outer - 2 * thick;
        stock.tubes.push_back({fmt::format("{:g} mm drain pipe", outer), bore * mm, thick * mm, 2.0, 0.75 * bore * mm});
    }
    for (double panel : {4., 6., 9., 12.})
        addSlots(stock, panel * mm, fmt::format("{:g} mm panel", panel), {80., 120., 160., 200.}, {12., 18., 25., 35.},
                 mm, "mm");
    for (double r : {6., 10., 12.7, 19.})
        stock.flares.push_back({fmt::format("{:g} mm round-over", r), r * mm, 0});
    return stock;
}

PortStock inchPortStock()
{
    PortStock stock;
    struct Pipe {
        const char* nominal;
        double bore, wall;  // in
    };
    for (const auto& [nominal, bore, wallThickness] : {Pipe{"1", 1.049, 0.133},
                                                       {"1-1/4", 1.380, 0.140},
                                                       {"1-1/2", 1.610, 0.145},
                                                       {"2", 2.067, 0.154},
                                                       {"2-1/2", 2.469, 0.203},
                                                       {"3", 3.068, 0.216},
                                                       {"4", 4.026, 0.237}})
        stock.tubes.push_back(
            {fmt::format("{} in pipe", nominal), bore * inch, wallThickness * inch, 3.0, 0.75 * bore * inch});
    for (const auto& [panel, label] : {std::pair{0.25, "1/4 in"}, {0.5, "1/2 in"}})
        addSlots(stock, panel * inch, fmt::format("{} panel", label), {3., 4.5, 6., 8.}, {0.5, 0.75, 1., 1.5}, inch,
                 "in");
    for (const auto& [r, label] : {std::pair{0.25, "1/4 in"}, {0.375, "3/8 in"}, {0.5, "1/2 in"}, {0.75, "3/4 in"}})
        stock.flares.push_back({fmt::format("{} round-over", label), r * inch, 0});
    return stock;
}

Result<PortStock> readPortStock(std::string_view csv)
{
    const auto rows = parseCsv(csv, columns, 2);
    if (!rows) return fail(rows.error());
    PortStock stock;
    for (const CsvRow& row : *rows)
        if (auto added = addRow(stock, row); !added) return fail(added.error());
    if (stock.tubes.empty() && stock.slotShapes.empty())
        return failInLine(rows->empty() ? 1 : rows->back().line,
                          "there is neither a tube nor a slot in it; a port is made of one of them");
    return stock;
}

std::string portStockCsv(const PortStock& stock)
{
    std::string text;
    for (std::size_t i = 0; i < columns.size(); ++i)
        text += (i ? "," : "") + std::string(columns[i]);
    text += "\n";
    for (const StockTube& t : stock.tubes)
        text += fmt::format("tube,{},{},{},,,{},{}\n", quoted(t.name), cell(t.bore, diameter), cell(t.wall, wall),
                            cell(t.longest, length), cell(t.bendRadius, radius));
    for (const StockSlot& s : stock.slotShapes)
        text += fmt::format("slot,{},,{},{},{},{},\n", quoted(s.name), cell(s.wall, wall), cell(s.width, width),
                            cell(s.height, height), cell(s.longest, length));
    for (const StockFlare& f : stock.flares)
        text += fmt::format("flare,{},{},,,,,{}\n", quoted(f.name), cell(f.forBore, diameter), cell(f.radius, radius));
    return text;
}

}  // namespace portwright
