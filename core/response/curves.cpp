// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/curves.h"

#include "core/response/fed_network.h"

#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr double degrees = 180 / pi;
constexpr double peakOfRms = std::numbers::sqrt2;

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
Eigen::ArrayXcd groupImpedance(const Model& model, const FedFlows& flows)
{
    const double together = model.wiring == Wiring::parallel ? model.driverCount : 1;
    const Eigen::ArrayXcd& i = flows.driver.current.value;
    return flows.terminal * i.conjugate() * (together * i.abs2()).inverse();
}

// Where waves travel in a port its two mouths differ: what its air does is told of the faster one.
Eigen::ArrayXd fasterOf(const FedFlows::Through& through)
{
    if (through.inner.size() == 0) return magnitude(through.outer);
    return through.outer.abs2().max(through.inner.abs2()).sqrt();
}

void takeOpenings(Curves& curves, const FedFlows& flows, const Grid& grid, const Eigen::ArrayXd& drive)
{
    for (const FedFlows::Through& through : flows.openings) {
        const HousingElement& e = *through.element;
        if (std::holds_alternative<Diaphragm>(e.element))
            curves.passiveTravel.push_back(peakOfRms * drive * magnitude(through.outer) /
                                           (grid.omega * e.sectionOfOne));
        else if (e.sectionOfOne > 0) {
            curves.portOpening.push_back(e.opening);
            curves.portAir.push_back(peakOfRms / (e.sectionOfOne * e.count) * drive * fasterOf(through));
        }
    }
}

Result<Curves> curvesOfBlock(const Model& model, const FedNetwork& fed, const Grid& grid)
{
    const Drive drive = driveOf(model, grid);
    const auto solution = solveFed(fed, model, grid, drive, Derivatives::yes);
    if (!solution) return fail(solution.error());
    const FedFlows flows = flowsOf(model, fed.assembled, *solution, grid);
    const Driver& d = model.driver.driver;
    const Eigen::ArrayXcd pressure =
        Complex(0, placeFactor(model, causeCount)) * grid.omega * flows.outside.value * drive.factor;

    Curves curves;
    curves.frequency = grid.frequency;
    curves.level = 10 / std::numbers::ln10 * (pressure.abs2() / (referencePressure * referencePressure)).log();
    curves.phase = argument(pressure);
    curves.groupDelay = groupDelayOf(model, grid, flows.outside);
    const Eigen::ArrayXcd Z = groupImpedance(model, flows);
    curves.impedance = magnitude(Z);
    curves.impedancePhase = argument(Z);
    curves.coneTravel = peakOfRms / d.Sd * drive.size * magnitude(flows.driver.cone.value) / grid.omega;
    curves.power = d.Re * model.driverCount * drive.size.square() * flows.driver.current.value.abs2();
    takeOpenings(curves, flows, grid, drive.size);
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
    const FedNetwork fed = fedNetworkOf(model);
    Curves all;
    for (Eigen::Index at = 0; at < grid.size(); at += blockSize) {
        const Eigen::Index n = std::min(blockSize, grid.size() - at);
        const auto block = curvesOfBlock(model, fed, {grid.frequency.segment(at, n), grid.omega.segment(at, n)});
        if (!block) return fail(block.error());
        place(all, *block, at, grid.size());
    }
    return all;
}

Result<Eigen::ArrayXd> impedanceOf(const Model& model, const Grid& grid, Load load)
{
    const Assembled assembled = assemble(model);
    const auto solution = solve(assembled.network, grid, model.air);
    if (!solution) return fail(solution.error());
    Eigen::ArrayXcd Z = groupImpedance(model, flowsOf(model, assembled, *solution, grid));
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
    const FedNetwork fed = fedNetworkOf(model, options);
    const Drive drive = driveOf(model, grid, options);
    const auto solution = solveFed(fed, model, grid, drive, Derivatives::no);
    if (!solution) return fail(solution.error());
    const FedFlows flows = flowsOf(model, fed.assembled, *solution, grid);
    const Complex place(0, placeFactor(model, options.causes));
    return Eigen::ArrayXcd(place * grid.omega * flows.outside.value * drive.factor);
}

}  // namespace portwright
