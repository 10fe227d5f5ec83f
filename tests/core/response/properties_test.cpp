// SPDX-License-Identifier: GPL-3.0-or-later
// Laws of the linear network over random housings: power balance, conservation of volume, slopes, limits, scaling.
#include "core/response/curves.h"
#include "core/response/summary.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

using Complex = std::complex<double>;

Grid one(double f) { return gridOf(Eigen::ArrayXd::Constant(1, f)); }

double level(const Model& m, double f) { return curvesOf(m, one(f))->level[0]; }

Opening classicalPort(double diameter, double length, double lossQ)
{
    PortOpening p;
    p.diameter = diameter, p.length = length, p.classical = true, p.lossQ = lossQ;
    return {p, {}, {}};
}

// What an acoustic element turns into heat [W]: |U|^2 Re Z.
double heatIn(const Element& element, const Solution& s, const Grid& grid, const Air& air)
{
    return std::visit(
        [&](const auto& e) -> double {
            if constexpr (std::is_same_v<std::decay_t<decltype(e)>, DriverElement>) {
                return 0;
            } else if constexpr (std::is_same_v<std::decay_t<decltype(e)>, Duct> ||
                                 std::is_same_v<std::decay_t<decltype(e)>, PortLine>) {
                const EndFlows f = endFlows(e, s, grid, air);
                const auto power = [&](Node n, Complex U) {
                    return n.index < 0 ? 0.0 : (s.node[n.index][0] * std::conj(U)).real();
                };
                return power(e.from, f.first.value[0]) - power(e.to, f.last.value[0]);
            } else {
                const double U2 = std::norm(flowThrough(e, s, grid, air).value[0]);
                if constexpr (std::is_same_v<std::decay_t<decltype(e)>, Tube>)
                    return U2 * impedanceAt(e, grid.omega[0], air).Z.real();
                else
                    return U2 * e.R;
            }
        },
        element);
}

/// Any housing at any feed, solved at one frequency.
struct AnySolved {
    Model m = modelFrom(referenceAir(), completed(arbitraryDriver()),
                        arbitraryHousing({.computedLosses = coin(), .shaped = coin()}), arbitraryFeed(), Place{});
    Assembled a = assemble(m);
    Grid grid = one(logUniform(10, 2000));
    Result<Solution> s = solve(a.network, grid, m.air);
};

}  // namespace

TEST_CASE("the power that goes in is the heat that comes out, and no housing gives power back")
{
    rc::prop("any housing, any feed", [] {
        const AnySolved any;
        const auto& [m, a, grid, s] = any;
        RC_ASSERT(s.has_value());
        double heat = 0;
        Complex in = 0;
        for (const Element& element : a.network.elements) {
            const auto* d = std::get_if<DriverElement>(&element);
            if (!d) {
                heat += heatIn(element, *s, grid, m.air);
                continue;
            }
            const DriverFlows f = driverFlows(*d, *s, grid);
            const double i2 = std::norm(f.current.value[0]), v2 = std::norm(f.cone.value[0] / d->driver.Sd);
            heat +=
                i2 * (d->driver.Re + impedanceAt(d->driver.inductance, grid.omega[0]).Z.real()) + v2 * d->driver.Rms;
            const auto V = [&](Node n) { return n.index < 0 ? Complex(0) : s->node[n.index][0]; };
            RC_ASSERT(((V(d->plus) - V(d->minus)) * std::conj(f.current.value[0])).real() >=
                      i2 * d->driver.Re * (1 - 1e-9));
            if (d->plus == a.terminal) in += s->node[a.terminal.index][0] * std::conj(f.current.value[0]);
        }
        for (const Element& element : a.network.elements)  // what the chain before the terminal took is not the group's
            if (const auto* part = std::get_if<SeriesElement>(&element)) heat -= heatIn(*part, *s, grid, m.air);
        RC_ASSERT(std::abs(in.real() / heat - 1) < 1e-8);
    });
}

TEST_CASE("what the cones push in, openings and springs take up, at every node")
{
    rc::prop("any housing", [] {
        const AnySolved any;
        const auto& [m, a, grid, s] = any;
        RC_ASSERT(s.has_value());
        std::vector<Complex> sum(a.network.nodes.size());
        std::vector<double> size(a.network.nodes.size());
        const auto leave = [&](Node n, Complex flow) {
            if (n.index < 0) return;
            sum[n.index] += flow;
            size[n.index] += std::abs(flow);
        };
        for (const Element& element : a.network.elements) {
            if (const auto* d = std::get_if<DriverElement>(&element)) {
                const DriverFlows f = driverFlows(*d, *s, grid);
                leave(d->rear, f.cone.value[0]);
                leave(d->plus, f.current.value[0]);
                leave(d->minus, -f.current.value[0]);
                continue;
            }
            std::visit(
                [&](const auto& e) {
                    if constexpr (!std::is_same_v<std::decay_t<decltype(e)>, DriverElement>) {
                        const EndFlows flow = endFlows(e, *s, grid, m.air);
                        if constexpr (requires { e.from; }) {
                            leave(e.from, flow.first.value[0]);
                            leave(e.to, -flow.last.value[0]);
                        } else
                            leave(e.node, flow.first.value[0]);
                    }
                },
                element);
        }
        for (std::size_t i = 0; i < sum.size(); ++i)
            if (int(i) != a.network.sources[0].node.index) RC_ASSERT(std::abs(sum[i]) <= 1e-9 * size[i]);
    });
}

TEST_CASE("far below resonance each kind of housing falls at its own slope")  // octave at 0.01 Hz, computed in Python
{
    const auto octave = [](const Housing& h) {
        const Model m = modelOfReference(h);
        return level(m, 0.02) - level(m, 0.01);
    };
    Housing closed = closedHousing(8e-3);
    CHECK(octave(closed) == Approx(12.041).margin(2e-3));
    Housing leaky = closed;
    leaky.openings.push_back({LeakByQ{7}, {}, {}});
    CHECK(octave(leaky) == Approx(18.062).margin(2e-3));
    Housing lossyPort = closedHousing(14e-3);
    lossyPort.openings.push_back(classicalPort(0.06, 0.198, 50));
    CHECK(octave(lossyPort) == Approx(18.063).margin(3e-3));
    Housing port = closedHousing(14e-3);
    port.openings.push_back(classicalPort(0.06, 0.198, 1e9));
    CHECK(octave(port) == Approx(24.082).margin(3e-3));
    Housing passive = closedHousing(12e-3);
    passive.openings.push_back({PassiveRadiator{0.0133, 0.060, 0.8e-3, 1.0}, {}, {}});
    CHECK(octave(passive) == Approx(12.041).margin(2e-3));
}

TEST_CASE("a port too heavy to move is a closed housing, and so is a passive radiator")
{
    const Model closed = modelOfReference(closedHousing(8e-3));
    Housing heavyPort = closedHousing(8e-3);
    heavyPort.openings.push_back(classicalPort(0.003, 3, 1e3));
    Housing heavyRadiator = closedHousing(8e-3);
    heavyRadiator.openings.push_back({PassiveRadiator{0.0133, 1e6, 1e-3, 1}, {}, {}});
    for (double f : {30.0, 80.0, 300.0}) {
        CHECK(level(modelOfReference(heavyPort), f) == Approx(level(closed, f)).margin(0.02));
        CHECK(level(modelOfReference(heavyRadiator), f) == Approx(level(closed, f)).margin(1e-4));
    }
}

TEST_CASE("a limp passive radiator without loss is a port of its mass")
{
    rc::prop("any mass", [] {
        const double Mmp = logUniform(10e-3, 200e-3), f = logUniform(20, 500), S = 0.0133;
        Housing limp = closedHousing(12e-3), tube = closedHousing(12e-3);
        limp.openings.push_back({PassiveRadiator{S, Mmp, 1e6, 0}, {}, {}});
        PortOpening p;
        p.diameter = 0.02, p.classical = true, p.lossQ = 1e12;
        p.length = Mmp / (S * S) * areaOf(p) / 1.2 - (0.6133 + 0.8217) * radiusOf(p);
        tube.openings.push_back({p, {}, {}});
        RC_ASSERT(std::abs(level(modelOfReference(limp), f) - level(modelOfReference(tube), f)) < 1e-5);
    });
}

TEST_CASE("n drivers in n times the volume move as one driver in one volume")
{
    rc::prop("any driver, closed or ported with classical elements kept", [] {
        const CompleteDriver d = completed(arbitraryDriver());
        const int n = *rc::gen::inRange(2, 9);
        const double V = logUniform(1e-3, 30e-3), f = logUniform(10, 2000);
        Housing single = closedHousing(V), several = closedHousing(n * V);
        several.driverCount = n;
        Feed feed, seriesFeed;
        seriesFeed.voltage = 2.83 * n;
        const auto x = [&](const Housing& h, const Feed& fd) {
            return *curvesOf(modelFrom(roundAir(), d, h, fd, Place{}), one(f));
        };
        const Curves a = x(single, feed), b = x(several, feed);
        several.wiring = Wiring::series;
        const Curves c = x(several, seriesFeed);
        RC_ASSERT(std::abs(a.coneTravel[0] / b.coneTravel[0] - 1) < 1e-9);
        RC_ASSERT(std::abs(a.coneTravel[0] / c.coneTravel[0] - 1) < 1e-9);
        RC_ASSERT(std::abs(a.impedance[0] / (n * b.impedance[0]) - 1) < 1e-9);
        RC_ASSERT(std::abs(n * a.impedance[0] / c.impedance[0] - 1) < 1e-9);
        RC_ASSERT(std::abs(b.level[0] - a.level[0] - 20 * std::log10(n)) < 1e-8);
    });
}

TEST_CASE("two equal ports are one port of twice the area with the same effective length")
{
    Housing two = closedHousing(14e-3);
    std::get<PortOpening>(two.openings.emplace_back(classicalPort(0.05, 0.15, 60)).kind).count = 2;
    Housing pair = closedHousing(14e-3);
    pair.openings.push_back(classicalPort(0.05, 0.15, 60));
    pair.openings.push_back(classicalPort(0.05, 0.15, 60));
    for (double f : {20.0, 50.0, 60.0, 200.0}) {
        CHECK(level(modelOfReference(two), f) == Approx(level(modelOfReference(pair), f)).margin(1e-9));
        CHECK(curvesOf(modelOfReference(two), one(f))->portAir[0][0] ==
              Approx(curvesOf(modelOfReference(pair), one(f))->portAir[1][0]).epsilon(1e-9));
    }
}

TEST_CASE("driver and volume scaled together keep the shape of every curve")
{
    rc::prop("Vas and Vb times k, fs and Qts kept", [] {
        const Driver d = arbitraryDriver();
        const double k = logUniform(0.2, 5), V = logUniform(1e-3, 30e-3), f = logUniform(20, 1000);
        Driver scaled = d;  // Sd sqrt(k): Vas times k at the same Cms
        scaled.Sd *= std::sqrt(k);
        const auto drop = [&](const Driver& x, double volume) {
            const Model m = modelFrom(roundAir(), completed(x), closedHousing(volume), Feed{}, Place{});
            return level(m, f) - summaryOf(m)->referenceLevel;
        };
        RC_ASSERT(std::abs(drop(d, V) - drop(scaled, k * V)) < 1e-8);
    });
}

TEST_CASE("altitude softens the air spring as pressure falls, and leaves the tuning to the sound speed")
{
    const auto housing = [] {
        Housing h = closedHousing(8e-3);
        h.openings.push_back(classicalPort(0.05, 0.15, 60));
        return h;
    }();
    const auto model = [&](double altitude) {
        AirConditions c;
        c.altitude = altitude;
        c.relativeHumidity = 0;
        return modelFrom(*airAt(c), completed(referenceDriver()), housing, Feed{}, Place{});
    };
    const Model sea = model(0), high = model(1500);
    CHECK(sea.Cab / high.Cab == Approx(0.8345).epsilon(2e-3));  // alpha ~ p; dry ideal gas to 0.1 %
    CHECK(*summaryOf(high)->fb / *summaryOf(sea)->fb == Approx(high.air.c / sea.air.c).epsilon(1e-9));
}

TEST_CASE("group delay is the slope of the phase")
{
    rc::prop("any housing, any feed", [] {
        const bool shaped = coin();
        const Model m =
            modelFrom(referenceAir(), completed(arbitraryDriver()),
                      arbitraryHousing({.computedLosses = coin(), .shaped = shaped}), arbitraryFeed(), Place{});
        const double f = logUniform(15, 1500), h = 1e-5;
        const auto p = pressureOf(m, gridOf(Eigen::Array3d(f * (1 - h), f, f * (1 + h))));
        const auto c = curvesOf(m, one(f));
        RC_ASSERT(p && c);
        const double slope = std::arg((*p)[2] / (*p)[0]) / (2 * h * f * 2 * pi);
        const double scale = 1 / (2 * pi * f);
        // difference of 1e-5 over Q up to 300, over 2000 where waves stand in the cavity
        const double relative = shaped ? 2e-3 : 1e-4;
        RC_ASSERT(std::abs(-slope - c->groupDelay[0]) < relative * std::abs(slope) + 1e-6 * scale);
    });
}

TEST_CASE("every curve is finite for every valid housing")
{
    rc::prop("any housing, any feed, 10 Hz to 2 kHz", [] {
        const Model m =
            modelFrom(referenceAir(), completed(arbitraryDriver()),
                      arbitraryHousing({.computedLosses = coin(), .shaped = coin()}), arbitraryFeed(), Place{});
        const auto c = curvesOf(m, logGrid(10, 2000, 60));
        RC_ASSERT(c.has_value());
        for (const auto* curve :
             {&c->level, &c->phase, &c->groupDelay, &c->impedance, &c->impedancePhase, &c->coneTravel, &c->power})
            RC_ASSERT(curve->isFinite().all());
        RC_ASSERT((c->phase > -180.0).all() && (c->phase <= 180.0).all());
    });
}

TEST_CASE(
    "wire length is felt as the printed loss")  // 3 m of 1.31 mm2: 79.0 mohm before 3.6 ohm, -0.1887 dB at mid band
{
    Feed bare, cable;
    cable.sourceResistance = 0.0790452;
    const auto at = [&](const Feed& f) {
        return summaryOf(modelFrom(roundAir(), completed(referenceDriver(0)), closedHousing(8e-3), f, Place{}))
            ->referenceLevel;
    };
    CHECK(at(cable) - at(bare) == Approx(-0.1887).margin(1e-4));
}
