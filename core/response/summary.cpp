// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/summary.h"

#include "core/cavity/shape.h"
#include "core/port/classical.h"
#include "core/response/fed_network.h"
#include "core/response/rises.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

// Whether w0 is the tuning itself: all ports classical and in the main cavity.
bool tunedByDefinition(const Housing& housing)
{
    for (const Opening& o : housing.openings) {
        const auto* port = std::get_if<PortOpening>(&o.kind);
        if (port && (!port->classical || o.cavity.value_or(CavityId::main) == CavityId::second)) return false;
        if (std::holds_alternative<PassiveRadiator>(o.kind) && o.cavity.value_or(CavityId::main) == CavityId::second)
            return false;
    }
    return true;
}

// |p| in dB over a grid with every coil, capacitor and filter left out. A network that cannot be solved was refused
// before.
Eigen::ArrayXd plainLevel(const Model& model, const Grid& grid)
{
    const auto p = pressureOf(model, grid, {.causes = causeCount, .lossesOnly = true});
    if (!p) return Eigen::ArrayXd::Zero(grid.size());
    return 10 / std::numbers::ln10 * (p->abs2() / (referencePressure * referencePressure)).log();
}

bool hasWaves(const Model& model)
{
    return std::any_of(model.elements.begin(), model.elements.end(),
                       [](const HousingElement& e) { return std::holds_alternative<Duct>(e.element); });
}

// The limit is reached to 1e-13 at 1 GHz: every element is then its mass or its resistance. A segmented cavity has no
// limit of its own, waves come back at any frequency: it is given that of the spring it is made of.
double referenceLevelOf(const Model& model)
{
    if (!hasWaves(model)) return plainLevel(model, logGrid(1e9, 1e9, 1))[0];
    Model spring = model;
    spring.elements = {{.element = Compliance{mainCavity, model.Cab, 0}, .cause = Cause::airSpring}};
    spring.stations.clear();
    spring.housing.secondCavity.reset();
    return plainLevel(spring, logGrid(1e9, 1e9, 1))[0];
}

// One scan of the level serves f3, f10 and the hump; only what is found is narrowed.
struct Scan {
    Grid grid;
    Eigen::ArrayXd level;
};

// The first wave that stands in the main cavity, seen from the drivers, the second cavity shut off: what its hole's
// mass does belongs to the level as in a lumped model.
std::optional<double> standingInMain(const Model& model, std::optional<double> tuning)
{
    if (model.cavityModel == CavityModel::lumped) return std::nullopt;
    if (model.housing.secondCavity) {
        Housing alone = model.housing;
        alone.secondCavity.reset();
        std::erase_if(alone.openings, [](const Opening& o) { return o.cavity == CavityId::second; });
        alone.cavity.model = CavityModel::segmented;
        const Model shut = withHousing(model, alone);
        if (shut.cavityModel == CavityModel::lumped) return std::nullopt;
        return standingInMain(shut, tuningOf(shut));
    }
    if (tuning && tunedByDefinition(model.housing)) tuning = loadResonance(model);  // w0/2pi may lie beside it
    return tuning ? loadResonance(model, *tuning * 1.05) : loadResonance(model);
}

// Half a wave from wall to wall of the second cavity, where it is segmented.
std::optional<double> standingInSecond(const Model& model)
{
    double length = 0;
    for (const HousingElement& e : model.elements)
        if (const auto* duct = std::get_if<Duct>(&e.element); duct && e.cause == Cause::secondCavity)
            for (const DuctSlice& slice : duct->slices)
                length += slice.length;
    if (!(length > 0)) return std::nullopt;
    return model.air.c / (2 * length);
}

// Far enough up for a stiff little cavity, whose resonance can lie above all music. Where waves stand in a cavity or in
// a port, the bass corner is looked for below the first of them.
double judgedTo(const Model& model, std::optional<double> tuning)
{
    if (!hasWaves(model)) return std::max(20e3, 30 * model.omega0 / (2 * pi));
    constexpr double clearOf = 1.1, clearOfPipe = 1.3;  // a port's own resonance cancels well below it
    double judged = highestSegmented;
    for (const auto& standing : {standingInMain(model, tuning), standingInSecond(model)})
        judged = std::min(judged, standing.value_or(highestSegmented) / clearOf);
    for (const HousingElement& e : model.elements)
        if (const auto* port = std::get_if<PortLine>(&e.element)) {
            const double wave = 2 * (port->length + port->inner.l0 + port->outer.length);
            judged = std::min(judged, model.air.c / wave / clearOfPipe);
        }
    return judged;
}

Scan scanOf(const Model& model, std::optional<double> tuning)
{
    Scan scan;
    scan.grid = logGrid(1, judgedTo(model, tuning), 400);
    scan.level = plainLevel(model, scan.grid);
    return scan;
}

const double halfPower = 10 * std::log10(2.0);  // dB

// The lower edge of the band in which the level is not more than `drop` dB below the reference.
std::optional<double> fallOf(const Model& model, const Scan& scan, double reference, double drop)
{
    const double wanted = reference - drop;
    const auto above = [&](const Grid& grid) { return Eigen::ArrayXd(plainLevel(model, grid) - wanted); };
    const auto below = [&](const Grid& grid) { return Eigen::ArrayXd(wanted - plainLevel(model, grid)); };
    const Eigen::ArrayXd margin = scan.level - wanted;
    Eigen::Index top = margin.size() - 1;  // in the passband: above it is the dip in front of a standing wave
    while (top >= 0 && margin[top] < 0)
        --top;
    constexpr double worthNarrowing = 6;  // dB: a dip between two points of the scan is hardly deeper
    for (Eigen::Index i = top - 1; i > 0; --i) {
        const double from = scan.grid.frequency[i - 1], to = scan.grid.frequency[i + 1];
        if (margin[i] < 0) return riseOf(above, Rise::last, scan.grid.frequency[i], to, 16);
        if (margin[i] > worthNarrowing || margin[i] > margin[i - 1] || margin[i] > margin[i + 1]) continue;
        const Extremum dip = largestWithin(below, from, to);
        if (dip.value > 0) return riseOf(above, Rise::last, dip.frequency, to, 16);
    }
    return std::nullopt;
}

std::optional<Summary::Hump> humpOf(const Model& model, const Scan& scan, double reference)
{
    const auto upTo = Eigen::Index((scan.grid.frequency <= 2000.0).count());
    Eigen::Index at = 0;
    const double height = scan.level.head(upTo).maxCoeff(&at) - reference;
    if (height <= 0 || at == 0 || at + 1 == scan.level.size()) return std::nullopt;
    const auto level = [&](const Grid& grid) { return plainLevel(model, grid); };
    const Extremum top = largestWithin(level, scan.grid.frequency[at - 1], scan.grid.frequency[at + 1]);
    return Summary::Hump{top.frequency, top.value - reference};
}

Eigen::ArrayXd impedanceOver(const Model& model, const Grid& grid, Load load)
{
    const auto Z = impedanceOf(model, grid, load);
    return Z ? *Z : Eigen::ArrayXd::Zero(grid.size());
}

Summary::Peak leastOf(const Model& model, const Grid& grid, const Eigen::ArrayXd& Z, Load load)
{
    const auto judged = Eigen::Index((grid.frequency < 20.0).count());
    Eigen::Index least = 0;
    Z.tail(Z.size() - judged).minCoeff(&least);
    least += judged;
    const auto negative = [&](const Grid& g) { return Eigen::ArrayXd(-impedanceOver(model, g, load)); };
    const double from = std::max(20.0, grid.frequency[std::max<Eigen::Index>(least - 1, 0)]);
    const double to = grid.frequency[std::min<Eigen::Index>(least + 1, grid.size() - 1)];
    const Extremum minimum = largestWithin(negative, from, to);
    return {minimum.frequency, -minimum.value};
}

void findImpedanceMarks(const Model& model, Summary& summary)
{
    const Grid grid = logGrid(10, 2000, 400);
    const Eigen::ArrayXd Z = impedanceOver(model, grid, Load::group);
    const auto magnitude = [&](const Grid& g) { return impedanceOver(model, g, Load::group); };
    for (Eigen::Index i = 1; i + 1 < Z.size(); ++i) {
        if (!(Z[i] > Z[i - 1] && Z[i] >= Z[i + 1])) continue;
        const Extremum peak = largestWithin(magnitude, grid.frequency[i - 1], grid.frequency[i + 1]);
        summary.impedancePeaks.push_back({peak.frequency, peak.value});
    }
    summary.impedanceMinimum = leastOf(model, grid, Z, Load::group);
    summary.amplifierLoad =
        model.seriesParts.empty()
            ? summary.impedanceMinimum
            : leastOf(model, grid, impedanceOver(model, grid, Load::withSeriesParts), Load::withSeriesParts);
}

}  // namespace

double highestTuning(const Model& model) { return std::max(2000.0, 3 * model.omega0 / (2 * pi)); }

namespace {

// Im Y of the air's load on the drivers.
Eigen::ArrayXd susceptance(const Network& air, const Grid& grid, const Air& properties)
{
    const auto solution = solve(air, grid, properties);
    if (!solution) return Eigen::ArrayXd::Zero(grid.size());
    return flowFrom(air.sources.front().node, air, *solution, grid, properties).value.imag();
}

// Whether f is where the air without friction turns too, or what friction leaves of it: at Q = sqrt 2 it is lower by
// sqrt 2, and the air that is held in a narrow bore heavier by up to a third. Else it is a wave in the cavity.
bool isOfHelmholtz(const Model& model, double f)
{
    constexpr double vanishing = 1e-4, lowestShare = 0.6, above = 1.02;
    Air smooth = model.air;
    smooth.mu *= vanishing, smooth.kappa *= vanishing;
    const Grid grid = logGrid(lowestTuning, highestTuning(model), 200);
    const Eigen::ArrayXd Y = susceptance(airOf(withoutGivenLosses(model)), grid, smooth);
    for (Eigen::Index i = 0; i + 1 < Y.size(); ++i)
        if (Y[i] < 0 && !(Y[i + 1] < 0))
            return f > lowestShare * grid.frequency[i] && f < above * grid.frequency[i + 1];
    return false;
}

}  // namespace

std::optional<double> loadResonance(const Model& model, double above)
{
    const Network air = airOf(withoutGivenLosses(model));
    const auto load = [&](const Grid& grid) { return susceptance(air, grid, model.air); };
    return riseOf(load, Rise::first, above, highestTuning(model), tuningPoints);
}

std::optional<double> f3Of(const Model& original, std::optional<double> tuning)
{
    Model model = original;
    model.voltage = 1;
    return fallOf(model, scanOf(model, tuning), referenceLevelOf(model), halfPower);
}

Result<double> levelOverLimit(const Model& original, double frequency)
{
    Model model = original;
    model.voltage = 1;
    const Grid grid = logGrid(frequency, frequency, 1);
    if (const auto probe = pressureOf(model, grid); !probe) return fail(probe.error());
    return plainLevel(model, grid)[0] - referenceLevelOf(model);
}

Result<Summary> summaryOf(const Model& original)
{
    Model model = original;
    model.voltage = 1;  // every quantity here is a ratio or a frequency; a feed of 0 V must not matter
    if (const auto probe = pressureOf(model, logGrid(100, 100, 1)); !probe) return fail(probe.error());
    Summary s;
    s.kind = model.kind;
    if (model.kind == SystemKind::closed) {
        s.fc = model.omega0 / (2 * pi);
        s.Qtc = model.driver.Qts * *s.fc / model.driver.fs;
    } else {
        s.fb = tuningOf(model);
    }
    const double reference = referenceLevelOf(model);
    const Scan scan = scanOf(model, s.fb);
    s.f3 = fallOf(model, scan, reference, halfPower);
    s.f10 = fallOf(model, scan, reference, 10);
    s.hump = humpOf(model, scan, reference);
    s.referenceLevel = reference + 20 * std::log10(original.voltage);
    findImpedanceMarks(model, s);
    return s;
}

double textbookTuning(const Model& model, CavityId which)
{
    double masses = 0;
    for (const Opening& o : model.housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&o.kind); port && o.cavity.value_or(CavityId::main) == which)
            masses += 1 / portInertance(*port, model.air);
    const bool main = which == CavityId::main;
    if (!(masses > 0) || (!main && !model.housing.secondCavity)) return 0;
    const Cavity& cavity = main ? model.housing.cavity : model.housing.secondCavity->cavity;
    const double spring =
        cavity.fillFactor.value_or(1) * cavity.netVolume / (model.air.rho * model.air.c * model.air.c);
    return helmholtzFrequency(spring, 1 / masses);
}

std::optional<double> tuningOf(const Model& model)
{
    if (model.kind == SystemKind::closed) return std::nullopt;
    if (tunedByDefinition(model.housing)) return model.omega0 / (2 * pi);
    const auto f = loadResonance(model);
    return f && isOfHelmholtz(model, *f) ? f : std::nullopt;
}

}  // namespace portwright
