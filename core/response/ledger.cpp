// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/ledger.h"

#include "core/quantity/quantity.h"
#include "core/response/compression.h"
#include "core/response/summary.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }

double levelOf(std::complex<double> p) { return 20 * std::log10(std::abs(p) / referencePressure); }

const char* nameOf(Cause cause, SystemKind kind)
{
    switch (cause) {
    case Cause::airSpring:
        return "Air spring";
    case Cause::leakAndLining:
        return "Leak and lining";
    case Cause::opening:
        return kind == SystemKind::passive ? "Passive radiator" : "Port";
    case Cause::secondCavity:
        return "Second cavity";
    case Cause::inductance:
        return "Coil inductance";
    case Cause::sourceAndSeries:
        return "Cable and series parts";
    case Cause::highPass:
        return "High-pass";
    case Cause::space:
        return "Space";
    case Cause::distance:
        return "Distance";
    }
    return "";
}

bool hasInductance(const Inductance& inductance)
{
    if (const auto* plain = std::get_if<PlainInductance>(&inductance)) return plain->Le > 0;
    return true;
}

bool isPresent(Cause cause, const Model& m)
{
    switch (cause) {
    case Cause::leakAndLining:
        if (m.housing.cavity.absorptionQ) return true;
        [[fallthrough]];
    case Cause::opening:
        for (const HousingElement& e : m.elements)
            if (e.cause == cause) return true;
        return false;
    case Cause::secondCavity:
        return m.housing.secondCavity.has_value();
    case Cause::inductance:
        return hasInductance(m.driver.driver.inductance);
    case Cause::sourceAndSeries:
        return m.sourceResistance > 0 || !m.seriesParts.empty();
    case Cause::highPass:
        return m.highPass.has_value();
    default:
        return true;
    }
}

std::string absentSentence(Cause cause)
{
    switch (cause) {
    case Cause::leakAndLining:
        return "No leak and no lining here.";
    case Cause::opening:
        return "No port here.";
    case Cause::secondCavity:
        return "One cavity only.";
    case Cause::inductance:
        return "No inductance given.";
    case Cause::sourceAndSeries:
        return "Nothing between the amplifier and the driver.";
    case Cause::highPass:
        return "No high-pass in the chain.";
    default:
        return "";
    }
}

std::string airSpringSentence(const Model& m, UnitSystem units)
{
    const double ratio = m.driverCount * Cas(m.driver.driver) / m.Cab;
    return fmt::format("{} of air is {:.3g} times as stiff as the {}: resonance rises from {} to {}.",
                       formatQuantity(m.housing.cavity.netVolume, Dimension::volume, units), ratio,
                       m.driverCount > 1 ? "suspensions together" : "suspension", hertz(m.driver.fs),
                       hertz(m.driver.fs * std::sqrt(1 + ratio)));
}

// A gap is too small for tenths of a millimetre.
std::string gapText(double metres, UnitSystem units)
{
    return units == UnitSystem::metric ? fmt::format("{:.2g}\u00A0mm", metres * 1e3)
                                       : formatQuantity(metres, Dimension::length, units);
}

std::string leakSentence(const Model& m, double step, UnitSystem units)
{
    std::string leaks;
    for (const Opening& o : m.housing.openings) {
        const bool leak =
            !std::holds_alternative<PortOpening>(o.kind) && !std::holds_alternative<PassiveRadiator>(o.kind);
        if (!leak || o.cavity == CavityId::second) continue;
        if (!leaks.empty()) leaks += " and ";
        if (const auto* q = std::get_if<LeakByQ>(&o.kind)) leaks += fmt::format("a leak of Q\u00A0{:g}", q->q);
        if (const auto* hole = std::get_if<LeakHole>(&o.kind))
            leaks += "a hole of " + formatQuantity(hole->diameter, Dimension::length, units);
        if (const auto* slit = std::get_if<LeakSlit>(&o.kind))
            leaks += fmt::format("a gap of {} over {}", gapText(slit->height, units),
                                 formatQuantity(slit->width, Dimension::length, units));
    }
    if (m.housing.cavity.absorptionQ)
        leaks += fmt::format("{}a lining of Q\u00A0{:g}", leaks.empty() ? "" : " and ", *m.housing.cavity.absorptionQ);
    const char* effect = std::abs(step) < 0.5 ? "little is at stake here"
                         : step < 0           ? "sound is lost through it here"
                                              : "the softer air helps here, at the cost of control";
    return fmt::format("Through {}: {}.", leaks, effect);
}

// What separation at the ports' ends takes from the whole at this feed, if it can be told.
std::string lostAtEnds(const Model& m, double f)
{
    constexpr double worthTelling = 0.05;  // dB
    const auto lost = compressionOf(m, logGrid(f, f, 1), std::array{m.voltage});
    if (!lost || !(std::abs(lost->loss[0][0]) >= worthTelling)) return "";
    const double loss = lost->loss[0][0];
    return fmt::format(" Its ends {} {:.1f}\u00A0dB at this feed.", loss > 0 ? "take" : "give", std::abs(loss));
}

std::string openingSentence(const Model& m, double step, double f)
{
    const std::string tuned = m.kind == SystemKind::passive ? "The passive radiator, tuned to " : "The port, tuned to ";
    const char* effect = step > 0.05    ? ", adds its own sound here"
                         : step < -0.05 ? ", works against the cone here"
                                        : ", neither adds nor takes here";
    const auto tuning = tuningOf(m);
    return (tuning ? tuned + hertz(*tuning) : std::string("The port, which friction leaves no tuning")) + effect + "." +
           lostAtEnds(m, f);
}

std::string seriesSentence(const Model& m, double step)
{
    std::string what;
    if (m.sourceResistance > 0) what = fmt::format("{:.2g}\u00A0\u03A9 of amplifier and cable", m.sourceResistance);
    for (const SeriesElement& part : m.seriesParts) {
        if (!what.empty()) what += ", ";
        if (part.C > 0)
            what += fmt::format("a capacitor of {:.3g}\u00A0\u00B5F", part.C * 1e6);
        else if (part.L > 0)
            what += fmt::format("a coil of {:.3g}\u00A0mH", part.L * 1e3);
        else
            what += fmt::format("a resistor of {:.3g}\u00A0\u03A9", part.R);
    }
    what[0] = what[0] >= 'a' && what[0] <= 'z' ? char(what[0] - 'a' + 'A') : what[0];
    return what + (step < -0.05  ? " in the way."
                   : step > 0.05 ? " in the way; with the driver's own load they lift this frequency."
                                 : " in the way: nothing lost here.");
}

std::string sentenceOf(Cause cause, const Model& m, double step, double f, UnitSystem units)
{
    switch (cause) {
    case Cause::airSpring:
        return airSpringSentence(m, units);
    case Cause::leakAndLining:
        return leakSentence(m, step, units);
    case Cause::opening:
        return openingSentence(m, step, f);
    case Cause::secondCavity:
        return fmt::format("{} more through a hole of {}.",
                           formatQuantity(m.housing.secondCavity->cavity.netVolume, Dimension::volume, units),
                           formatQuantity(m.housing.secondCavity->hole.diameter, Dimension::length, units));
    case Cause::inductance:
        return std::abs(step) < 0.05 ? "The coil's inductance does nothing this low."
                                     : "The coil's inductance counts at " + hertz(f) + ".";
    case Cause::sourceAndSeries:
        return seriesSentence(m, step);
    case Cause::highPass:
        return fmt::format("High-pass at {}, {} dB per octave.", hertz(m.highPass->corner), 6 * m.highPass->order);
    case Cause::space:
        return m.solidAngle > 3 * pi ? "Sound goes all round, not into a half space."
                                     : "Half space, as in the endless baffle: nothing changes.";
    case Cause::distance:
        return "You sit at " + formatQuantity(m.distance, Dimension::distance, units) +
               (m.distance == 1 ? ", the distance reckoned with."
                                : ", not " + formatQuantity(1, Dimension::distance, units) + ".");
    }
    return "";
}

std::string startSentence(const Model& m, UnitSystem units)
{
    const std::string who = m.driverCount == 1 ? "This driver"
                                               : fmt::format("These {} drivers in {}", m.driverCount,
                                                             m.wiring == Wiring::series ? "series" : "parallel");
    return who + " at " + formatQuantity(m.voltage, Dimension::voltage) + " in a wall without end, heard at " +
           formatQuantity(1, Dimension::distance, units) + ": the mark to measure from.";
}

}  // namespace

Result<Ledger> ledgerOf(const Model& model, double frequency, UnitSystem units)
{
    if (model.voltage <= 0) return fail("/feed/voltage_v", "the feed is 0 V: there is no sound to account for");
    const Grid grid = logGrid(frequency, frequency, 1);
    Ledger ledger;
    ledger.frequency = frequency;
    double running = 0;
    for (int causes = 0; causes <= causeCount; ++causes) {
        const auto p = pressureOf(model, grid, {.causes = causes});
        if (!p) return fail(p.error());
        const double level = levelOf((*p)[0]);
        if (causes == 0) {
            ledger.start = level;
            ledger.startSentence = startSentence(model, units);
        } else {
            const auto cause = Cause(causes - 1);
            LedgerEntry entry{.cause = cause,
                              .name = nameOf(cause, model.kind),
                              .present = isPresent(cause, model),
                              .step = level - running,
                              .running = level,
                              .sentence = {}};
            entry.sentence =
                entry.present ? sentenceOf(cause, model, entry.step, frequency, units) : absentSentence(cause);
            ledger.entries.push_back(std::move(entry));
        }
        running = level;
    }
    ledger.end = running;
    return ledger;
}

}  // namespace portwright
