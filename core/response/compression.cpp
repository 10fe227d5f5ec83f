// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/compression.h"

#include "core/port/separation.h"
#include "core/response/fed_network.h"
#include "core/response/rises.h"
#include "core/response/summary.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double lowest = 20, highest = 2000;  // Hz: where there is music to judge

// Loss of the feed `voltage` over the grid of a superposition.
Eigen::ArrayXd lossAt(const Model& model, const Superposition& s, const Grid& grid, double voltage)
{
    Model one = model;
    one.voltage = 1;
    const Eigen::ArrayXd filter = driveOf(one, grid).size;
    constexpr double small = 1e-12;  // of the feed: what is lost there is far below 1e-8 dB even in the narrowest port
    const Eigen::ArrayXd soft = levelAt(model, s, grid, small * voltage * filter) - 20 * std::log10(small);
    return soft - levelAt(model, s, grid, voltage * filter);
}

Result<AtDrive> atDrive(const Model& model, double frequency, std::size_t port, double times)
{
    Model fed = model;
    fed.voltage *= times;
    const Grid grid = logGrid(frequency, frequency, 1);
    AtDrive at;
    at.voltage = fed.voltage;
    const auto curves = curvesOf(fed, grid);
    if (!curves) return fail(curves.error());
    at.level = curves->level[0];
    at.airSpeed = curves->portAir[port][0];
    at.coneTravel = curves->coneTravel[0];
    const auto s = superpositionOf(fed, grid);
    if (!s) return fail(s.error());
    at.loss = lossAt(fed, *s, grid, fed.voltage)[0];
    at.tuning = tuningAtFeed(fed);
    return at;
}

}  // namespace

Result<Compression> compressionOf(const Model& model, const Grid& grid, std::span<const double> voltages)
{
    for (double voltage : voltages)
        if (!(voltage >= 0))
            return fail("/feed/voltage_v", fmt::format("the feed is {} V; allowed is 0 or more", voltage));
    const auto s = superpositionOf(model, grid);
    if (!s) return fail(s.error());
    Compression c{grid.frequency, {voltages.begin(), voltages.end()}, {}};
    for (double voltage : voltages)
        c.loss.push_back(voltage > 0 && !s->network.separation.empty() ? lossAt(model, *s, grid, voltage)
                                                                       : Eigen::ArrayXd::Zero(grid.size()));
    return c;
}

std::optional<CompressionPeak> compressionPeak(const Model& model)
{
    const bool separates = std::any_of(model.elements.begin(), model.elements.end(),
                                       [](const HousingElement& e) { return e.separation > 0; });
    if (!(model.voltage > 0) || !separates) return std::nullopt;
    const auto loss = [&](const Grid& grid) {
        const auto c = compressionOf(model, grid, std::array{model.voltage});
        return c ? c->loss.front() : Eigen::ArrayXd::Zero(grid.size()).eval();
    };
    const Grid grid = logGrid(lowest, highest, 200);
    Eigen::Index at = 0;
    if (!(loss(grid).maxCoeff(&at) > 0)) return std::nullopt;
    const Extremum peak = largestWithin(loss, grid.frequency[std::max<Eigen::Index>(at - 1, 0)],
                                        grid.frequency[std::min<Eigen::Index>(at + 1, grid.size() - 1)]);
    return CompressionPeak{peak.frequency, peak.value};
}

std::optional<double> tuningAtFeed(const Model& model)
{
    if (!tuningOf(model)) return std::nullopt;
    const auto small = loadResonance(model);
    if (!small) return std::nullopt;
    const FedNetwork fed = fedNetworkOf(withoutGivenLosses(model));
    const auto& driver = std::get<DriverElement>(fed.assembled.network.elements[fed.assembled.drivers.front()]);
    // Im Y |p|^2 of all that is joined to the air behind the cones.
    const auto susceptance = [&](const Grid& grid) -> Eigen::ArrayXd {
        const auto solution = solveFed(fed, model, grid, driveOf(model, grid), Derivatives::no);
        if (!solution) return Eigen::ArrayXd::Zero(grid.size());
        const Flow load = flowFrom(driver.rear, fed.assembled.network, *solution, grid, model.air);
        return (load.value * solution->node[std::size_t(driver.rear.index)].conjugate()).imag();
    };
    // Where the soft signal's is looked for, so that both meet or miss a wave narrower than the points stand apart.
    const auto f = riseOf(susceptance, Rise::first, lowestTuning, highestTuning(model), tuningPoints);
    constexpr double nextToIt = 1.02;  // it only falls: what is further up is a wave in the cavity
    return f && *f <= nextToIt * *small ? f : std::nullopt;
}

Result<std::vector<PortAtDrives>> portsAtDrives(const Model& model)
{
    std::vector<PortAtDrives> ports;
    if (!(model.voltage > 0)) return ports;
    const Grid grid = logGrid(lowest, highest, 300);
    const auto curves = curvesOf(model, grid);
    if (!curves) return fail(curves.error());
    for (std::size_t i = 0; i < curves->portAir.size(); ++i) {
        const int opening = curves->portOpening[i];
        const auto* port = std::get_if<PortOpening>(&model.housing.openings[std::size_t(opening)].kind);
        if (!port) continue;
        Eigen::Index at = 0;
        curves->portAir[i].maxCoeff(&at);
        const auto air = [&](const Grid& g) {
            const auto c = curvesOf(model, g);
            return c ? c->portAir[i] : Eigen::ArrayXd::Zero(g.size()).eval();
        };
        const Extremum fastest = largestWithin(air, grid.frequency[std::max<Eigen::Index>(at - 1, 0)],
                                               grid.frequency[std::min<Eigen::Index>(at + 1, grid.size() - 1)]);
        PortAtDrives p{.opening = opening,
                       .frequency = fastest.frequency,
                       .K = separationOf(*port),
                       .numbers = airSpeedNumbers(*port, fastest.value, fastest.frequency, model.air),
                       .drive = {}};
        for (std::size_t k = 0; k < p.drive.size(); ++k) {
            const auto drive = atDrive(model, p.frequency, i, std::array{0.5, 1.0, 2.0}[k]);
            if (!drive) return fail(drive.error());
            p.drive[k] = *drive;
        }
        ports.push_back(p);
    }
    return ports;
}

}  // namespace portwright
