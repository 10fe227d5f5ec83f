// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/why_output.h"

#include "app/console/plain_text.h"
#include "app/console/solved.h"
#include "core/document/json_text.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

// To a tenth, since the steps of an account are smaller than the levels it is about.
std::string decibels(double value, bool change)
{
    const double tenths = std::round(std::abs(value) * 10) / 10;
    const char* sign = value < 0 && tenths > 0 ? "\u2212" : change && tenths > 0 ? "+" : "";
    return fmt::format("{}{:.1f}\u00A0dB", sign, tenths);
}

std::string line(const std::string& figure, const std::string& name, const std::string& sentence)
{
    constexpr std::size_t figures = 10, names = 24;
    return wrapped("  " + rightPadded(figure, figures) + "  " + padded(name, names), sentence);
}

JsonValue entryJson(const LedgerEntry& entry)
{
    return {JsonObject{{"name", {entry.name}},
                       {"present", {entry.present}},
                       {"step_db", jsonNumber(entry.step)},
                       {"level_db", jsonNumber(entry.running)},
                       {"text", {entry.sentence}}}};
}

}  // namespace

Result<std::vector<HousingLedger>> ledgersOf(const Project& project, const std::vector<std::size_t>& indices,
                                             double frequency)
{
    std::vector<HousingLedger> housings;
    for (const std::size_t index : indices) {
        const auto model = modelOf(project, index);
        if (!model) return fail(inHousing(model.error(), index));
        auto ledger = ledgerOf(*model, frequency);
        if (!ledger) return fail(inHousing(ledger.error(), index));
        housings.push_back({project.housings[index].id, project.housings[index].name, std::move(*ledger)});
    }
    return housings;
}

std::string whyText(const std::vector<HousingLedger>& housings)
{
    std::string text = "Where the bass went, at " +
                       formatQuantity(housings.front().ledger.frequency, Dimension::frequency) +
                       " (another frequency with --at)\n";
    for (const HousingLedger& h : housings) {
        text += "\n" + oneLine(h.name.empty() ? h.id : h.name) + "\n";
        text += line(decibels(h.ledger.start, false), "The driver alone", oneLine(h.ledger.startSentence));
        for (const LedgerEntry& entry : h.ledger.entries)
            text += line(entry.present ? decibels(entry.step, true) : "\u2013", entry.name, oneLine(entry.sentence));
        text += line(decibels(h.ledger.end, false), "At the rider", "The sum of all these, as the charts show it.");
    }
    return text;
}

std::string whyJson(const std::vector<HousingLedger>& housings)
{
    JsonArray list;
    for (const HousingLedger& h : housings) {
        JsonArray parts;
        for (const LedgerEntry& entry : h.ledger.entries)
            parts.push_back(entryJson(entry));
        list.push_back({JsonObject{{"id", {h.id}},
                                   {"name", {h.name}},
                                   {"start_db", jsonNumber(h.ledger.start)},
                                   {"start_text", {h.ledger.startSentence}},
                                   {"parts", {std::move(parts)}},
                                   {"level_db", jsonNumber(h.ledger.end)}}});
    }
    return jsonText({JsonObject{{"frequency_hz", jsonNumber(housings.front().ledger.frequency)},
                                {"housings", {std::move(list)}}}}) +
           "\n";
}

}  // namespace portwright::console
