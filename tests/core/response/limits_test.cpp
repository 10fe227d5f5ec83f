// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/limits.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

// Ports with and without separation; shaped: lines, whose two mouths differ.
Model limited(Feed feed)
{
    CompleteDriver d = completed(arbitraryDriver());
    d.Xmax = logUniform(1e-3, 10e-3);
    d.power = logUniform(20, 200);
    feed.amplifier = AmplifierRating{logUniform(10, 200), 4, {}};
    const bool separates = coin();
    return modelFrom(referenceAir(), d, arbitraryHousing({.computedLosses = separates, .shaped = separates && coin()}),
                     feed, Place{});
}

}  // namespace

TEST_CASE("at the loudest clean voltage one limit is met exactly and none is passed")
{
    rc::prop("any housing", [] {
        Model m = limited(arbitraryFeed());
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(15, 1500)));
        const auto curves = curvesOf(m, grid);
        RC_ASSERT(curves.has_value());
        const LimitCurves l = limitsOf(m, *curves);
        const double V = std::min({l.coneVoltage[0], l.powerVoltage[0], l.portVoltage[0], l.amplifierVoltage[0]});
        const auto tightest = [&](const Curves& c) {
            double share = std::max(c.coneTravel[0] / *m.driver.Xmax, c.power[0] / m.driverCount / *m.driver.power);
            for (const auto& air : c.portAir)
                share = std::max(share, air[0] / m.portAirLimit);
            return std::max(share, std::abs(feedFactor(m, grid.omega[0]).H) / *m.amplifierLimit);
        };
        m.voltage = V;
        const auto there = curvesOf(m, grid);
        RC_ASSERT(there.has_value());
        RC_ASSERT(std::abs(there->level[0] - l.loudest[0]) < 1e-9);
        RC_ASSERT(std::abs(tightest(*there) - 1) < 1e-9);
        m.voltage = logUniform(0.01, 0.999) * V;  // and at no voltage below
        const auto below = curvesOf(m, grid);
        RC_ASSERT(below.has_value());
        RC_ASSERT(tightest(*below) < 1);
    });
}

TEST_CASE("the loudest clean level does not depend on the voltage or the high-pass it was reckoned with")
{
    rc::prop("any housing", [] {
        Feed feed = arbitraryFeed();
        Model a = limited(feed);
        Model b = a;
        b.voltage = coin() ? 0 : 3 * a.voltage;
        b.highPass.reset();
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(30, 1500)));
        const auto ca = curvesOf(a, grid), cb = curvesOf(b, grid);
        RC_ASSERT(ca && cb);
        // At 0 V the curves themselves say -inf; the limits reckon with 1 V.
        RC_ASSERT(std::abs(limitsOf(a, *ca).loudest[0] - limitsOf(b, *cb).loudest[0]) < 1e-8);
    });
}

TEST_CASE("the lowest high-pass corner keeps the cone inside, and a slightly lower one does not")
{
    Housing h = closedHousing(5.2e-3);
    PortOpening p;
    p.diameter = 0.054, p.length = 0.13, p.classical = true, p.lossQ = 80;
    h.openings.push_back({p, {}, {}});
    Model m = modelOfReference(h, 14);
    m.driver.Xmax = 4e-3;
    for (int order : {2, 3, 4, 8}) {
        const auto corner = lowestHighPassCorner(m, order);
        REQUIRE(corner);
        const auto largest = [&](double hz) {
            Model filtered = m;
            filtered.highPass = HighPass{order, hz, {}};
            double x = curvesOf(filtered, logGrid(20, 2000, 800))->coneTravel.maxCoeff();
            return x;
        };
        CHECK(largest(*corner) <= 4e-3 * (1 + 1e-6));  // the peak is narrowed to 1e-7 in frequency
        CHECK(largest(*corner * 0.999) > 4e-3);
    }
    m.driver.Xmax = 1;
    CHECK_FALSE(lowestHighPassCorner(m, 4));  // none needed
    m.driver.Xmax.reset();
    CHECK_FALSE(lowestHighPassCorner(m, 4));  // nothing to keep
}

TEST_CASE("without limits nothing is loudest")
{
    const Model m = modelOfReference(closedHousing(8e-3));
    const auto c = curvesOf(m, logGrid(20, 200, 3));
    const LimitCurves l = limitsOf(m, *c);
    CHECK(std::isinf(l.loudest[1]));
    CHECK(l.limit[1] == LimitKind::none);
}
