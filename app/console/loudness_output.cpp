// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/loudness_output.h"

#include "app/console/plain_text.h"
#include "app/console/port_report.h"
#include "core/quantity/quantity.h"
#include "core/response/third_octaves.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

constexpr std::array drives{0.25, 0.5, 1.0, 2.0, 4.0};

std::string decibels(double x)
{
    const double shown = std::round(10 * x) / 10;
    return shown == 0 ? "0.0" : fmt::format("{:.1f}", shown);
}

std::string driveText(const PortAtDrives& port, int number)
{
    std::string text = fmt::format("\n  port {} where its air is fastest, at {}, by drive:\n\n", number,
                                   formatQuantity(port.frequency, Dimension::frequency));
    std::vector<Row> rows{{"  drive", "feed", "air, peak", "cone, peak", "level", "lost", "tuned to"}};
    constexpr std::array words{"half", "as fed", "double"};
    for (std::size_t i = 0; i < port.drive.size(); ++i) {
        const AtDrive& at = port.drive[i];
        rows.push_back({std::string("  ") + words[i], formatQuantity(at.voltage, Dimension::voltage),
                        formatQuantity(at.airSpeed, Dimension::airSpeed),
                        formatQuantity(at.coneTravel, Dimension::travel), decibels(at.level) + "\u00A0dB",
                        decibels(at.loss) + "\u00A0dB",
                        at.tuning ? formatQuantity(*at.tuning, Dimension::frequency) : "\u2013"});
    }
    text += tableText(rows) + "\n";
    if (port.K == 0)
        text +=
            wrapped("    ", "As the file has it (loss_q, or separation_k 0) its loss is the same at every level, so "
                            "nothing is given up here; without either it is reckoned.");
    for (const AirSpeedMeaning& m : meaningsOf(port.numbers))
        if (m.value > 0) text += wrapped("    ", fmt::format("{} {}: {} ({}).", m.name, figureOf(m), m.text, m.source));
    return text;
}

JsonValue listJson(const Eigen::ArrayXd& values)
{
    JsonArray list;
    for (double v : values)
        list.push_back(jsonNumber(v));
    return {std::move(list)};
}

JsonValue portJson(const PortAtDrives& port)
{
    JsonObject numbers;
    for (const AirSpeedMeaning& m : meaningsOf(port.numbers))
        numbers.emplace_back(m.name, jsonNumber(m.value));
    JsonArray at;
    for (const AtDrive& d : port.drive) {
        JsonObject o{{"voltage_v", jsonNumber(d.voltage)},
                     {"level_db", jsonNumber(d.level)},
                     {"lost_db", jsonNumber(d.loss)},
                     {"port_peak_m_s", jsonNumber(d.airSpeed)},
                     {"cone_peak_mm", jsonNumber(1e3 * d.coneTravel)}};
        if (d.tuning) o.emplace_back("fb_hz", jsonNumber(*d.tuning));
        at.push_back({std::move(o)});
    }
    return {JsonObject{{"opening", jsonWhole(port.opening + 1)},
                       {"frequency_hz", jsonNumber(port.frequency)},
                       {"separation_k", jsonNumber(port.K)},
                       {"numbers", {std::move(numbers)}},
                       {"drives", {std::move(at)}}}};
}

}  // namespace

Result<PortLoudness> portLoudnessOf(const Model& model)
{
    if (model.voltage <= 0) return fail("/feed/voltage_v", "the feed is 0 V: there is no drive to compare");
    auto ports = portsAtDrives(model);
    if (!ports) return fail(ports.error());
    std::array<double, drives.size()> voltages{};
    for (std::size_t i = 0; i < drives.size(); ++i)
        voltages[i] = drives[i] * model.voltage;
    const std::vector<double> bands = thirdOctaves(25, 315);
    auto compression = compressionOf(
        model, gridOf(Eigen::Map<const Eigen::ArrayXd>(bands.data(), Eigen::Index(bands.size()))), voltages);
    if (!compression) return fail(compression.error());
    std::vector<int> numbers;
    for (const PortAtDrives& port : *ports)
        numbers.push_back(numberOf(model.housing, port.opening));
    return PortLoudness{std::move(*ports), std::move(numbers), std::move(*compression)};
}

std::string loudnessText(const PortLoudness& loudness)
{
    if (loudness.ports.empty()) return "\n  no port here that gives up level as it plays louder\n";
    std::string text;
    for (std::size_t i = 0; i < loudness.ports.size(); ++i)
        text += driveText(loudness.ports[i], loudness.numbers[i]);
    text += "\n  Level lost where the air leaves the ports, dB, by feed; below 0 the whole gains by it:\n\n";
    const Compression& c = loudness.compression;
    std::vector<Row> rows{{"  at"}};
    for (double v : c.voltage)
        rows.front().push_back(formatQuantity(v, Dimension::voltage));
    for (Eigen::Index i = 0; i < c.frequency.size(); ++i) {
        rows.push_back({"  " + formatQuantity(c.frequency[i], Dimension::frequency)});
        for (const Eigen::ArrayXd& loss : c.loss)
            rows.back().push_back(decibels(loss[i]));
    }
    return text + tableText(rows);
}

JsonValue loudnessJson(const PortLoudness& loudness)
{
    JsonArray ports, losses;
    for (const PortAtDrives& port : loudness.ports)
        ports.push_back(portJson(port));
    const Compression& c = loudness.compression;
    for (const Eigen::ArrayXd& loss : c.loss)
        losses.push_back(listJson(loss));
    return {JsonObject{
        {"ports", {std::move(ports)}},
        {"frequency_hz", listJson(c.frequency)},
        {"voltage_v", listJson(Eigen::Map<const Eigen::ArrayXd>(c.voltage.data(), Eigen::Index(c.voltage.size())))},
        {"lost_db", {std::move(losses)}}}};
}

}  // namespace portwright::console
