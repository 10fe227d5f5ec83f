// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/fed_network.h"

#include "core/network/separation.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

void add(Flow& sum, const Flow& part, double factor = 1)
{
    sum.value += factor * part.value;
    if (sum.derivative.size() > 0) sum.derivative += factor * part.derivative;
}

void endIn(Element& element, Node mouth)
{
    std::visit(
        [&](auto& e) {
            if constexpr (requires { e.to; }) e.to = mouth;
        },
        element);
}

}  // namespace

FedNetwork fedNetworkOf(const Model& model, const AssembleOptions& options)
{
    FedNetwork fed{assemble(model, options), {}, {}};
    if (options.lossesOnly) return fed;
    for (const auto& [inNetwork, inModel] : fed.assembled.elements) {
        const double r = model.elements[inModel].separation;
        if (!(r > 0)) continue;
        Network& network = fed.assembled.network;
        const Node mouth = network.addNode(fmt::format("mouth {}", fed.separation.size() + 1));
        endIn(network.elements[inNetwork], mouth);
        network.sources.push_back({mouth, 1.0, {}, {}});
        fed.separation.push_back(r);
        fed.element.push_back(inModel);
    }
    return fed;
}

Drive driveOf(const Model& model, const Grid& grid, const AssembleOptions& options)
{
    Drive d{Eigen::ArrayXcd::Constant(grid.size(), model.voltage), {}, Eigen::ArrayXd::Zero(grid.size())};
    if (!model.highPass) {
        d.size = Eigen::ArrayXd::Constant(grid.size(), model.voltage);
        return d;
    }
    d.size.resize(grid.size());
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        const FilterAt filter = feedFactor(model, grid.omega[i], options);
        d.factor[i] = filter.H;
        d.size[i] = std::abs(filter.H);
        if (d.size[i] > 0) d.dSize[i] = (std::conj(filter.H) * filter.dH).real() / d.size[i];
    }
    return d;
}

Result<Solution> solveFed(const FedNetwork& fed, const Model& model, const Grid& grid, const Drive& drive,
                          Derivatives derivatives)
{
    if (fed.separation.empty()) return solve(fed.assembled.network, grid, model.air, derivatives);
    auto linear = solveEach(fed.assembled.network, grid, model.air, derivatives);
    if (!linear) return fail(linear.error());
    const auto pressures = mouthPressures(*linear, fed.separation, drive.size, drive.dSize);
    return superposed(std::move(*linear), pressures);
}

FedFlows flowsOf(const Model& model, const Assembled& assembled, const Solution& solution, const Grid& grid)
{
    FedFlows flows;
    const auto& first = std::get<DriverElement>(assembled.network.elements[assembled.drivers.front()]);
    flows.driver = driverFlows(first, solution, grid);
    flows.outside = flows.driver.cone;
    add(flows.outside, flows.driver.cone, model.driverCount - 1.0);
    flows.terminal = solution.node[assembled.terminal.index];
    for (const auto& [inNetwork, inModel] : assembled.elements) {
        const HousingElement& e = model.elements[inModel];
        if (!e.toOutside) continue;
        EndFlows flow = endFlows(assembled.network.elements[inNetwork], solution, grid, model.air);
        add(flows.outside, flow.last);
        const bool waves = std::holds_alternative<PortLine>(e.element);  // the two mouths then differ
        flows.openings.push_back({&e, std::move(flow.last.value), {}});
        if (waves) flows.openings.back().inner = std::move(flow.first.value);
    }
    return flows;
}

Model withoutGivenLosses(Model model)
{
    for (HousingElement& e : model.elements) {
        const bool leaks =
            e.opening >= 0 && !std::holds_alternative<PortOpening>(model.housing.openings[std::size_t(e.opening)].kind);
        if (auto* line = std::get_if<PortLine>(&e.element); line && line->givenLoss) line->givenLoss = 0;
        if (auto* mass = std::get_if<Inertance>(&e.element); mass && !leaks) mass->R = 0;
        if (auto* spring = std::get_if<Compliance>(&e.element)) spring->R = 0;
        if (auto* duct = std::get_if<Duct>(&e.element)) duct->absorption = 0;
    }
    return model;
}

double placeFactor(const Model& model, int causes)
{
    const double angle = int(Cause::space) < causes ? model.solidAngle : 2 * pi;
    const double distance = int(Cause::distance) < causes ? model.distance : 1;
    return model.air.rho / (angle * distance);
}

Result<Superposition> superpositionOf(const Model& model, const Grid& grid)
{
    Superposition s{fedNetworkOf(model), {}, {}};
    auto linear = solveEach(s.network.assembled.network, grid, model.air);
    if (!linear) return fail(linear.error());
    s.linear = std::move(*linear);
    for (const Solution& alone : s.linear.alone)
        s.flows.push_back(flowsOf(model, s.network.assembled, alone, grid));
    return s;
}

Eigen::ArrayXd levelAt(const Model& model, const Superposition& s, const Grid& grid, const Eigen::ArrayXd& drive)
{
    const auto pressures = mouthPressures(s.linear, s.network.separation, drive, Eigen::ArrayXd::Zero(drive.size()));
    Eigen::ArrayXcd outside = s.flows.front().outside.value;
    for (std::size_t m = 0; m < pressures.size(); ++m)
        outside += pressures[m].value * s.flows[m + 1].outside.value;
    const Eigen::ArrayXd pressure = placeFactor(model) * grid.omega * drive * outside.abs2().sqrt();
    return 20 / std::numbers::ln10 * (pressure / referencePressure).log();
}

}  // namespace portwright
