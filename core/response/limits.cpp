// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/limits.h"

#include "core/response/reached_drive.h"
#include "core/response/rises.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace portwright {

namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

// How a quantity follows the feed: in proportion, known from the curves, or with ports that separate.
struct Reach {
    const Model& model;
    const Curves& curves;
    Grid grid;
    Eigen::ArrayXd filter;                // |high-pass|
    std::optional<Superposition> beyond;  // absent: all is in proportion

    Eigen::ArrayXd proportional(const Eigen::ArrayXd& value, double limit) const
    {
        return (value > 0).select(limit * model.voltage / value, Eigen::ArrayXd::Constant(value.size(), unlimited));
    }
    template <class Pick> Eigen::ArrayXd voltageFor(const Pick& flow, const Eigen::ArrayXd& limit) const
    {
        std::vector<const Eigen::ArrayXcd*> flows;
        flows.reserve(beyond->flows.size());
        for (const FedFlows& f : beyond->flows)
            flows.push_back(&flow(f));
        return reachedDrive(*beyond, flows, limit) / filter;
    }

    Eigen::ArrayXd travel(double limit) const
    {
        if (!beyond) return proportional(curves.coneTravel, limit);
        const auto cone = [](const FedFlows& f) -> const Eigen::ArrayXcd& { return f.driver.cone.value; };
        return voltageFor(cone, limit * model.driver.driver.Sd / std::numbers::sqrt2 * grid.omega);
    }
    Eigen::ArrayXd power(double limit) const
    {
        if (!beyond) return proportional((curves.power / model.driverCount).sqrt(), std::sqrt(limit));
        const auto current = [](const FedFlows& f) -> const Eigen::ArrayXcd& { return f.driver.current.value; };
        return voltageFor(current, Eigen::ArrayXd::Constant(grid.size(), std::sqrt(limit / model.driver.driver.Re)));
    }
    Eigen::ArrayXd air(std::size_t port, double limit) const
    {
        if (!beyond) return proportional(curves.portAir[port], limit);
        const std::size_t at = placeOf(curves.portOpening[port]);
        const HousingElement& e = *beyond->flows.front().openings[at].element;
        const Eigen::ArrayXd flow =
            Eigen::ArrayXd::Constant(grid.size(), limit * e.sectionOfOne * e.count / std::numbers::sqrt2);
        const auto outer = [at](const FedFlows& f) -> const Eigen::ArrayXcd& { return f.openings[at].outer; };
        const auto inner = [at](const FedFlows& f) -> const Eigen::ArrayXcd& { return f.openings[at].inner; };
        Eigen::ArrayXd voltage = voltageFor(outer, flow);
        if (inner(beyond->flows.front()).size() > 0) voltage = voltage.min(voltageFor(inner, flow)).eval();
        return voltage;
    }
    std::size_t placeOf(int opening) const
    {
        const auto& all = beyond->flows.front().openings;
        const auto it =
            std::find_if(all.begin(), all.end(), [&](const auto& o) { return o.element->opening == opening; });
        return std::size_t(it - all.begin());
    }

    Eigen::ArrayXd level(const Eigen::ArrayXd& voltage) const
    {
        const auto some = voltage.isFinite();
        const Eigen::ArrayXd finite = some.select(voltage, 1.0);
        const Eigen::ArrayXd there =
            beyond ? levelAt(model, *beyond, grid, finite * filter)
                   : Eigen::ArrayXd(curves.level + 20 / std::numbers::ln10 * (finite / model.voltage).log());
        return some.select(there, unlimited);
    }
};

bool separates(const Model& model)
{
    return std::any_of(model.elements.begin(), model.elements.end(),
                       [](const HousingElement& e) { return e.separation > 0; });
}

// `model` fed by more than 0 V, `curves` its own. Curves exist, so its network can be solved.
Reach reachOf(const Model& model, const Curves& curves)
{
    Reach reach{model, curves, gridOf(curves.frequency), {}, {}};
    reach.filter = driveOf(model, reach.grid).size / model.voltage;
    if (separates(model))
        if (auto s = superpositionOf(model, reach.grid)) reach.beyond = std::move(*s);
    return reach;
}

// Calls `ask` with a reach of the model; one fed by 0 V, which shows nothing to scale, is fed by 1 V instead.
template <class Ask> auto asked(const Model& model, const Curves& curves, const Ask& ask)
{
    if (model.voltage > 0) return ask(reachOf(model, curves));
    Model unit = model;
    unit.voltage = 1;
    const auto unitCurves = curvesOf(unit, gridOf(curves.frequency));
    return ask(reachOf(unit, unitCurves ? *unitCurves : curves));
}

LimitCurves limitsOf(const Reach& reach)
{
    const Model& model = reach.model;
    const Eigen::Index n = reach.grid.size();
    LimitCurves l;
    const Eigen::ArrayXd none = Eigen::ArrayXd::Constant(n, unlimited);
    l.coneVoltage = model.driver.Xmax ? reach.travel(*model.driver.Xmax) : none;
    l.powerVoltage = model.driver.power ? reach.power(*model.driver.power) : none;
    l.portVoltage = none;
    for (std::size_t port = 0; port < reach.curves.portAir.size(); ++port)
        l.portVoltage = l.portVoltage.min(reach.air(port, model.portAirLimit));
    l.amplifierVoltage = model.amplifierLimit ? Eigen::ArrayXd(*model.amplifierLimit / reach.filter) : none;

    Eigen::ArrayXd lowest = none;
    l.limit.assign(std::size_t(n), LimitKind::none);
    const auto consider = [&](const Eigen::ArrayXd& voltage, LimitKind kind) {
        for (Eigen::Index i = 0; i < n; ++i) {
            if (voltage[i] >= lowest[i]) continue;
            lowest[i] = voltage[i];
            l.limit[std::size_t(i)] = kind;
        }
    };
    consider(l.coneVoltage, LimitKind::cone);
    consider(l.portVoltage, LimitKind::portAir);
    consider(l.powerVoltage, LimitKind::power);
    consider(l.amplifierVoltage, LimitKind::amplifier);
    l.loudest = reach.level(lowest);
    return l;
}

}  // namespace

std::string nameOf(LimitKind kind)
{
    switch (kind) {
    case LimitKind::cone:
        return "cone";
    case LimitKind::power:
        return "power";
    case LimitKind::portAir:
        return "port air";
    case LimitKind::amplifier:
        return "amplifier";
    case LimitKind::none:
        break;
    }
    return "none";
}

LimitCurves limitsOf(const Model& model, const Curves& curves)
{
    return asked(model, curves, [](const Reach& reach) { return limitsOf(reach); });
}

Eigen::ArrayXd voltageForTravel(const Model& model, const Curves& curves, double travel)
{
    return asked(model, curves, [&](const Reach& reach) { return reach.travel(travel); });
}

Eigen::ArrayXd voltageForPower(const Model& model, const Curves& curves, double power)
{
    return asked(model, curves, [&](const Reach& reach) { return reach.power(power); });
}

Eigen::ArrayXd voltageForAir(const Model& model, const Curves& curves, std::size_t port, double speed)
{
    return asked(model, curves, [&](const Reach& reach) { return reach.air(port, speed); });
}

std::optional<double> lowestHighPassCorner(const Model& original, int order)
{
    if (!original.driver.Xmax || original.voltage <= 0) return std::nullopt;
    Model model = original;
    model.highPass.reset();
    const auto curves = curvesOf(model, logGrid(20, 2000, 400));
    if (!curves) return std::nullopt;
    // V/sqrt(1 + (fc/f)^2n) <= the voltage that reaches Xmax (Butterworth), solved for fc at each frequency; the
    // largest is the lowest that serves all.
    const auto wanted = [&](const Curves& c) {
        const Eigen::ArrayXd over = model.voltage / voltageForTravel(model, c, *model.driver.Xmax);
        return Eigen::ArrayXd(c.frequency * (over.square() - 1).max(0.0).pow(0.5 / order));
    };
    const Grid grid = gridOf(curves->frequency);
    Eigen::Index at = 0;
    double corner = wanted(*curves).maxCoeff(&at);
    if (corner > 0) {  // the peak lies between points: narrow it
        const auto fine = [&](const Grid& g) {
            const auto c = curvesOf(model, g);
            return c ? wanted(*c) : Eigen::ArrayXd::Zero(g.size());
        };
        const double from = grid.frequency[std::max<Eigen::Index>(at - 1, 0)];
        const double to = grid.frequency[std::min<Eigen::Index>(at + 1, grid.size() - 1)];
        corner = std::max(corner, largestWithin(fine, from, to).value);
    }
    constexpr double highest = 1000;
    if (corner <= 0 || corner > highest) return std::nullopt;
    return corner;
}

}  // namespace portwright
