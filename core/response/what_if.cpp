// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/what_if.h"

#include "core/response/curves.h"
#include "core/response/summary.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

/// A housing as it stands, or as the what-if has it.
struct Lived {
    Air air;
    Housing housing;
    std::string with;  // "With 15 L of solid luggage"
    std::vector<std::string> remarks;
};

Result<void> within(const char* what, double si, double least, double most, Dimension dimension, UnitSystem units)
{
    if (si >= least && si <= most) return {};
    return fail("", fmt::format("{} is {}; it may be {} to {}", what, formatQuantity(si, dimension, units),
                                formatQuantity(least, dimension, units), formatQuantity(most, dimension, units)));
}

Result<void> withinCavity(const char* what, double volume, const Housing& housing, UnitSystem units)
{
    if (volume > 0 && volume < housing.cavity.netVolume) return {};
    return fail("", fmt::format("{} takes {}, but the cavity holds {}; it must be above 0 and leave some air", what,
                                formatQuantity(volume, Dimension::volume, units),
                                formatQuantity(housing.cavity.netVolume, Dimension::volume, units)));
}

const char* bagLimits =
    "Respect the load limit of bag and rack, and keep the load off cone and port: leave one bore of "
    "free room before a mouth (common practice, no source)";

Result<Lived> apply(const SolidLuggage& w, Lived l, UnitSystem units)
{
    if (auto ok = withinCavity("the luggage", w.volume, l.housing, units); !ok) return fail(ok.error());
    l.housing.cavity.netVolume -= w.volume;
    l.with =
        fmt::format("With {} of solid luggage, {} of air are left", formatQuantity(w.volume, Dimension::volume, units),
                    formatQuantity(l.housing.cavity.netVolume, Dimension::volume, units));
    l.remarks = {bagLimits};
    return l;
}

// Soft things, as a rule without a source (a considered guess): a tenth of the room they take is fibre. The air in the
// rest gives heat to it, which makes it springier, up to 1.4 where all is isothermal; 1.25 is the upper end of what
// stuffed cavities are found to gain. Its drag is an absorption of Q 10 where the cavity is full of it, less in
// proportion to its share.
constexpr double fibreShare = 0.1, softGain = 1.25, softAbsorptionQ = 10;

Result<Lived> apply(const SoftLuggage& w, Lived l, UnitSystem units)
{
    if (auto ok = withinCavity("the luggage", w.volume, l.housing, units); !ok) return fail(ok.error());
    Cavity& cavity = l.housing.cavity;
    const double share = w.volume / cavity.netVolume;
    const double air = 1 - fibreShare * share;  // of the volume
    cavity.netVolume *= air;
    const double gain = (1 - share + share * (1 - fibreShare) * softGain) / air;
    cavity.fillFactor = std::min(cavity.fillFactor.value_or(1) * gain, 1.4);
    const double loss = share / softAbsorptionQ + (cavity.absorptionQ ? 1 / *cavity.absorptionQ : 0);
    cavity.absorptionQ = 1 / loss;
    l.with =
        fmt::format("With {} of soft luggage, the air counts as {}", formatQuantity(w.volume, Dimension::volume, units),
                    formatQuantity(cavity.netVolume * *cavity.fillFactor, Dimension::volume, units));
    l.remarks = {
        fmt::format("Soft luggage is reckoned as {:.0f}\u00A0% fibre with air {:g} times as springy and a loss "
                    "of Q {:g} where it fills the cavity (a considered guess): packed tight it acts as solid",
                    100 * fibreShare, softGain, softAbsorptionQ),
        bagLimits};
    return l;
}

constexpr double largestLeakyHole = 5e-3;  // m; a wider hole is no longer laminar where it matters

Result<Lived> apply(const DrainHole& w, Lived l, UnitSystem units)
{
    if (auto ok = within("the drain", w.diameter, 1e-3, 50e-3, Dimension::bore, units); !ok) return fail(ok.error());
    if (auto ok = within("the wall at the drain", w.depth, 0.5e-3, 100e-3, Dimension::length, units); !ok)
        return fail(ok.error());
    if (w.diameter <= largestLeakyHole) {
        l.housing.openings.push_back({LeakHole{w.diameter, w.depth, {}}, {}, {}});
    } else {
        PortOpening port;
        port.diameter = w.diameter;
        port.length = w.depth;
        port.innerEnd = port.outerEnd = TubeEnd::flush;
        l.housing.openings.push_back({port, {}, {}});
    }
    l.with = fmt::format("With a drain of {} through a wall of {}", formatQuantity(w.diameter, Dimension::bore, units),
                         formatQuantity(w.depth, Dimension::length, units));
    l.remarks = {"A drain sits at the lowest point and stays open: a bung that is forgotten keeps the rain in"};
    return l;
}

Result<Lived> apply(const UnsealedLid& w, Lived l, UnitSystem units)
{
    if (auto ok = within("the length of the seal", w.length, 0.01, 5, Dimension::length, units); !ok)
        return fail(ok.error());
    if (auto ok = within("the gap", w.gap, 0.05e-3, 2e-3, Dimension::travel, units); !ok) return fail(ok.error());
    if (auto ok = within("the depth of the seal", w.depth, 1e-3, 0.1, Dimension::length, units); !ok)
        return fail(ok.error());
    l.housing.openings.push_back({LeakSlit{w.length, w.gap, w.depth}, {}, {}});
    l.with = fmt::format("With a lid that stands off by {} over {}", formatQuantity(w.gap, Dimension::travel, units),
                         formatQuantity(w.length, Dimension::length, units));
    return l;
}

Result<Lived> apply(const Heat& w, Lived l, UnitSystem units)
{
    if (auto ok = within("the air", w.temperature, -20, 80, Dimension::temperature, units); !ok)
        return fail(ok.error());
    l.air = airWarmedTo(l.air, w.temperature);
    l.with = fmt::format("At {}", formatQuantity(w.temperature, Dimension::temperature, units));
    if (w.temperature > 45)
        l.remarks = {"Panels reach 70\u00A0\u00B0C in the sun, and printed parts of PLA soften near 60\u00A0\u00B0C "
                     "(common practice, no source)"};
    return l;
}

Result<Lived> apply(const Altitude& w, Lived l, UnitSystem units)
{
    if (auto ok = within("the height", w.altitude, -400, 4000, Dimension::distance, units); !ok)
        return fail(ok.error());
    const auto there =
        airAt({.temperature = {}, .relativeHumidity = {}, .altitude = w.altitude, .pressure = {}, .unknown = {}});
    if (!there) return fail(there.error());
    l.air = airAtPressure(l.air, there->pressure);
    l.with = fmt::format("At {} above the sea", formatQuantity(w.altitude, Dimension::distance, units));
    return l;
}

// A gap leaks, a lining drags and a tube loses what it does now: the Q of each, which refer to w0 and the cavity, are
// set anew so that its resistance stays.
Model withLossesKept(const Model& before, Housing housing)
{
    const Model first = withHousing(before, housing);
    const auto ratio = [&](double x, double y) { return x > 0 ? y / x : 1; };
    const double w = ratio(before.omega0, first.omega0);
    const auto compliance = [](const Cavity& c) { return c.fillFactor.value_or(1) * c.netVolume; };
    const double main = ratio(compliance(before.housing.cavity), compliance(housing.cavity));
    if (housing.cavity.absorptionQ && before.housing.cavity.absorptionQ) {
        // what was added to the lining stays as given, the lining itself keeps its resistance
        const double added = 1 / *housing.cavity.absorptionQ - 1 / *before.housing.cavity.absorptionQ;
        housing.cavity.absorptionQ = 1 / (added + w * main / *before.housing.cavity.absorptionQ);
    }
    if (housing.secondCavity) {
        auto& second = *housing.secondCavity;
        if (second.cavity.absorptionQ) second.cavity.absorptionQ = *second.cavity.absorptionQ / w;
        if (second.hole.lossQ) second.hole.lossQ = *second.hole.lossQ * w;
    }
    for (Opening& o : housing.openings) {
        const bool inMain = o.cavity.value_or(CavityId::main) == CavityId::main;
        if (auto* leak = std::get_if<LeakByQ>(&o.kind)) leak->q *= w * (inMain ? main : 1);
        if (auto* port = std::get_if<PortOpening>(&o.kind); port && port->lossQ) port->lossQ = *port->lossQ * w;
    }
    return withHousing(first, housing);
}

Model modelWith(const Model& before, const Lived& lived)
{
    Model m = before;
    m.air = lived.air;
    return lived.housing == before.housing ? withHousing(std::move(m), lived.housing)
                                           : withLossesKept(before, lived.housing);
}

std::optional<double> tunedTo(const Summary& s) { return s.fb ? s.fb : s.fc; }

Eigen::ArrayXd levelOf(const Model& model, const Grid& grid)
{
    const auto p = pressureOf(model, grid);
    if (!p) return Eigen::ArrayXd::Zero(grid.size());
    return 10 / std::numbers::ln10 * (p->abs2() / (referencePressure * referencePressure)).log();
}

std::string moved(const char* what, double before, std::optional<double> after, UnitSystem units)
{
    const std::string from = formatQuantity(before, Dimension::frequency, units);
    if (!after) return fmt::format("the {} of {} is gone", what, from);
    const double percent = 100 * (*after / before - 1);
    if (std::abs(percent) < 0.05) return fmt::format("the {} stays at {}", what, from);
    return fmt::format("the {} moves from {} to {} ({}{:.{}f}\u00A0%)", what, from,
                       formatQuantity(*after, Dimension::frequency, units), percent < 0 ? "\u2212" : "+",
                       std::abs(percent), std::abs(percent) < 9.95 ? 1 : 0);
}

std::string levelWords(const WhatIfOutcome& o, double frequency, UnitSystem units)
{
    const std::string at = formatQuantity(frequency, Dimension::frequency, units);
    const double change = std::abs(o.levelChange);
    std::string text = change < 0.05 ? fmt::format("the level at {} stays", at)
                                     : fmt::format("the level at {} {} by {:.1f}\u00A0dB", at,
                                                   o.levelChange < 0 ? "falls" : "rises", change);
    if (o.largestLoss >= 0.05)
        text += fmt::format(". Between 40 and 200\u00A0Hz the most is lost at {}: {:.1f}\u00A0dB",
                            formatQuantity(o.lossAt, Dimension::frequency, units), o.largestLoss);
    else
        text += ". Between 40 and 200\u00A0Hz nothing is lost";
    return text;
}

void compareLevels(WhatIfOutcome& o, Model before, Model after, double frequency)
{
    if (!(before.voltage > 0)) before.voltage = after.voltage = 1;  // a difference does not depend on the feed
    const Grid one = gridOf(Eigen::ArrayXd::Constant(1, frequency));
    o.levelChange = levelOf(after, one)[0] - levelOf(before, one)[0];
    const Grid bass = logGrid(40, 200, 120);
    const Eigen::ArrayXd loss = levelOf(before, bass) - levelOf(after, bass);
    Eigen::Index at = 0;
    o.largestLoss = std::max(loss.maxCoeff(&at), 0.0);
    o.lossAt = bass.frequency[at];
}

// A drain wide enough to be a port is held to a port's air speed, which surprises where the level falls for it.
void remarkFastDrain(WhatIfOutcome& o, const Model& after, UnitSystem units)
{
    const auto curves = curvesOf(after, logGrid(20, 500, 60));
    if (!curves || curves->portAir.empty()) return;
    const double fastest = curves->portAir.back().maxCoeff();
    if (fastest <= after.portAirLimit) return;
    o.remarks.push_back(fmt::format(
        "The drain's own air reaches {} at this feed, past the {} that ports are held to: it may hiss, and once it is "
        "added it is what sets the loudest clean level",
        formatQuantity(fastest, Dimension::airSpeed, units),
        formatQuantity(after.portAirLimit, Dimension::airSpeed, units)));
}

}  // namespace

Result<WhatIfOutcome> outcomeOf(const Project& project, std::size_t housing, const WhatIf& whatIf, double frequency,
                                UnitSystem units)
{
    const auto before = modelOf(project, housing);
    if (!before) return fail(before.error());
    const auto lived = std::visit(
        [&](const auto& w) {
            return apply(w, Lived{.air = before->air, .housing = before->housing, .with = {}, .remarks = {}}, units);
        },
        whatIf);
    if (!lived) return fail(lived.error());
    const Model after = modelWith(*before, *lived);
    const auto summaryBefore = summaryOf(*before), summaryAfter = summaryOf(after);
    if (!summaryBefore) return fail(summaryBefore.error());
    if (!summaryAfter) return fail(summaryAfter.error());

    WhatIfOutcome o;
    const auto was = tunedTo(*summaryBefore);
    o.before = was.value_or(0);
    o.after = tunedTo(*summaryAfter);
    o.tuned = summaryAfter->fb.has_value();
    o.f3Before = summaryBefore->f3;
    o.f3After = summaryAfter->f3;
    compareLevels(o, *before, after, frequency);
    const bool wasTuned = summaryBefore->fb.has_value();
    const std::string tuning =
        !was ? std::string("the housing has no tuning")
        : wasTuned == o.tuned
            ? moved(wasTuned ? "tuning" : "resonance", *was, o.after, units)
            : fmt::format("the closed housing (resonance {}) becomes one tuned to {}",
                          formatQuantity(*was, Dimension::frequency, units),
                          o.after ? formatQuantity(*o.after, Dimension::frequency, units) : "nothing");
    o.sentence = lived->with + ": " + tuning + ", and " + levelWords(o, frequency, units);
    o.remarks = lived->remarks;
    if (const auto* drain = std::get_if<DrainHole>(&whatIf); drain && drain->diameter > largestLeakyHole)
        remarkFastDrain(o, after, units);
    return o;
}

}  // namespace portwright
