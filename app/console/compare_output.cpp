// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/compare_output.h"

#include "app/console/plain_text.h"
#include "app/console/solve_output.h"
#include "core/document/json_text.h"
#include "core/quantity/quantity.h"
#include "core/quantity/ranged.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

std::string shown(const std::optional<double>& value, Dimension dimension)
{
    return value ? formatQuantity(*value, dimension) : "\u2013";
}

std::string bare(const std::optional<double>& value) { return value ? csvNumber(*value) : ""; }

template <class Cell> Row rowOf(std::string name, const Comparison& comparison, Cell cell)
{
    Row row{std::move(name)};
    for (const ComparedHousing& h : comparison.housings)
        row.push_back(cell(h));
    return row;
}

// "88.4 ± 0.8 Hz", where the uncertainty is known.
std::string shownRanged(const ComparedHousing& h, const std::optional<double>& value,
                        std::optional<Ranged> Uncertainty::* range)
{
    if (!value || !h.uncertainty || !(*h.uncertainty.*range)) return shown(value, Dimension::frequency);
    return formatRanged(*value, (*h.uncertainty.*range)->uncertainty, Dimension::frequency);
}

std::optional<double> leastLoad(const Summary& summary)
{
    return summary.impedanceMinimum ? std::optional(summary.impedanceMinimum->impedance) : std::nullopt;
}

// --- Text ---

std::vector<Row> keyRows(const Comparison& c)
{
    std::vector<Row> rows;
    rows.push_back(rowOf("", c, [](const auto& h) { return oneLine(h.name.empty() ? h.id : h.name); }));
    rows.push_back(rowOf("Id", c, [](const auto& h) { return oneLine(h.id); }));
    rows.push_back(rowOf("Kind", c, [](const auto& h) { return nameOf(h.summary.kind); }));
    rows.push_back(
        rowOf("Resonance fc", c, [](const auto& h) { return shownRanged(h, h.summary.fc, &Uncertainty::resonance); }));
    rows.push_back(rowOf("Qtc", c, [](const auto& h) { return shown(h.summary.Qtc, Dimension::quality); }));
    rows.push_back(
        rowOf("Tuning fb", c, [](const auto& h) { return shownRanged(h, h.summary.fb, &Uncertainty::tuning); }));
    rows.push_back(
        rowOf("3 dB point", c, [](const auto& h) { return shownRanged(h, h.summary.f3, &Uncertainty::f3); }));
    rows.push_back(rowOf("10 dB point", c, [](const auto& h) { return shown(h.summary.f10, Dimension::frequency); }));
    rows.push_back(rowOf("Least load", c, [](const auto& h) {
        const auto& least = h.summary.impedanceMinimum;
        return shown(leastLoad(h.summary), Dimension::resistance) +
               (least ? " at " + formatQuantity(least->frequency, Dimension::frequency) : "");
    }));
    return rows;
}

// Headed by the names that are no wider than what stands below them, else by the ids.
std::vector<Row> pointRows(const Comparison& c)
{
    std::vector<Row> rows{Row{"Frequency"}};
    for (std::size_t i = 0; i < c.housings.front().at.size(); ++i)
        rows.push_back(rowOf(fmt::format("{}\u00A0Hz", c.housings.front().at[i].frequency), c, [i](const auto& h) {
            const ComparedPoint& point = h.at[i];
            const bool limited = point.limit != LimitKind::none && std::isfinite(point.loudest);
            return formatQuantity(point.level, Dimension::level) + ", " +
                   (limited ? "at most " + formatQuantity(point.loudest, Dimension::level) + " (" +
                                  nameOf(point.limit) + ")"
                            : "no limit known");
        }));
    for (std::size_t i = 0; i < c.housings.size(); ++i) {
        const ComparedHousing& h = c.housings[i];
        std::size_t width = 0;
        for (std::size_t row = 1; row < rows.size(); ++row)
            width = std::max(width, widthOf(rows[row][i + 1]));
        const std::string name = oneLine(h.name);
        rows[0].push_back(name.empty() || widthOf(name) > width ? oneLine(h.id) : name);
    }
    return rows;
}

// Of the housings with a known uncertainty; empty if there is none.
std::string measureNextText(const Comparison& c)
{
    std::string text;
    for (const ComparedHousing& h : c.housings) {
        const std::string next = h.uncertainty ? measureNext(*h.uncertainty) : std::string();
        if (next.empty()) continue;
        text += wrapped("  " + oneLine(h.name.empty() ? h.id : h.name) + ": ",
                        next + (h.leftOut.empty() ? "" : " " + h.leftOut));
    }
    return text.empty() ? text : "\nWhat to measure next (ranges are one standard uncertainty)\n" + text;
}

// --- JSON ---

JsonValue verdictJson(const Verdict& v)
{
    JsonObject object{{"state", {nameOf(v.state)}}, {"subject", {v.subject}}, {"text", {v.text}}};
    if (v.value) object.emplace_back("value", jsonNumber(*v.value));
    if (v.limit) object.emplace_back("limit", jsonNumber(*v.limit));
    if (v.frequency) object.emplace_back("frequency_hz", jsonNumber(*v.frequency));
    object.emplace_back("rule", JsonValue{v.rule});
    return {std::move(object)};
}

JsonValue pointJson(const ComparedPoint& point)
{
    JsonObject object{{"frequency_hz", jsonNumber(point.frequency)}, {"level_db", jsonNumber(point.level)}};
    if (std::isfinite(point.loudest)) object.emplace_back("loudest_db", jsonNumber(point.loudest));
    object.emplace_back("limit", JsonValue{nameOf(point.limit)});
    return {std::move(object)};
}

// The system as `solve` has it, and how well its frequencies are known.
JsonValue rangedSystemJson(const ComparedHousing& h)
{
    JsonValue system = systemJson(h.summary);
    if (!h.uncertainty) return system;
    JsonObject& object = std::get<JsonObject>(system.value);
    const auto add = [&object](const char* key, const std::optional<Ranged>& range) {
        if (range && range->uncertainty > 0 && std::isfinite(range->uncertainty))
            object.emplace_back(key, jsonNumber(range->uncertainty));
    };
    add("fc_uncertainty_hz", h.uncertainty->resonance);
    add("fb_uncertainty_hz", h.uncertainty->tuning);
    add("f3_uncertainty_hz", h.uncertainty->f3);
    const std::string next = measureNext(*h.uncertainty);
    if (!next.empty()) object.emplace_back("measure_next", JsonValue{next});
    if (!h.leftOut.empty()) object.emplace_back("left_out_of_ranges", JsonValue{h.leftOut});
    return system;
}

JsonValue housingJson(const ComparedHousing& h)
{
    JsonArray at, verdicts;
    for (const ComparedPoint& point : h.at)
        at.push_back(pointJson(point));
    for (const Verdict& verdict : h.verdicts)
        verdicts.push_back(verdictJson(verdict));
    return {JsonObject{{"id", {h.id}},
                       {"name", {h.name}},
                       {"system", rangedSystemJson(h)},
                       {"at", {std::move(at)}},
                       {"verdicts", {std::move(verdicts)}}}};
}

}  // namespace

std::string compareText(const Comparison& c)
{
    std::string text = c.title.empty() ? "" : oneLine(c.title) + "\n\n";
    text += tableText(keyRows(c));
    text += "\nLevel at the rider at this feed, and the loudest clean level with what limits it\n" +
            tableText(pointRows(c));
    text += "\nVerdicts, judged from 20 Hz to 2 kHz at this feed\n";
    for (const ComparedHousing& h : c.housings) {
        text += "\n" + oneLine(h.name.empty() ? h.id : h.name) + "\n";
        for (const Verdict& v : h.verdicts)
            text += wrapped("  " + padded(capital(nameOf(v.state)) + ": ", 9), oneLine(v.text) + ". [" + v.rule + "]");
    }
    text += measureNextText(c);
    text += "\nCautions\n";
    for (const std::string& caution : c.cautions)
        text += wrapped("  - ", caution);
    return text;
}

std::string compareJson(const Comparison& c)
{
    JsonArray housings, cautions;
    for (const ComparedHousing& h : c.housings)
        housings.push_back(housingJson(h));
    for (const std::string& caution : c.cautions)
        cautions.push_back({caution});
    return jsonText({JsonObject{{"housings", {std::move(housings)}}, {"cautions", {std::move(cautions)}}}}) + "\n";
}

std::string compareCsv(const Comparison& c)
{
    std::vector<Row> rows;
    rows.push_back(rowOf("Quantity", c, [](const auto& h) { return h.id; }));
    rows.push_back(rowOf("Name", c, [](const auto& h) { return h.name; }));
    rows.push_back(rowOf("Kind", c, [](const auto& h) { return nameOf(h.summary.kind); }));
    rows.push_back(rowOf("fc (Hz)", c, [](const auto& h) { return bare(h.summary.fc); }));
    rows.push_back(rowOf("Qtc", c, [](const auto& h) { return bare(h.summary.Qtc); }));
    rows.push_back(rowOf("fb (Hz)", c, [](const auto& h) { return bare(h.summary.fb); }));
    rows.push_back(rowOf("f3 (Hz)", c, [](const auto& h) { return bare(h.summary.f3); }));
    rows.push_back(rowOf("f10 (Hz)", c, [](const auto& h) { return bare(h.summary.f10); }));
    rows.push_back(rowOf("Reference level (dB)", c, [](const auto& h) { return bare(h.summary.referenceLevel); }));
    rows.push_back(rowOf("Least load (ohm)", c, [](const auto& h) { return bare(leastLoad(h.summary)); }));
    for (std::size_t i = 0; i < c.housings.front().at.size(); ++i) {
        const std::string at = fmt::format(" at {} Hz", c.housings.front().at[i].frequency);
        rows.push_back(rowOf("Level" + at + " (dB)", c, [i](const auto& h) { return csvNumber(h.at[i].level); }));
        rows.push_back(
            rowOf("Loudest clean level" + at + " (dB)", c, [i](const auto& h) { return csvNumber(h.at[i].loudest); }));
        rows.push_back(rowOf("Limit" + at, c, [i](const auto& h) { return nameOf(h.at[i].limit); }));
    }
    std::size_t most = 0;
    for (const ComparedHousing& h : c.housings)
        most = std::max(most, h.verdicts.size());
    for (std::size_t i = 0; i < most; ++i)
        rows.push_back(rowOf(fmt::format("Verdict {}", i + 1), c, [i](const auto& h) {
            return i < h.verdicts.size() ? nameOf(h.verdicts[i].state) + ": " + h.verdicts[i].text : std::string();
        }));
    std::string text;
    for (const Row& row : rows) {
        for (std::size_t i = 0; i < row.size(); ++i)
            text += (i ? "," : "") + csvCell(row[i]);
        text += "\n";
    }
    for (const std::string& caution : c.cautions)
        text += "Caution," + csvCell(caution) + "\n";
    return text;
}

}  // namespace portwright::console
