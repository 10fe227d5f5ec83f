// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/summary.h"

#include "core/response/search.h"

#include <cmath>

namespace portwright {

namespace {

// |p| in dB over a grid with every coil, capacitor and filter left out. A network that cannot be solved was refused
// before.
Eigen::ArrayXd plainLevel(const Model& model, const Grid& grid)
{
    const auto p = pressureOf(model, grid, {.causes = causeCount, .lossesOnly = true});
    if (!p) return Eigen::ArrayXd::Zero(grid.size());
    return 10 / std::numbers::ln10 * (p->abs2() / (referencePressure * referencePressure)).log();
}

// The limit is reached to 1e-13 at 1 GHz: every element is then its mass or its resistance.
double referenceLevelOf(const Model& model) { return plainLevel(model, logGrid(1e9, 1e9, 1))[0]; }

// The lowest frequency above which the level never falls more than `drop` dB below the reference. One scan of the level
// serves both drops; only the crossing itself is narrowed.
constexpr double scanFrom = 1, scanTo = 20e3;
constexpr int scanPoints = 400;

std::optional<double> fallOf(const Model& model, const Eigen::ArrayXd& scanned, double reference, double drop)
{
    const double wanted = reference - drop;
    const auto above = [&](const Grid& grid) {
        return Eigen::ArrayXd((grid.size() == scanned.size() ? scanned : plainLevel(model, grid)) - wanted);
    };
    return riseOf(above, Rise::last, scanFrom, scanTo, scanPoints);
}

Eigen::ArrayXd impedanceOver(const Model& model, const Grid& grid)
{
    const auto Z = impedanceOf(model, grid);
    return Z ? *Z : Eigen::ArrayXd::Zero(grid.size());
}

void findImpedanceMarks(const Model& model, Summary& summary)
{
    const Grid grid = logGrid(10, 2000, 400);
    const Eigen::ArrayXd Z = impedanceOver(model, grid);
    const auto magnitude = [&](const Grid& g) { return impedanceOver(model, g); };
    Eigen::Index least = -1;
    for (Eigen::Index i = 0; i < Z.size(); ++i) {
        if (i > 0 && i + 1 < Z.size() && Z[i] > Z[i - 1] && Z[i] >= Z[i + 1]) {
            const Extremum peak = largestWithin(magnitude, grid.frequency[i - 1], grid.frequency[i + 1]);
            summary.impedancePeaks.push_back({peak.frequency, peak.value});
        }
        if (grid.frequency[i] >= 20 && (least < 0 || Z[i] < Z[least])) least = i;
    }
    const auto negative = [&](const Grid& g) { return Eigen::ArrayXd(-impedanceOver(model, g)); };
    const double from = std::max(20.0, grid.frequency[std::max<Eigen::Index>(least - 1, 0)]);
    const double to = grid.frequency[std::min<Eigen::Index>(least + 1, grid.size() - 1)];
    const Extremum minimum = largestWithin(negative, from, to);
    summary.impedanceMinimum = Summary::Peak{minimum.frequency, -minimum.value};
}

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

// The program's own tuning: where the air load on the drivers turns from mass to spring, Im Y = 0 rising. The load is
// the network without its drivers, driven at the main cavity by a unit velocity source.
std::optional<double> tuningOf(const Model& model)
{
    const auto susceptance = [&](const Grid& grid) {
        Eigen::ArrayXd result = Eigen::ArrayXd::Zero(grid.size());
        Network load;
        const Node main = load.addNode("main cavity");
        const Node second = model.housing.secondCavity ? load.addNode("second cavity") : ground;
        load.sources.push_back({main, 1.0, {}, {}});
        const auto placed = [&](Node n) { return n.index < 0 ? ground : n.index == 0 ? main : second; };
        for (const HousingElement& e : model.elements) {
            Element element = e.element;
            std::visit(
                [&](auto& x) {
                    if constexpr (requires { x.from; }) {
                        x.from = placed(x.from);
                        x.to = placed(x.to);
                    } else if constexpr (requires { x.node; })
                        x.node = placed(x.node);
                },
                element);
            load.elements.push_back(element);
        }
        const auto solution = solve(load, grid, model.air);
        if (!solution) return result;
        for (const Element& element : load.elements)
            std::visit(
                [&](const auto& x) {
                    if constexpr (requires { x.from; }) {
                        if (x.from == main) result += flowThrough(x, *solution, grid, model.air).value.imag();
                    } else if constexpr (requires { x.node; }) {
                        if (x.node == main) result += flowThrough(x, *solution, grid, model.air).value.imag();
                    }
                },
                element);
        return result;
    };
    const double guess = model.omega0 / (2 * pi);
    return riseOf(susceptance, Rise::first, guess / 8, guess * 3, 200);
}

}  // namespace

Result<Summary> summaryOf(const Model& original)
{
    Model model = original;
    model.voltage = 1;  // every quantity here is a ratio or a frequency; a feed of 0 V must not matter
    if (const auto probe = pressureOf(model, logGrid(100, 100, 1)); !probe) return tl::unexpected(probe.error());
    Summary s;
    s.kind = model.kind;
    if (model.kind == SystemKind::closed) {
        s.fc = model.omega0 / (2 * pi);
        s.Qtc = model.driver.Qts * *s.fc / model.driver.fs;
    } else {
        s.fb = tunedByDefinition(model.housing) ? model.omega0 / (2 * pi) : tuningOf(model);
    }
    const double reference = referenceLevelOf(model);
    const Eigen::ArrayXd scanned = plainLevel(model, logGrid(scanFrom, scanTo, scanPoints));
    s.f3 = fallOf(model, scanned, reference, 10 * std::log10(2.0));
    s.f10 = fallOf(model, scanned, reference, 10);
    s.referenceLevel = reference + 20 * std::log10(original.voltage);
    findImpedanceMarks(model, s);
    return s;
}

}  // namespace portwright
