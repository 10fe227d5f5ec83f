// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/solve_output.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

/// One curve as printed: key of the JSON, words of the CSV's head, factor from SI.
struct Column {
    std::string key, head;
    const Eigen::ArrayXd* values;
    double factor;
};

JsonValue listOf(const Eigen::ArrayXd& values, double factor)
{
    JsonArray list;
    list.reserve(static_cast<std::size_t>(values.size()));
    for (double value : values)
        list.push_back(jsonNumber(value * factor));
    return {std::move(list)};
}

std::vector<Column> columnsOf(const Curves& c)
{
    return {{"level_db", "level (dB)", &c.level, 1},
            {"phase_deg", "phase (deg)", &c.phase, 1},
            {"group_delay_ms", "group delay (ms)", &c.groupDelay, 1e3},
            {"impedance_ohm", "impedance (ohm)", &c.impedance, 1},
            {"impedance_phase_deg", "impedance phase (deg)", &c.impedancePhase, 1},
            {"cone_peak_mm", "cone (mm peak)", &c.coneTravel, 1e3}};
}

JsonValue curvesJson(const Curves& c)
{
    JsonObject curves;
    for (const Column& column : columnsOf(c))
        curves.emplace_back(column.key, listOf(*column.values, column.factor));
    const auto lists = [](const std::vector<Eigen::ArrayXd>& rows, double factor) {
        JsonArray all;
        for (const Eigen::ArrayXd& row : rows)
            all.push_back(listOf(row, factor));
        return JsonValue{std::move(all)};
    };
    if (!c.portAir.empty()) curves.emplace_back("port_peak_m_s", lists(c.portAir, 1));
    if (!c.passiveTravel.empty()) curves.emplace_back("passive_peak_mm", lists(c.passiveTravel, 1e3));
    curves.emplace_back("power_w", listOf(c.power, 1));
    return {std::move(curves)};
}

std::vector<Column> csvColumnsOf(const Curves& c)
{
    std::vector<Column> columns = columnsOf(c);
    const auto numbered = [&columns](const char* name, const char* unit, const std::vector<Eigen::ArrayXd>& rows,
                                     double factor) {
        for (std::size_t i = 0; i < rows.size(); ++i)
            columns.push_back(
                {"",
                 rows.size() == 1 ? fmt::format("{} ({})", name, unit) : fmt::format("{} {} ({})", name, i + 1, unit),
                 &rows[i], factor});
    };
    numbered("port", "m/s peak", c.portAir, 1);
    numbered("passive", "mm peak", c.passiveTravel, 1e3);
    columns.push_back({"", "power (W)", &c.power, 1});
    return columns;
}

}  // namespace

JsonValue systemJson(const Summary& summary)
{
    JsonObject system{{"kind", {nameOf(summary.kind)}}};
    const auto add = [&system](const char* key, const std::optional<double>& value) {
        if (value) system.emplace_back(key, jsonNumber(*value));
    };
    add("fc_hz", summary.fc);
    add("qtc", summary.Qtc);
    add("fb_hz", summary.fb);
    add("f3_hz", summary.f3);
    add("f10_hz", summary.f10);
    if (std::isfinite(summary.referenceLevel)) add("reference_db", summary.referenceLevel);
    return {std::move(system)};
}

std::string solveJson(const std::vector<SolvedHousing>& housings, const Grid& grid)
{
    const Air& air = housings.front().model.air;
    JsonArray list;
    for (const SolvedHousing& h : housings)
        list.push_back({JsonObject{
            {"id", {h.id}}, {"name", {h.name}}, {"system", systemJson(h.summary)}, {"curves", curvesJson(h.curves)}}});
    const JsonValue root{JsonObject{{"air",
                                     {JsonObject{{"density_kg_m3", jsonNumber(air.rho)},
                                                 {"sound_speed_m_s", jsonNumber(air.c)},
                                                 {"pressure_pa", jsonNumber(air.pressure)}}}},
                                    {"frequency_hz", listOf(grid.frequency, 1)},
                                    {"housings", {std::move(list)}}}};
    return compactJsonText(root) + "\n";
}

std::string solveCsv(const std::vector<SolvedHousing>& housings, const Grid& grid)
{
    std::string text = "Frequency (Hz)";
    std::vector<Column> columns;
    for (const SolvedHousing& h : housings)
        for (Column& column : csvColumnsOf(h.curves)) {
            text += "," + csvCell(h.id + " " + column.head);
            columns.push_back(std::move(column));
        }
    text += "\n";
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        text += csvNumber(grid.frequency[i]);
        for (const Column& column : columns)
            text += "," + csvNumber((*column.values)[i] * column.factor);
        text += "\n";
    }
    return text;
}

std::string csvCell(const std::string& text)
{
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string quoted = "\"";
    for (char c : text)
        quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + '"';
}

std::string csvNumber(double value)
{
    return std::isfinite(value) ? std::get<JsonNumber>(jsonNumber(value).value).text : std::string();
}

}  // namespace portwright::console
