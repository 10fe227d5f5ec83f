// SPDX-License-Identifier: GPL-3.0-or-later
// The nodal solver against ngspice, run live in this process on randomised housings. ngspice is a general-purpose
// circuit simulator; the netlists stand in circuit.cpp.
#include "circuit.h"
#include "spice.h"

#include "../core/support/random_project.h"
#include "core/response/curves.h"
#include "core/response/impedance_dip.h"
#include "core/response/summary.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

double apart(double ours, double theirs) { return std::abs(ours / theirs - 1); }

void compareAt(const Air& air, const CompleteDriver& driver, const Housing& housing, Feed feed, double f)
{
    static Spice spice;
    feed.highPass.reset();  // a radio's filter is no circuit element; its own test holds it
    const Model m = modelFrom(air, driver, housing, feed, Place{});
    const auto curves = curvesOf(m, gridOf(Eigen::ArrayXd::Constant(1, f)));
    RC_ASSERT(curves.has_value());
    // What separates is solved by ngspice with the resistance of the speed found here: it gives that speed again.
    std::vector<double> airSpeed;
    for (const Eigen::ArrayXd& speed : curves->portAir)
        airSpeed.push_back(speed[0]);
    const Circuit circuit =
        circuitOf(air, driver, housing, feed, f, fmt::format("ac lin 1 {0:.17g} {0:.17g}", f), airSpeed);
    for (const std::string& line : circuit.lines)
        RC_LOG() << line << '\n';
    spice.run(circuit.lines);

    const double w = 2 * pi * f, V = feedVoltage(feed);
    const auto current = spice.vector("vterm#branch")[0];
    RC_ASSERT(apart(curves->impedance[0], std::abs(spice.vector("term")[0] / current)) < 1e-6);
    for (int i = 0; i < circuit.drivers; ++i) {
        const double x = std::numbers::sqrt2 * V * std::abs(spice.vector(fmt::format("vmd{}#branch", i))[0]) / w;
        RC_ASSERT(apart(curves->coneTravel[0], x) < 1e-6);
    }
    RC_ASSERT(curves->portAir.size() == circuit.portSense.size());
    std::complex<double> outside = 0;
    for (int i = 0; i < circuit.drivers; ++i)
        outside += driver.driver.Sd * spice.vector(fmt::format("vmd{}#branch", i))[0];
    double largest = std::abs(outside);
    for (std::size_t i = 0; i < circuit.portSense.size(); ++i) {
        const double u =
            std::numbers::sqrt2 * V * flowUnit * std::abs(spice.vector(circuit.portSense[i])[0]) / circuit.portArea[i];
        RC_ASSERT(apart(curves->portAir[i][0], u) < 1e-6);
    }
    for (const std::string& name : circuit.outside) {
        const auto U = flowUnit * spice.vector(name)[0];
        largest = std::max(largest, std::abs(U));
        outside += U;
    }
    // The sum cancels below tuning: compared relative to its largest part.
    const double p = air.rho * w * V / (2 * pi) * std::abs(outside), scale = air.rho * w * V / (2 * pi) * largest;
    RC_ASSERT(std::abs(std::pow(10, curves->level[0] / 20) * 20e-6 - p) < 1e-6 * scale);
}

}  // namespace

TEST_CASE("impedance, cone travel, port speed and level equal ngspice's on any housing")
{
    rc::prop("losses by Q: all openings, several drivers, both wirings, coupled cavities, series parts", [] {
        const auto driver = completed(arbitraryDriver());
        const Housing housing = arbitraryHousing();
        const Feed feed = arbitraryFeed();
        for (int i = 0; i < 3; ++i)
            compareAt(referenceAir(), driver, housing, feed, logUniform(10, 2000));
    });
    rc::prop("computed losses, the cavity as one spring", [] {  // lines have their own tests
        Housing housing = arbitraryHousing({.computedLosses = true});
        housing.cavity.model = CavityModel::lumped;
        if (housing.secondCavity) housing.secondCavity->cavity.model = CavityModel::lumped;
        compareAt(referenceAir(), completed(arbitraryDriver()), housing, arbitraryFeed(), logUniform(10, 2000));
    });
}

TEST_CASE("the impedance dips where ngspice's sweep has its lowest point between the peaks")
{
    rc::prop("vented housings with coil, leak and losses", [] {
        static Spice spice;
        Housing housing = closedHousing(logUniform(3e-3, 20e-3));
        housing.cavity.absorptionQ = logUniform(25, 120);
        PortOpening port;
        port.diameter = logUniform(0.035, 0.08), port.length = logUniform(0.05, 0.25);
        port.classical = true, port.lossQ = logUniform(40, 120);
        housing.openings = {{LeakByQ{logUniform(4, 25)}, {}, {}}, {port, {}, {}}};
        const auto driver = completed(referenceDriver(logUniform(0.05e-3, 1e-3)));
        const Model m = modelFrom(referenceAir(), driver, housing, Feed{}, Place{});
        const double tuning = tuningOf(m).value();
        const auto dip = impedanceDip(m, tuning);
        RC_PRE(dip.has_value());
        constexpr int points = 401;
        const double from = 0.9 * *dip, step = 0.2 * *dip / (points - 1);
        spice.run(circuitOf(referenceAir(), driver, housing, Feed{}, *dip,
                            fmt::format("ac lin {} {:.17g} {:.17g}", points, from, 1.1 * *dip))
                      .lines);
        const auto voltage = spice.vector("term"), current = spice.vector("vterm#branch");
        RC_ASSERT(voltage.size() == points);
        const auto Z = [&](std::size_t i) { return std::abs(voltage[i] / current[i]); };
        std::size_t least = 1;
        for (std::size_t i = 1; i + 1 < points; ++i)
            if (Z(i) < Z(least)) least = i;
        // The parabola through the lowest point and its neighbours, half a thousandth apart.
        const double a = Z(least - 1), b = Z(least), c = Z(least + 1);
        const double lowest = from + step * (double(least) + (a - c) / (2 * (a - 2 * b + c)));
        RC_ASSERT(std::abs(lowest / *dip - 1) < 1e-5);
    });
}
