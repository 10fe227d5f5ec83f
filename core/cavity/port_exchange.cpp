// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/port_exchange.h"

#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

bool isPortDeduction(const Deduction& d) { return d.kind == DeductionKind::port; }

const PortOpening* portAt(const Housing& housing, int opening)
{
    if (opening < 0 || std::size_t(opening) >= housing.openings.size()) return nullptr;
    return std::get_if<PortOpening>(&housing.openings[std::size_t(opening)].kind);
}

/// One deduction that follows the ports; the words of one that was there stay.
void followPorts(std::vector<Deduction>& deductions)
{
    const auto follows = [](const Deduction& d) { return isPortDeduction(d) && !d.volume; };
    if (std::any_of(deductions.begin(), deductions.end(), follows)) return;
    const auto first = std::find_if(deductions.begin(), deductions.end(), isPortDeduction);
    if (first == deductions.end()) {
        Deduction port;
        port.kind = DeductionKind::port;
        deductions.push_back(port);
        return;
    }
    first->volume.reset(), first->uncertainty.reset();
    deductions.erase(std::remove_if(first + 1, deductions.end(), isPortDeduction), deductions.end());
}

bool hasPort(const Housing& housing, CavityId cavity)
{
    return std::any_of(housing.openings.begin(), housing.openings.end(), [cavity](const Opening& o) {
        return std::holds_alternative<PortOpening>(o.kind) && o.cavity.value_or(CavityId::main) == cavity;
    });
}

Housing withOpening(Housing housing, int opening, const PortOpening* old, const std::optional<PortOpening>& port)
{
    if (port && old)
        housing.openings[std::size_t(opening)].kind = *port;
    else if (port)
        housing.openings.push_back({*port, {}, {}});
    else if (old)
        housing.openings.erase(housing.openings.begin() + opening);
    return housing;
}

bool sawEverything(const NetVolume& net)
{
    return std::any_of(net.readings.begin(), net.readings.end(),
                       [](const VolumeReading& r) { return !r.unused && r.inPlace == InPlace::everything; });
}

/// How far the net volume, with the deduction following the ports, is from the present one put on by the outlines:
/// what was taken off for the old port, or was forgotten, was not its outline.
std::string differenceNote(double followed, double expected, UnitSystem units)
{
    return fmt::format("What came off for the old port was not its outline: the new housing holds {}, where the "
                       "present figure would leave {}.",
                       formatQuantity(followed, Dimension::volume, units),
                       formatQuantity(expected, Dimension::volume, units));
}

std::string statedNote(double given, double taken, double now, UnitSystem units)
{
    const auto litres = [units](double v) { return formatQuantity(v, Dimension::volume, units); };
    std::string parts;
    if (given > 0) parts += fmt::format("{} of the old port come back", litres(given));
    if (given > 0 && taken > 0) parts += ", ";
    if (taken > 0) parts += fmt::format("{} of the new one come off", litres(taken));
    return fmt::format("Its net volume is stated, {}: {}. Measure again once it is built.", litres(now), parts);
}

}  // namespace

Result<PortExchange> exchangedPort(const Housing& housing, int opening, const std::optional<PortOpening>& port,
                                   const CompleteDriver& driver, const Air& air, UnitSystem units)
{
    const PortOpening* old = portAt(housing, opening);
    const bool second = old && housing.openings[std::size_t(opening)].cavity == CavityId::second;
    if (second && !housing.secondCavity) return fail("second_cavity", "the port's cavity is not there");
    const CavityId id = second ? CavityId::second : CavityId::main;
    const std::string key = second ? "second_cavity/" : "cavity/";

    const auto netOf = [&](const Housing& one) {
        const Cavity& cavity = second ? one.secondCavity->cavity : one.cavity;
        return netVolumeOf(cavity, {.housing = one, .driver = driver, .air = air, .cavity = id, .units = units});
    };
    const auto before = netOf(housing);
    if (!before) return fail(key + before.error().field, before.error().message);
    const double given = old ? outlineVolume(*old) : 0, taken = port ? outlineVolume(*port) : 0;
    const double now = before->value + given - taken;
    if (!(now > 0))
        return fail(key + "net_volume_l", fmt::format("the port takes {} of the {} there are; no air is left",
                                                      formatQuantity(taken, Dimension::volume, units),
                                                      formatQuantity(before->value + given, Dimension::volume, units)));

    PortExchange result{withOpening(housing, opening, old, port), {}};
    Cavity& cavity = second ? result.housing.secondCavity->cavity : result.housing.cavity;
    if (!hasPort(result.housing, id))
        std::erase_if(cavity.deductions, isPortDeduction);
    else if (!cavity.measurements.empty())
        followPorts(cavity.deductions);
    if (before->stated || sawEverything(*before)) {
        cavity.netVolume = now;
        if (before->uncertainty) cavity.netUncertainty = std::hypot(*before->uncertainty, 0.1 * (given - taken));
        if (given > 0 || taken > 0) result.notes.push_back(statedNote(given, taken, now, units));
        return result;
    }
    const auto after = netOf(result.housing);
    if (!after) return fail(key + after.error().field, after.error().message);
    if (std::abs(after->value - now) > 1e-3 * now) result.notes.push_back(differenceNote(after->value, now, units));
    return result;
}

}  // namespace portwright
