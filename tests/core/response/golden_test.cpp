// SPDX-License-Identifier: GPL-3.0-or-later
// Golden runs of the reference driver (rho 1.2, c 343): each table was computed twice outside this program, by node
// equations in Python and by an ngspice netlist, which agree in all printed digits. Compared to 1e-4 as printed (SPL
// 1e-4 dB absolute).
#include "core/response/curves.h"
#include "core/response/limits.h"
#include "core/response/summary.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double rms = 1 / std::numbers::sqrt2;

Curves at(const Model& m, double f)
{
    auto c = curvesOf(m, gridOf(Eigen::ArrayXd::Constant(1, f)));
    REQUIRE(c);
    return std::move(*c);
}

void checkRow(const Curves& c, double Z, double angle, double xRmsMm, double level)
{
    CHECK(c.impedance[0] == Approx(Z).epsilon(2e-5));
    CHECK(c.impedancePhase[0] == Approx(angle).margin(1e-4));
    CHECK(c.coneTravel[0] * rms * 1e3 == Approx(xRmsMm).epsilon(2e-5));
    CHECK(c.level[0] == Approx(level).margin(1e-4));
}

// A port whose total inertance tunes the cavity to fb, of the given area, without end corrections in play.
Opening portFor(double volume, double fb, double area, double lossQ)
{
    PortOpening p;
    p.diameter = std::sqrt(4 * area / pi);
    p.classical = true;
    p.lossQ = lossQ;
    const double w = 2 * pi * fb, ends = (0.6133 + 0.8217) * std::sqrt(area / pi);
    p.length = area * 343 * 343 / (w * w * volume) - ends;
    return {p, {}, {}};
}

}  // namespace

TEST_CASE("the reference driver in an endless baffle")
{
    const double rows[][5] = {{20, 5.18132, 40.8301, 2.246106, 73.0735},   {40, 13.62924, 55.9669, 1.513645, 81.6865},
                              {60, 29.57842, -35.6603, 1.047240, 85.5306}, {100, 7.40898, -51.1279, 0.568593, 89.0997},
                              {200, 4.20541, -26.7527, 0.192620, 91.7389}, {500, 3.62868, 3.5078, 0.033526, 92.4700}};
    // A cavity of 2e6 m3 is an endless one: its spring is 1.5e8 times softer than the suspension.
    const Model m = modelOfReference(closedHousing(2e6));
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        checkRow(at(m, r[0]), r[1], r[2], r[3], r[4]);
    }
}

TEST_CASE("the reference driver in 8 L closed, tight and leaking with Q 7")
{
    const double rows[][8] = {{20, 3.82099, 17.8880, 1.024847, 66.2580, 4.28035, 1.048936, 64.9619},
                              {40, 4.69511, 35.9056, 0.986326, 77.9665, 5.21310, 0.913291, 76.8726},
                              {80, 20.08182, 50.8624, 0.771000, 87.8683, 17.68549, 0.720373, 87.1680},
                              {100, 20.95725, -48.7591, 0.627066, 89.9499, 18.28609, 0.597872, 89.4649},
                              {200, 4.42944, -30.7037, 0.211937, 92.5690, 4.44941, 0.210673, 92.4992}};
    const Model tight = modelOfReference(closedHousing(8e-3));
    Housing leaky = closedHousing(8e-3);
    leaky.openings.push_back({LeakByQ{7}, {}, {}});
    const Model leaking = modelOfReference(leaky);
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        checkRow(at(tight, r[0]), r[1], r[2], r[3], r[4]);
        const Curves c = at(leaking, r[0]);
        CHECK(c.impedance[0] == Approx(r[5]).epsilon(2e-5));
        CHECK(c.coneTravel[0] * rms * 1e3 == Approx(r[6]).epsilon(2e-5));
        CHECK(c.level[0] == Approx(r[7]).margin(1e-4));
    }
}

TEST_CASE("the reference driver in 14 L tuned to 50 Hz, leak Q 7")
{
    const double rows[][6] = {
        {20, 5.97657, 45.4458, 2.467459, 59.4666, 1.73236},    {30, 20.46091, 32.0887, 1.972686, 73.9149, 2.70881},
        {40, 6.97998, -32.5047, 1.108943, 83.5648, 3.47101},   {50, 4.63324, 1.6459, 0.308564, 88.6513, 3.19192},
        {60, 5.72742, 29.4128, 0.608828, 90.5040, 2.28636},    {80, 19.69284, 30.9952, 0.730304, 91.6074, 1.09521},
        {100, 14.01748, -49.6049, 0.602986, 92.0694, 0.59138}, {200, 4.33755, -29.0031, 0.203707, 92.7792, 0.08022}};
    Housing h = closedHousing(14e-3);
    h.openings.push_back(portFor(14e-3, 50, pi * 9e-4, 1e9));
    h.openings.push_back({LeakByQ{7}, {}, {}});
    const Model m = modelOfReference(h);
    CHECK(*summaryOf(m)->fb == Approx(50).epsilon(1e-10));
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        const Curves c = at(m, r[0]);
        checkRow(c, r[1], r[2], r[3], r[4]);
        CHECK(c.portAir.at(0)[0] * rms == Approx(r[5]).margin(6e-6).epsilon(0));
    }
}

TEST_CASE("what limits the 14 L box, for 5 mm of travel and 17 m/s in the port")
{
    const double rows[][5] = {{20, 4.0550, 19.6374, 62.591, 76.293},    {30, 5.0721, 12.5586, 78.983, 86.858},
                              {40, 9.0226, 9.8009, 93.636, 94.354},     {50, 32.4262, 10.6578, 109.834, 100.169},
                              {60, 16.4341, 14.8791, 105.783, 104.920}, {80, 13.7005, 31.0616, 105.306, 112.416},
                              {100, 16.5934, 57.5249, 107.432, 118.231}};
    Housing h = closedHousing(14e-3);
    h.openings.push_back(portFor(14e-3, 50, pi * 9e-4, 1e9));
    h.openings.push_back({LeakByQ{7}, {}, {}});
    Model m = modelOfReference(h);
    m.driver.Xmax = 5e-3;
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        const Curves c = at(m, r[0]);
        const LimitCurves l = limitsOf(m, c);
        CHECK(l.coneVoltage[0] == Approx(r[1]).epsilon(2e-5));
        CHECK(l.portVoltage[0] == Approx(r[2]).epsilon(2e-5));
        CHECK(l.loudest[0] == Approx(std::min(r[3], r[4])).margin(1e-3));
        CHECK(l.limit[0] == (r[1] < r[2] ? LimitKind::cone : LimitKind::portAir));
    }
}

TEST_CASE("the reference driver in 12 L with a passive radiator")
{
    const double rows[][6] = {{20, 4.90843, 35.8521, 2.015976, 1.757676, 54.8841},
                              {22.972037, 5.91199, 41.6633, 2.022783, 2.017935, 51.3715},
                              {30, 13.48357, -9.0573, 1.705999, 2.924543, 75.1456},
                              {40, 4.09029, 13.7817, 0.407235, 1.619955, 84.0490},
                              {60, 7.85046, 52.0362, 0.909272, 0.363208, 87.2181},
                              {100, 13.87122, -54.8715, 0.617789, 0.063130, 90.6652}};
    Housing h = closedHousing(12e-3);
    h.openings.push_back({PassiveRadiator{0.0133, 0.060, 0.8e-3, 1.0}, {}, {}});
    const Model m = modelOfReference(h);
    CHECK(*summaryOf(m)->fb == Approx(37.500572).epsilon(1e-7));
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        const Curves c = at(m, r[0]);
        checkRow(c, r[1], r[2], r[3], r[5]);
        CHECK(c.passiveTravel.at(0)[0] * rms * 1e3 == Approx(r[4]).epsilon(2e-5));
    }
}

TEST_CASE("the reference driver before two compartments")
{
    const double rows[][4] = {{30, 4.84166, 37.5596, 1.381220},
                              {60, 19.64298, 51.2393, 1.028878},
                              {100, 7.54790, -51.4855, 0.571375},
                              {200, 5.54696, -42.3116, 0.262579}};
    Housing h = closedHousing(6e-3);
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = 10e-3;
    h.secondCavity->hole = {0.04, 0.003, 1e9, {}};
    const Model m = modelOfReference(h);
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        const Curves c = at(m, r[0]);
        CHECK(c.impedance[0] == Approx(r[1]).epsilon(2e-5));
        CHECK(c.impedancePhase[0] == Approx(r[2]).margin(1e-4));
        CHECK(c.coneTravel[0] * rms * 1e3 == Approx(r[3]).epsilon(2e-5));
    }
}

TEST_CASE("a closed housing falls as Small's closed-box relations say")
{
    // f3/fc, peak dB by Qtc (Small 1972, evaluated in Python); drivers made to give each Qtc without inductance.
    const double rows[][3] = {{0.5, 1.55377, 0},      {0.577350, 1.27202, 0}, {0.707107, 1.0, 0},
                              {0.8, 0.89716, 0.2130}, {1.0, 0.78615, 1.2494}, {1.2, 0.73582, 2.4118},
                              {1.5, 0.69935, 4.0334}, {2.0, 0.67362, 6.3009}};
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        Driver d = referenceDriver(0);
        d.Rms = 1e-6;  // Qtc is all electrical
        const double stretch = std::sqrt(1 + Cas(d) / (8e-3 / (1.2 * 343 * 343)));
        d.Bl = std::sqrt(std::sqrt(d.Mms / d.Cms) * d.Re * stretch / r[0]);
        Feed feed;
        const Model m = modelFrom(roundAir(), completed(d), closedHousing(8e-3), feed, Place{});
        const auto s = summaryOf(m);
        REQUIRE(s);
        CHECK(*s->Qtc == Approx(r[0]).epsilon(1e-5));
        CHECK(*s->f3 / *s->fc == Approx(r[1]).epsilon(1e-4));
        const auto curve = curvesOf(m, logGrid(20, 200e3, 8000));
        REQUIRE(curve);
        CHECK(curve->level.maxCoeff() - s->referenceLevel == Approx(r[2]).margin(1e-4));
    }
}
