// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/cavity_report.h"

#include "app/console/plain_text.h"
#include "core/document/json_text.h"
#include "core/quantity/ranged.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

// --- Text ---

std::string withUncertainty(double volume, const std::optional<double>& uncertainty)
{
    if (!uncertainty) return formatQuantity(volume, Dimension::volume);
    return fmt::format("{} ({:.1f}\u00A0%, one standard uncertainty)",
                       formatRanged(volume, *uncertainty, Dimension::volume), 100 * *uncertainty / volume);
}

// What leaving out a section changes: how far it lies off the straight run between two others, in parts of the widest,
// times their distance, in parts of the length.
double missedWithout(const Profile& profile, std::size_t i, std::size_t from, std::size_t to, double widest)
{
    const double span = profile.at[to] - profile.at[from], share = (profile.at[i] - profile.at[from]) / span;
    const double run = profile.area[from] + share * (profile.area[to] - profile.area[from]);
    return std::abs(profile.area[i] - run) / widest * span / (profile.at.back() - profile.at.front());
}

// The sections worth a line: both ends, then each time the one that would be missed most.
std::vector<std::size_t> shownSections(const Profile& profile)
{
    constexpr std::size_t mostLines = 12;
    constexpr double even = 0.002;  // less is not missed
    const double widest = *std::max_element(profile.area.begin(), profile.area.end());
    std::vector<std::size_t> shown{0, profile.at.size() - 1};
    while (shown.size() < mostLines) {
        double most = even;
        std::size_t found = 0;
        for (std::size_t k = 0; k + 1 < shown.size(); ++k)
            for (std::size_t i = shown[k] + 1; i < shown[k + 1]; ++i)
                if (const double missed = missedWithout(profile, i, shown[k], shown[k + 1], widest); missed > most) {
                    most = missed;
                    found = i;
                }
        if (found == 0) break;
        shown.insert(std::upper_bound(shown.begin(), shown.end(), found), found);
    }
    return shown;
}

std::string profileText(const Profile& profile)
{
    const std::vector<std::size_t> shown = shownSections(profile);
    std::string text = "  sections along its axis";
    if (shown.size() < profile.at.size())
        text += fmt::format(" ({} of {}, those left out where they change evenly)", shown.size(), profile.at.size());
    text += ":\n";
    for (const std::size_t i : shown)
        text += "    " + rightPadded(formatQuantity(profile.at[i], Dimension::length), 10) + "  " +
                rightPadded(formatQuantity(profile.area[i], Dimension::area), 12) + "\n";
    return text;
}

std::string notes(const std::vector<std::string>& lines, const std::string& indent)
{
    std::string text;
    for (const std::string& line : lines)
        text += wrapped(indent + "note: ", line);
    return text;
}

std::string unitName(double metres)
{
    for (const Unit& unit : knownUnits(Dimension::length))
        if (std::abs(toSi(unit, 1) / metres - 1) < 1e-9) return unit.name;
    return fmt::format("{:g}\u00A0m", metres);
}

std::string scanText(const Scan& scan)
{
    std::string text =
        fmt::format("  unit of the file: {}{}\n  longest inner dimension: {}\n", unitName(scan.unit),
                    scan.unitGuessed ? " (guessed)" : "", formatQuantity(scan.longest, Dimension::length));
    for (const ScanOpening& opening : scan.openings)
        text += fmt::format("  opening closed: {}, {} around, {}\n", formatQuantity(opening.area, Dimension::area),
                            formatQuantity(opening.perimeter, Dimension::length), opening.place);
    return text;
}

std::string netText(const NetVolume& net)
{
    std::string text;
    for (const VolumeReading& reading : net.readings) {
        text +=
            reading.error
                ? fmt::format("  {}: no volume: {}\n", reading.method, reading.error->message)
                : fmt::format("  {}: {}{}{}\n", reading.method, withUncertainty(reading.volume, reading.uncertainty),
                              reading.inPlace == InPlace::nothing ? ", bare shell" : ", with everything in place",
                              reading.unused ? ", not used" : "");
        text += notes(reading.remarks, "    ");
    }
    for (const DeductionLine& line : net.deductions)
        text +=
            fmt::format("  less {}: {} ({})\n", line.name, formatQuantity(line.volume, Dimension::volume), line.from);
    if (net.stated) text += "  the net volume is the number of the file\n";
    return text;
}

std::string rangedText(const Ranged& ranged)
{
    return formatRanged(ranged.value, ranged.uncertainty, Dimension::frequency);
}

std::string meaningText(const CavityMeaning& meaning)
{
    std::string text;
    const Uncertainty& u = meaning.uncertainty;
    if (u.tuning) text += "  tuning: " + rangedText(*u.tuning) + "\n";
    if (u.resonance) text += "  resonance: " + rangedText(*u.resonance) + "\n";
    if (u.f3) text += "  3 dB point: " + rangedText(*u.f3) + "\n";
    if (u.cut)
        text += fmt::format("  port to cut: {}\n",
                            formatRanged(u.cut->length.value, u.cut->length.uncertainty, Dimension::length));
    if (!meaning.leftOut.empty()) text += notes({meaning.leftOut}, "  ");
    text += wrapped("  reckoned with: ", meaning.choice.reason);
    text += wrapped("  next: ", measureNext(u));
    return text;
}

std::string reportText(const CavityReport& report)
{
    std::string text;
    if (report.source == CavitySource::project)
        text += fmt::format("{}, {} cavity\n", report.housingName, report.cavity);
    text += fmt::format("  {}: {}\n", report.source == CavitySource::project ? "net volume" : "volume",
                        withUncertainty(report.volume, report.uncertainty));
    if (report.scan) text += scanText(*report.scan);
    if (report.net) text += netText(*report.net);
    if (report.profile) text += profileText(*report.profile);
    if (report.meaning) text += meaningText(*report.meaning);
    return text + notes(report.warnings, "  ");
}

// --- JSON ---

JsonValue texts(const std::vector<std::string>& lines)
{
    JsonArray list;
    for (const std::string& line : lines)
        list.push_back({line});
    return {std::move(list)};
}

JsonValue scaled(const std::vector<double>& values, double factor)
{
    JsonArray list;
    for (double value : values)
        list.push_back(jsonNumber(value * factor));
    return {std::move(list)};
}

JsonValue profileJson(const Profile& profile)
{
    return {JsonObject{{"at_mm", scaled(profile.at, 1e3)}, {"area_cm2", scaled(profile.area, 1e4)}}};
}

JsonValue openingJson(const ScanOpening& opening)
{
    return {JsonObject{{"area_cm2", jsonNumber(opening.area * 1e4)},
                       {"perimeter_mm", jsonNumber(opening.perimeter * 1e3)},
                       {"centre_mm", scaled({opening.centre.begin(), opening.centre.end()}, 1e3)},
                       {"place", {opening.place}}}};
}

void addScan(JsonObject& object, const Scan& scan)
{
    object.emplace_back("unit_m", jsonNumber(scan.unit));
    object.emplace_back("unit_guessed", JsonValue{scan.unitGuessed});
    object.emplace_back("longest_mm", jsonNumber(scan.longest * 1e3));
    JsonArray openings;
    for (const ScanOpening& opening : scan.openings)
        openings.push_back(openingJson(opening));
    object.emplace_back("openings", JsonValue{std::move(openings)});
}

JsonValue readingJson(const VolumeReading& reading)
{
    JsonObject object{{"method", {reading.method}}, {"used", {!reading.unused}}};
    if (reading.error) {
        object.emplace_back("error", JsonValue{reading.error->message});
    } else {
        object.emplace_back("volume_l", jsonNumber(reading.volume * 1e3));
        object.emplace_back("uncertainty_l", jsonNumber(reading.uncertainty * 1e3));
        object.emplace_back("in_place",
                            JsonValue{std::string(reading.inPlace == InPlace::nothing ? "nothing" : "everything")});
    }
    object.emplace_back("remarks", texts(reading.remarks));
    return {std::move(object)};
}

void addNet(JsonObject& object, const NetVolume& net)
{
    object.emplace_back("stated", JsonValue{net.stated});
    JsonArray readings, deductions;
    for (const VolumeReading& reading : net.readings)
        readings.push_back(readingJson(reading));
    for (const DeductionLine& line : net.deductions)
        deductions.push_back({JsonObject{{"name", {line.name}},
                                         {"volume_l", jsonNumber(line.volume * 1e3)},
                                         {"uncertainty_l", jsonNumber(line.uncertainty * 1e3)},
                                         {"from", {line.from}}}});
    object.emplace_back("readings", JsonValue{std::move(readings)});
    object.emplace_back("deductions", JsonValue{std::move(deductions)});
}

void addRanged(JsonObject& object, const std::string& name, const std::optional<Ranged>& ranged)
{
    if (!ranged) return;
    object.emplace_back(name, jsonNumber(ranged->value));
    object.emplace_back(name + "_uncertainty", jsonNumber(ranged->uncertainty));
}

void addMeaning(JsonObject& object, const CavityMeaning& meaning)
{
    const Uncertainty& u = meaning.uncertainty;
    addRanged(object, "fb_hz", u.tuning);
    addRanged(object, "fc_hz", u.resonance);
    addRanged(object, "f3_hz", u.f3);
    if (u.cut) {
        object.emplace_back("port_length_mm", jsonNumber(u.cut->length.value * 1e3));
        object.emplace_back("port_length_mm_uncertainty", jsonNumber(u.cut->length.uncertainty * 1e3));
    }
    if (!meaning.leftOut.empty()) object.emplace_back("left_out_of_ranges", JsonValue{meaning.leftOut});
    const bool segmented = meaning.choice.used == CavityModel::segmented;
    object.emplace_back("model", JsonValue{std::string(segmented ? "segmented" : "lumped")});
    object.emplace_back("model_reason", JsonValue{meaning.choice.reason});
    if (meaning.choice.lumpedOutFrom)
        object.emplace_back("lumped_out_from_hz", jsonNumber(*meaning.choice.lumpedOutFrom));
    object.emplace_back("measure_next", JsonValue{measureNext(u)});
}

JsonValue reportJson(const std::string& file, const CavityReport& report)
{
    JsonObject object{{"file", {file}}, {"kind", {nameOf(report.source)}}};
    if (report.source == CavitySource::project) {
        object.emplace_back("housing", JsonValue{report.housing});
        object.emplace_back("name", JsonValue{report.housingName});
        object.emplace_back("cavity", JsonValue{report.cavity});
    }
    object.emplace_back("volume_l", jsonNumber(report.volume * 1e3));
    if (report.uncertainty) object.emplace_back("uncertainty_l", jsonNumber(*report.uncertainty * 1e3));
    if (report.source != CavitySource::project) object.emplace_back("in_place", JsonValue{std::string("nothing")});
    if (report.scan) addScan(object, *report.scan);
    if (report.net) addNet(object, *report.net);
    if (report.profile) object.emplace_back("profile", profileJson(*report.profile));
    if (report.meaning) addMeaning(object, *report.meaning);
    object.emplace_back("warnings", texts(report.warnings));
    return {std::move(object)};
}

}  // namespace

std::string cavityText(const std::vector<CavityFile>& files)
{
    std::string text;
    for (const CavityFile& file : files) {
        text += (text.empty() ? "" : "\n") + file.file + "\n";
        for (const CavityReport& report : file.cavities)
            text += reportText(report);
    }
    if (const auto together = togetherOf(files)) {
        text += "\ntogether\n  volume: " + withUncertainty(together->volume, together->uncertainty) + "\n";
        text += notes(together->remarks, "  ");
    }
    const bool anyBare = std::any_of(files.begin(), files.end(), [](const CavityFile& file) {
        return file.cavities.front().source != CavitySource::project;
    });
    if (anyBare)
        text +=
            "\nScans, sections and fills give the bare shell. Driver, ports, bracing and what else goes in still come "
            "off it; a project\ntakes them off (deductions of its cavity).\n";
    return text;
}

std::string cavityJson(const std::vector<CavityFile>& files)
{
    JsonArray cavities;
    for (const CavityFile& file : files)
        for (const CavityReport& report : file.cavities)
            cavities.push_back(reportJson(file.file, report));
    JsonObject all{{"cavities", {std::move(cavities)}}};
    if (const auto together = togetherOf(files))
        all.emplace_back("together", JsonValue{JsonObject{{"volume_l", jsonNumber(together->volume * 1e3)},
                                                          {"uncertainty_l", jsonNumber(together->uncertainty * 1e3)},
                                                          {"disagreement", jsonNumber(together->disagreement)},
                                                          {"warnings", texts(together->remarks)}}});
    return jsonText({std::move(all)}) + "\n";
}

}  // namespace portwright::console
