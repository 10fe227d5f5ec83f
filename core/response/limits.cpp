// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/limits.h"

#include "core/response/search.h"

#include <cmath>
#include <limits>

namespace portwright {

namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

// limit / (value per volt); infinite where the value is zero.
Eigen::ArrayXd voltageAt(double limit, const Eigen::ArrayXd& value, double voltage)
{
    return (value > 0).select(limit * voltage / value, Eigen::ArrayXd::Constant(value.size(), unlimited));
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
    const Eigen::Index n = curves.frequency.size();
    if (model.voltage <= 0) {  // nothing to scale: reckon with 1 V instead
        Model unit = model;
        unit.voltage = 1;
        if (const auto unitCurves = curvesOf(unit, gridOf(curves.frequency))) return limitsOf(unit, *unitCurves);
    }
    LimitCurves l;
    const Eigen::ArrayXd none = Eigen::ArrayXd::Constant(n, unlimited);
    l.coneVoltage = model.driver.Xmax ? voltageAt(*model.driver.Xmax, curves.coneTravel, model.voltage) : none;
    l.powerVoltage =
        model.driver.power
            ? model.voltage * (voltageAt(*model.driver.power, curves.power / model.driverCount, 1.0)).sqrt().eval()
            : none;
    l.portVoltage = none;
    for (const Eigen::ArrayXd& air : curves.portAir)
        l.portVoltage = l.portVoltage.min(voltageAt(model.portAirLimit, air, model.voltage));
    l.amplifierVoltage = none;
    if (model.amplifierLimit)
        for (Eigen::Index i = 0; i < n; ++i)
            l.amplifierVoltage[i] =
                *model.amplifierLimit * model.voltage / std::abs(feedFactor(model, 2 * pi * curves.frequency[i]).H);

    l.loudest.resize(n);
    l.limit.resize(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        double lowest = unlimited;
        LimitKind kind = LimitKind::none;
        const auto consider = [&](double voltage, LimitKind k) {
            if (voltage >= lowest) return;
            lowest = voltage;
            kind = k;
        };
        consider(l.coneVoltage[i], LimitKind::cone);
        consider(l.portVoltage[i], LimitKind::portAir);
        consider(l.powerVoltage[i], LimitKind::power);
        consider(l.amplifierVoltage[i], LimitKind::amplifier);
        l.loudest[i] = curves.level[i] + 20 * std::log10(lowest / model.voltage);
        l.limit[i] = kind;
    }
    return l;
}

std::optional<double> lowestHighPassCorner(const Model& original, int order)
{
    if (!original.driver.Xmax || original.voltage <= 0) return std::nullopt;
    Model model = original;
    model.highPass.reset();
    const auto curves = curvesOf(model, logGrid(20, 2000, 400));
    if (!curves) return std::nullopt;
    // x/sqrt(1 + (fc/f)^2n) <= Xmax (Butterworth) solved for fc at each frequency; the largest is the lowest that
    // serves all.
    const auto wanted = [&](const Grid& grid, const Eigen::ArrayXd& travel) {
        const Eigen::ArrayXd excess = (travel / *model.driver.Xmax).square() - 1;
        return Eigen::ArrayXd(grid.frequency * excess.max(0.0).pow(0.5 / order));
    };
    const Grid grid = gridOf(curves->frequency);
    Eigen::Index at = 0;
    double corner = wanted(grid, curves->coneTravel).maxCoeff(&at);
    if (corner > 0) {  // the peak lies between points: narrow it
        const auto fine = [&](const Grid& g) {
            const auto c = curvesOf(model, g);
            return c ? wanted(g, c->coneTravel) : Eigen::ArrayXd::Zero(g.size());
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
