// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/curves.h"

#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr double degrees = 180 / pi;
constexpr double peakOfRms = std::numbers::sqrt2;

// The solved network with the flows that every curve comes from; for 1 V at the source.
struct Solved {
    Assembled assembled;
    Solution solution;
    Flow outside;        // sum of all volume velocities that reach the outside
    DriverFlows driver;  // of one driver; all are alike
    std::vector<std::pair<const HousingElement*, Eigen::ArrayXcd>> openings;  // flows through each, at its faster end
};

void add(Flow& sum, const Flow& part, double factor = 1)
{
    sum.value += factor * part.value;
    if (sum.derivative.size() > 0) sum.derivative += factor * part.derivative;
}

Result<Solved> solveModel(const Model& model, const Grid& grid, const AssembleOptions& options, Derivatives derivatives)
{
    Solved s;
    s.assembled = assemble(model, options);
    auto solution = solve(s.assembled.network, grid, model.air, derivatives);
    if (!solution) return tl::unexpected(solution.error());
    s.solution = std::move(*solution);
    const auto& first = std::get<DriverElement>(s.assembled.network.elements[s.assembled.drivers.front()]);
    s.driver = driverFlows(first, s.solution, grid);
    s.outside = s.driver.cone;
    add(s.outside, s.driver.cone, model.driverCount - 1.0);
    for (const auto& [inNetwork, inModel] : s.assembled.elements) {
        const HousingElement& e = model.elements[inModel];
        if (!e.toOutside) continue;
        EndFlows flow = endFlows(s.assembled.network.elements[inNetwork], s.solution, grid, model.air);
        add(s.outside, flow.last);
        // Where waves travel in a port its two mouths differ: what its air does is told of the faster one.
        if (std::holds_alternative<PortLine>(e.element))
            flow.last.value =
                (flow.first.value.abs2() > flow.last.value.abs2()).select(flow.first.value, flow.last.value).eval();
        s.openings.emplace_back(&e, std::move(flow.last.value));
    }
    return s;
}

// |feed factor| in volts, and for the phase the factor itself.
Eigen::ArrayXcd feedOver(const Model& model, const Grid& grid, const AssembleOptions& options)
{
    if (!model.highPass) return Eigen::ArrayXcd::Constant(grid.size(), model.voltage);
    Eigen::ArrayXcd factor(grid.size());
    for (Eigen::Index i = 0; i < grid.size(); ++i)
        factor[i] = feedFactor(model, grid.omega[i], options).H;
    return factor;
}

// rho/(Omega r), with the causes of place only when they are in.
double placeFactor(const Model& model, int causes)
{
    const double angle = int(Cause::space) < causes ? model.solidAngle : 2 * pi;
    const double distance = int(Cause::distance) < causes ? model.distance : 1;
    return model.air.rho / (angle * distance);
}

// |z| without the overflow guard of hypot, which no pressure or flow here needs and which does not vectorise.
Eigen::ArrayXd magnitude(const Eigen::ArrayXcd& z) { return z.abs2().sqrt(); }

// arg of a complex band in degrees, (-180, 180].
Eigen::ArrayXd argument(const Eigen::ArrayXcd& z)
{
    Eigen::ArrayXd phase(z.size());
    for (Eigen::Index i = 0; i < z.size(); ++i) {
        const double a = std::atan2(z[i].imag(), z[i].real()) * degrees;
        phase[i] = a <= -180 ? 180 : a;
    }
    return phase;
}

// -d arg(j w U H)/dw: that of U from its exact derivative, that of the filter added; j w turns nothing.
Eigen::ArrayXd groupDelayOf(const Model& model, const Grid& grid, const Flow& U)
{
    const Eigen::ArrayXcd slope = U.derivative * U.value.conjugate();
    Eigen::ArrayXd delay = -slope.imag() / U.value.abs2();
    if (model.highPass)
        for (Eigen::Index i = 0; i < grid.size(); ++i) {
            const FilterAt filter = highPassAt(*model.highPass, grid.omega[i]);
            delay[i] -= (filter.dH / filter.H).imag();
        }
    return delay;
}

// Of the wired group: terminal voltage over the current of all parallel branches.
Eigen::ArrayXcd groupImpedance(const Model& model, const Solved& s)
{
    const double together = model.wiring == Wiring::parallel ? model.driverCount : 1;
    const Eigen::ArrayXcd& i = s.driver.current.value;
    return s.solution.node[s.assembled.terminal.index] * i.conjugate() * (together * i.abs2()).inverse();
}

void takeOpenings(Curves& curves, const Solved& s, const Grid& grid, const Eigen::ArrayXd& drive)
{
    for (const auto& [element, flow] : s.openings) {
        if (std::holds_alternative<Diaphragm>(element->element))
            curves.passiveTravel.push_back(peakOfRms * drive * magnitude(flow) / (grid.omega * element->sectionOfOne));
        else if (element->sectionOfOne > 0) {
            curves.portOpening.push_back(element->opening);
            curves.portAir.push_back(peakOfRms / (element->sectionOfOne * element->count) * drive * magnitude(flow));
        }
    }
}

Result<Curves> curvesOfBlock(const Model& model, const Grid& grid)
{
    const auto solved = solveModel(model, grid, {}, Derivatives::yes);
    if (!solved) return tl::unexpected(solved.error());
    const Driver& d = model.driver.driver;
    const Eigen::ArrayXcd factor = feedOver(model, grid, {});
    const Eigen::ArrayXd drive = magnitude(factor);
    const Eigen::ArrayXcd pressure =
        Complex(0, placeFactor(model, causeCount)) * grid.omega * solved->outside.value * factor;

    Curves curves;
    curves.frequency = grid.frequency;
    curves.level = 10 / std::numbers::ln10 * (pressure.abs2() / (referencePressure * referencePressure)).log();
    curves.phase = argument(pressure);
    curves.groupDelay = groupDelayOf(model, grid, solved->outside);
    const Eigen::ArrayXcd Z = groupImpedance(model, *solved);
    curves.impedance = magnitude(Z);
    curves.impedancePhase = argument(Z);
    curves.coneTravel = peakOfRms / d.Sd * drive * magnitude(solved->driver.cone.value) / grid.omega;
    curves.power = d.Re * model.driverCount * drive.square() * solved->driver.current.value.abs2();
    takeOpenings(curves, *solved, grid, drive);
    return curves;
}

// Appends a block's curves behind those already taken, at place `at` of `points`.
void place(Curves& all, const Curves& block, Eigen::Index at, Eigen::Index points)
{
    const auto put = [&](Eigen::ArrayXd& to, const Eigen::ArrayXd& from) {
        if (to.size() != points) to.resize(points);
        to.segment(at, from.size()) = from;
    };
    put(all.frequency, block.frequency);
    put(all.level, block.level);
    put(all.phase, block.phase);
    put(all.groupDelay, block.groupDelay);
    put(all.impedance, block.impedance);
    put(all.impedancePhase, block.impedancePhase);
    put(all.coneTravel, block.coneTravel);
    put(all.power, block.power);
    all.portOpening = block.portOpening;
    all.portAir.resize(block.portAir.size());
    all.passiveTravel.resize(block.passiveTravel.size());
    for (std::size_t i = 0; i < block.portAir.size(); ++i)
        put(all.portAir[i], block.portAir[i]);
    for (std::size_t i = 0; i < block.passiveTravel.size(); ++i)
        put(all.passiveTravel[i], block.passiveTravel[i]);
}

}  // namespace

Result<Curves> curvesOf(const Model& model, const Grid& grid)
{
    constexpr Eigen::Index blockSize = 100;  // a block's arrays stay in the first cache
    Curves all;
    for (Eigen::Index at = 0; at < grid.size(); at += blockSize) {
        const Eigen::Index n = std::min(blockSize, grid.size() - at);
        const auto block = curvesOfBlock(model, {grid.frequency.segment(at, n), grid.omega.segment(at, n)});
        if (!block) return tl::unexpected(block.error());
        place(all, *block, at, grid.size());
    }
    return all;
}

Result<Eigen::ArrayXd> impedanceOf(const Model& model, const Grid& grid, Load load)
{
    const auto solved = solveModel(model, grid, {}, Derivatives::no);
    if (!solved) return tl::unexpected(solved.error());
    Eigen::ArrayXcd Z = groupImpedance(model, *solved);
    if (load == Load::withSeriesParts)
        for (const SeriesElement& part : model.seriesParts) {
            Z.real() += part.R;
            Z.imag() += grid.omega * part.L;
            if (part.C > 0) Z.imag() -= (grid.omega * part.C).inverse();
        }
    return magnitude(Z);
}

Result<Eigen::ArrayXcd> pressureOf(const Model& model, const Grid& grid, const AssembleOptions& options)
{
    const auto solved = solveModel(model, grid, options, Derivatives::no);
    if (!solved) return tl::unexpected(solved.error());
    const Complex place(0, placeFactor(model, options.causes));
    return Eigen::ArrayXcd(place * grid.omega * solved->outside.value * feedOver(model, grid, options));
}

}  // namespace portwright
