// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/limits.h"

#include "core/network/separation.h"
#include "core/response/fed_network.h"
#include "core/response/search.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr double unlimited = std::numeric_limits<double>::infinity();

// The smallest x >= 0 of x^2 (A + 2 B x + C x^2) = L2, A and C >= 0, L2 > 0; infinite if there is none. Where it does
// not rise throughout, the first crossing lies on the near side of its hump or, if the hump stays below, behind its
// dip.
double firstRise(double A, double B, double C, double L2)
{
    const auto value = [&](double x) { return x * x * (A + x * (2 * B + x * C)); };
    if (!(A > 0 || B > 0 || C > 0)) return unlimited;
    double low = 0, high = 0;
    const double bend = 9 * B * B - 8 * A * C;
    if (B < 0 && bend > 0) {
        const double hump = 2 * A / (-3 * B + std::sqrt(bend));  // the smaller root of A + 3 B x + 2 C x^2
        if (value(hump) >= L2)
            high = hump;
        else
            low = (-3 * B + std::sqrt(bend)) / (4 * C);
    }
    if (high == 0) {
        if (C > 0) high = std::pow(L2 / C, 0.25);
        if (A > 0) high = high > 0 ? std::min(high, std::sqrt(L2 / A)) : std::sqrt(L2 / A);
        if (!(high > low)) high = low > 0 ? 2 * low : std::cbrt(L2 / (2 * B));
        while (value(high) < L2)
            high *= 2;
    }
    double x = high;
    for (int i = 0; i < 100; ++i) {
        const double slope = x * (2 * A + x * (6 * B + x * 4 * C)), excess = value(x) - L2;
        (excess > 0 ? high : low) = x;
        double next = x - excess / slope;
        if (!(next > low && next < high)) next = (low + high) / 2;
        if (std::abs(next - x) <= 1e-13 * x) return next;
        x = next;
    }
    return x;
}

// One frequency of a housing whose ports separate: flows out of the mouths for 1 V, what flows in for 1 Pa at each.
struct Mouths {
    Eigen::VectorXcd own;
    Eigen::MatrixXcd admittance;
    Eigen::VectorXd r;
};

Mouths mouthsAt(const Superposition& s, Eigen::Index f)
{
    const auto n = Eigen::Index(s.network.separation.size());
    Mouths m{Eigen::VectorXcd(n), Eigen::MatrixXcd(n, n), Eigen::VectorXd(n)};
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& into = s.linear.into[std::size_t(i) + 1];
        m.own[i] = into[0].value[f];
        m.r[i] = s.network.separation[std::size_t(i)];
        for (Eigen::Index k = 0; k < n; ++k)
            m.admittance(i, k) = -into[std::size_t(k) + 1].value[f];
    }
    return m;
}

// |q0 D + sum q_j p_j| of a flow that the feed D and the pressures at the mouths drive.
double sizeAt(const Mouths& m, const Eigen::VectorXcd& q, double drive)
{
    const Eigen::VectorXcd U = mouthFlows(m.own, m.admittance, m.r, drive);
    const Eigen::VectorXcd p = (m.r.array() * U.array().abs() * U.array()).matrix();
    return std::abs(q[0] * drive + q.tail(m.r.size()).cwiseProduct(p).sum());
}

// Drive [V] at which a flow reaches `limit` [rms], one mouth. With x = |U| at it, the drive is x |1 + G r x|/|a| and
// the flow x |q0 + (q0 G + q1 a) r x|/|a|.
double driveForOne(Complex a, Complex G, double r, Complex q0, Complex q1, double limit)
{
    if (a == 0.0) return std::abs(q0) > 0 ? limit / std::abs(q0) : unlimited;
    const Complex g = r * (q0 * G + q1 * a);
    const double reached = limit * std::abs(a);
    const double x = firstRise(std::norm(q0), (std::conj(q0) * g).real(), std::norm(g), reached * reached);
    return std::isfinite(x) ? x * std::abs(1.0 + G * r * x) / std::abs(a) : unlimited;
}

// The same for several mouths: upwards in steps of a factor of 2, so that the first crossing is met, then by secants of
// the logarithms, in which the flow is nearly a straight line.
double driveForSeveral(const Mouths& m, const Eigen::VectorXcd& q, double limit)
{
    const auto above = [&](double drive) { return std::log(sizeAt(m, q, drive) / limit); };
    const double alone = std::abs(q[0]) > 0 ? limit / std::abs(q[0]) : 1;
    double low = alone / 4, atLow = above(low);
    for (int i = 0; atLow > 0 && i < 60; ++i)
        atLow = above(low /= 16);
    double high = 2 * low, atHigh = above(high);
    for (int i = 0; !(atHigh > 0) && i < 60; ++i) {
        low = high, atLow = atHigh;
        atHigh = above(high *= 2);
    }
    if (!(atHigh > 0)) return unlimited;
    for (int i = 0; i < 100 && high / low - 1 > 1e-14; ++i) {
        const double share = std::isfinite(atLow) ? atLow / (atLow - atHigh) : 0.5;
        // every third step halves, so that neither end lags behind
        const double middle = low * std::pow(high / low, i % 3 == 2 ? 0.5 : share);
        const double at = above(middle);
        if (std::abs(at) < 1e-14) return middle;
        (at > 0 ? high : low) = middle;
        (at > 0 ? atHigh : atLow) = at;
    }
    return std::sqrt(low * high);
}

// Drive at which a flow reaches its limit [rms, over the grid]; `flow` picks it from FedFlows.
template <class Pick> Eigen::ArrayXd driveFor(const Superposition& s, const Pick& flow, const Eigen::ArrayXd& limit)
{
    Eigen::ArrayXd drive(limit.size());
    const auto mouths = Eigen::Index(s.network.separation.size());
    for (Eigen::Index f = 0; f < limit.size(); ++f) {
        if (mouths == 1) {
            const auto& into = s.linear.into[1];
            drive[f] = driveForOne(into[0].value[f], -into[1].value[f], s.network.separation[0], flow(s.flows[0])[f],
                                   flow(s.flows[1])[f], limit[f]);
            continue;
        }
        Eigen::VectorXcd q(mouths + 1);
        for (Eigen::Index k = 0; k <= mouths; ++k)
            q[k] = flow(s.flows[std::size_t(k)])[f];
        drive[f] = driveForSeveral(mouthsAt(s, f), q, limit[f]);
    }
    return drive;
}

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
        return driveFor(*beyond, flow, limit) / filter;
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
        const Eigen::ArrayXd voltage = voltageFor(outer, flow);
        if (inner(beyond->flows.front()).size() == 0) return voltage;
        return voltage.min(voltageFor(inner, flow));
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
