// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/net_volume.h"

#include "core/cavity/sections.h"
#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

struct Sum {
    double volume = 0, uncertainty = 0;
};

Sum sumOf(const std::vector<DeductionLine>& lines)
{
    Sum sum;
    for (const DeductionLine& line : lines) {
        sum.volume += line.volume;
        sum.uncertainty = std::hypot(sum.uncertainty, line.uncertainty);
    }
    return sum;
}

std::vector<VolumeReading> readingsOf(const Cavity& cavity, const CavityContext& context)
{
    std::vector<VolumeReading> readings;
    for (const Measurement& measurement : cavity.measurements) {
        auto reading = readingOf(measurement, context);
        readings.push_back(
            reading ? std::move(*reading)
                    : VolumeReading{.method = nameOf(measurement), .unused = true, .error = reading.error()});
    }
    return readings;
}

std::vector<VolumeEstimate> usedOf(const std::vector<VolumeReading>& readings, InPlace inPlace)
{
    std::vector<VolumeEstimate> used;
    for (const VolumeReading& r : readings)
        if (!r.unused && r.inPlace == inPlace) used.push_back({r.method, r.volume, r.uncertainty});
    return used;
}

void append(std::vector<std::string>& remarks, const std::vector<std::string>& more)
{
    remarks.insert(remarks.end(), more.begin(), more.end());
}

// Where the deductions leave nothing: at the port, if it is its own volume that does so.
Failure nothingLeft(const NetVolume& result, double off, const Cavity& cavity, const CavityContext& context)
{
    const auto volume = [&](double v) { return formatQuantity(v, Dimension::volume, context.units); };
    double ports = 0, largest = 0;
    for (std::size_t i = 0; i < result.deductions.size(); ++i)
        if (cavity.deductions[i].kind == DeductionKind::port && !cavity.deductions[i].volume)
            ports += result.deductions[i].volume;
    if (!(result.gross->volume > off - ports))
        return fail("deductions", fmt::format("the deductions take {} from a shell of {}; nothing is left", volume(off),
                                              volume(result.gross->volume)));
    std::size_t which = 0;
    int count = 0;
    const auto& openings = context.housing.openings;
    for (std::size_t i = 0; i < openings.size(); ++i) {
        const auto* port = std::get_if<PortOpening>(&openings[i].kind);
        if (!port || openings[i].cavity.value_or(CavityId::main) != context.cavity) continue;
        ++count;
        if (outlineVolume(*port) > largest) largest = outlineVolume(*port), which = i;
    }
    return fail(fmt::format("openings/{}", which),
                fmt::format("the port{} {} inside, of a shell that has {} left for it: nothing is left; use a smaller "
                            "or a shorter one",
                            count > 1 ? "s take" : " takes", volume(ports),
                            volume(result.gross->volume - off + ports)));
}

// What was measured, deductions taken off. Nothing if no reading is used.
Result<std::optional<CombinedVolume>> measuredNet(NetVolume& result, const Cavity& cavity, const CavityContext& context)
{
    const auto bare = usedOf(result.readings, InPlace::nothing);
    auto finished = usedOf(result.readings, InPlace::everything);
    if (!bare.empty()) {
        result.gross = combined(bare);
        append(result.remarks, result.gross->remarks);
        const Sum off = sumOf(result.deductions);
        if (!(result.gross->volume > off.volume)) return nothingLeft(result, off.volume, cavity, context);
        finished.insert(finished.begin(),
                        {off.volume > 0 ? "the bare shell less deductions" : bare.front().name,
                         result.gross->volume - off.volume, std::hypot(result.gross->uncertainty, off.uncertainty)});
    }
    if (finished.empty()) return std::optional<CombinedVolume>();
    CombinedVolume net = combined(finished);
    append(result.remarks, net.remarks);
    return std::optional(std::move(net));
}

// The error of a cavity without a number when nothing that was measured can be used.
Error nothingUsable(const Cavity& cavity, const std::vector<VolumeReading>& readings)
{
    for (std::size_t i = 0; i < readings.size(); ++i)
        if (readings[i].error && !cavity.measurements[i].unused)
            return {fmt::format("measurements/{}/{}", i, readings[i].error->field), readings[i].error->message};
    if (cavity.measurements.empty())
        return {"net_volume_l", fmt::format("net_volume_l is {:g}; a volume must be above 0", cavity.netVolume * 1e3)};
    return {"measurements", "every measurement is set aside and there is no net_volume_l; use one, or give the number"};
}

void remarkErrors(NetVolume& result)
{
    for (std::size_t i = 0; i < result.readings.size(); ++i)
        if (const VolumeReading& r = result.readings[i]; r.error)
            result.remarks.push_back(
                fmt::format("Measurement {} ({}) is left out: {}.", i + 1, r.method, r.error->message));
}

// A bare shell always holds a driver, and a port that reaches inside takes room.
void remarkForgotten(NetVolume& result, const Cavity& cavity, const CavityContext& context)
{
    if (!result.gross) return;
    const auto listed = [&](DeductionKind kind) {
        return std::any_of(cavity.deductions.begin(), cavity.deductions.end(),
                           [kind](const Deduction& d) { return d.kind == kind; });
    };
    if (context.cavity == CavityId::main && !listed(DeductionKind::driver)) {
        result.forgotten.push_back(DeductionKind::driver);
        result.remarks.push_back("The bare shell was measured, and no driver is among the deductions.");
    }
    const double taken = outlineInside(context);
    if (taken > 0 && !listed(DeductionKind::port)) {
        result.forgotten.push_back(DeductionKind::port);
        result.remarks.push_back(
            fmt::format("The bare shell was measured, and the {} that the ports take inside are not among the "
                        "deductions.",
                        formatQuantity(taken, Dimension::volume, context.units)));
    }
}

void remarkDifference(NetVolume& result, const CavityContext& context)
{
    const double apart = result.net->volume - result.value;
    const double allowed = 2 * std::hypot(result.net->uncertainty, result.uncertainty.value_or(0));
    result.remarks.push_back(fmt::format("The stated {} is taken; the measurements give {} \u00B1 {}{}.",
                                         formatQuantity(result.value, Dimension::volume, context.units),
                                         formatQuantity(result.net->volume, Dimension::volume, context.units),
                                         formatQuantity(result.net->uncertainty, Dimension::volume, context.units),
                                         std::abs(apart) > allowed ? ", too far away to be chance" : ""));
}

Result<void> resolve(Cavity& cavity, const CavityContext& context, const std::string& key)
{
    if (cavity.netVolume > 0) return {};
    const auto net = netVolumeOf(cavity, context);
    const bool ofPort = !net && net.error().field.starts_with("openings/");
    if (!net) return fail((ofPort ? "" : key + "/") + net.error().field, net.error().message);
    cavity.netVolume = net->value;
    cavity.netUncertainty = net->uncertainty;
    return {};
}

}  // namespace

Result<NetVolume> netVolumeOf(const Cavity& cavity, const CavityContext& context)
{
    NetVolume result;
    result.stated = cavity.netVolume > 0;
    result.readings = readingsOf(cavity, context);
    result.deductions = deductionLines(cavity, context, result.remarks);
    remarkErrors(result);
    auto measured = measuredNet(result, cavity, context);
    if (!measured && !result.stated) return fail(measured.error());
    if (!measured) result.remarks.push_back("The measurements are left out: " + measured.error().message + ".");
    if (measured) result.net = *measured;
    remarkForgotten(result, cavity, context);
    if (result.stated) {
        result.value = cavity.netVolume;
        result.uncertainty = cavity.netUncertainty;
        if (result.net) remarkDifference(result, context);
        return result;
    }
    if (!result.net) return fail(nothingUsable(cavity, result.readings));
    result.value = result.net->volume;
    result.uncertainty = result.net->uncertainty;
    return result;
}

std::optional<Profile> profileOf(const Cavity& cavity)
{
    for (const Measurement& measurement : cavity.measurements) {
        if (measurement.unused) continue;
        if (const auto* sections = std::get_if<SectionsMeasurement>(&measurement.method))
            if (auto worked = sectionsVolume(*sections)) return worked->profile;
        if (const auto* scan = std::get_if<ScanMeasurement>(&measurement.method))
            if (isUsable(scan->profile)) {
                Profile profile = scan->profile;
                profile.perimeter.resize(profile.at.size());  // none at all stands for none known
                return profile;
            }
    }
    return std::nullopt;
}

Result<Housing> resolvedHousing(const Housing& housing, const CompleteDriver& driver, const Air& air)
{
    Housing resolved = housing;
    CavityContext context{.housing = housing, .driver = driver, .air = air};
    if (auto done = resolve(resolved.cavity, context, "cavity"); !done) return fail(done.error());
    if (!resolved.secondCavity) return resolved;
    context.cavity = CavityId::second;
    if (auto done = resolve(resolved.secondCavity->cavity, context, "second_cavity"); !done) return fail(done.error());
    return resolved;
}

}  // namespace portwright
