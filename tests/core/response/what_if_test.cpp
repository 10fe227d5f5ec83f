// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/what_if.h"

#include "core/response/summary.h"

#include "../support/random_project.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Project bag(double litres = 35, bool ported = true)
{
    Project p;
    DriverSheet s;
    s.id = "mid";
    s.fs = 60, s.Qes = 0.5, s.Qms = 5, s.Vas = 20e-3, s.Re = 3.3, s.Le = 0.25e-3, s.Sd = 215e-4;
    p.drivers.push_back(s);
    Housing h = closedHousing(litres * 1e-3);
    h.driver = "mid";
    h.openings.push_back({LeakByQ{7}, {}, {}});
    if (ported) {
        PortOpening port;
        port.diameter = 0.1, port.length = 0.15, port.classical = true;
        h.openings.push_back({port, {}, {}});
    }
    p.housings.push_back(h);
    return p;
}

WhatIfOutcome outcome(const Project& p, const WhatIf& w, double f = 63)
{
    const auto o = outcomeOf(p, 0, w, f);
    REQUIRE(o.has_value());
    return *o;
}

}  // namespace

TEST_CASE("fifteen litres of luggage in a bag of 35 L raise its tuning by a third")
{
    // fb goes with V^-1/2: sqrt(35/20) = 1.3229.
    const WhatIfOutcome o = outcome(bag(), SolidLuggage{15e-3});
    CHECK(*o.after / o.before == Approx(std::sqrt(35.0 / 20)).epsilon(1e-9));
    CHECK(o.tuned);
    CHECK(o.sentence.find("+32\u00A0%") != std::string::npos);
    CHECK(o.largestLoss > 0);
    CHECK(o.lossAt >= 40);
    CHECK(o.lossAt <= 200);
}

TEST_CASE("a leak stays as wide as it is when luggage goes in")
{
    // The resistance of the same gap: checked on the level far below resonance, where the leak alone vents the cavity.
    Project p = bag(35, false);
    const auto before = modelOf(p, 0);
    const double R = std::get<Inertance>(before->elements[1].element).R;
    Project slit = p;
    slit.housings[0].openings[0].kind = LeakByQ{7};
    const WhatIfOutcome o = outcome(p, SolidLuggage{15e-3}, 63);
    // The same bag of 20 L with a leak of that resistance, written as a Q.
    Project small = bag(20, false);
    const auto model = modelOf(small, 0);
    small.housings[0].openings[0].kind = LeakByQ{R * model->omega0 * model->Cab};
    const double level = curvesOf(*modelOf(small, 0), gridOf(Eigen::ArrayXd::Constant(1, 63)))->level[0];
    const double former = curvesOf(*before, gridOf(Eigen::ArrayXd::Constant(1, 63)))->level[0];
    CHECK(o.levelChange == Approx(level - former).margin(1e-9));
}

TEST_CASE("heat of 60 degC raises a tuning by 6.6 per cent")
{
    // Ideal gas: c ~ sqrt(T), sqrt(333.15/293.15) = 1.0660. The polynomial in use differs from it by 0.1 % there.
    const WhatIfOutcome o = outcome(bag(), Heat{60});
    CHECK(*o.after / o.before == Approx(std::sqrt(333.15 / 293.15)).epsilon(1e-3));
    CHECK_FALSE(o.remarks.empty());
}

TEST_CASE("height leaves a tuning where it is, and lowers a closed resonance")
{
    // c depends on the temperature alone but for a last digit by humid air (the water's share grows): 0.05 %.
    const WhatIfOutcome o = outcome(bag(), Altitude{1500});
    CHECK(*o.after == Approx(o.before).epsilon(5e-4));
    // The air spring goes with the pressure: fc = fs sqrt(1 + a), a by the ratio 0.8345 (ISO 2533: 84 556 Pa).
    const WhatIfOutcome closed = outcome(bag(35, false), Altitude{1500});
    const double a = 20.0 / 35;
    CHECK(*closed.after == Approx(60 * std::sqrt(1 + a * 84556.0 / 101325)).epsilon(1e-3));
    // The density falls by the same ratio, and the level far above resonance with it: 20 lg 0.8345 = -1.57 dB, less
    // half of that where the mass of the cone is all that counts; the change lies between nothing and the whole.
    CHECK(closed.levelChange < 0);
    CHECK(closed.levelChange > -1.7);
}

TEST_CASE("half a metre of a lid half a millimetre open makes a box of 14 L useless")
{
    // The slit alone: 12 mu L/(w h^3) with 3 mm depth is QL 0.32 of 14 L at 50 Hz (reference air; the round air of the
    // source gives 0.32 too).
    const Air& air = referenceAir();
    const double R = 12 * air.mu * 0.003 / (0.5 * std::pow(0.5e-3, 3));
    CHECK(2 * pi * 50 * 14e-3 / (air.rho * air.c * air.c) * R == Approx(0.32).margin(0.005));
    const WhatIfOutcome o = outcome(bag(14), UnsealedLid{.length = 0.5, .gap = 0.5e-3, .depth = 3e-3}, 50);
    CHECK(o.largestLoss > 6);  // some decibels: the mouth hardly sounds any more
}

TEST_CASE("a small drain leaks, a wide one tunes")
{
    const WhatIfOutcome small = outcome(bag(8, false), DrainHole{.diameter = 5e-3, .depth = 3e-3});
    CHECK_FALSE(small.tuned);
    const WhatIfOutcome wide = outcome(bag(8, false), DrainHole{.diameter = 12e-3, .depth = 3e-3});
    CHECK(wide.tuned);
    // Helmholtz with both ends flush: fb = c/2pi sqrt(S/(V Leff)), lossy enough to be out by a few per cent.
    const double S = pi * 0.006 * 0.006, Leff = 0.003 + 2 * 0.8217 * 0.006;
    CHECK(*wide.after == Approx(343.99 / (2 * pi) * std::sqrt(S / (8e-3 * Leff))).epsilon(0.05));
    CHECK(wide.sentence.find("becomes one tuned to") != std::string::npos);
    // From a leak to a port: at the border both are nearly the same thing, so softly that nothing separates.
    Project soft = bag(8, false);
    soft.feed = Feed{};
    soft.feed->voltage = 1e-3;
    const WhatIfOutcome above = outcome(soft, DrainHole{.diameter = 5.01e-3, .depth = 3e-3});
    const WhatIfOutcome below = outcome(soft, DrainHole{.diameter = 5e-3, .depth = 3e-3});
    CHECK(std::abs(above.levelChange - below.levelChange) < 0.3);
}

TEST_CASE("a wide drain whose air is fast is told to set the loudest clean level, a slow or narrow one is not")
{
    const auto told = [](const WhatIfOutcome& o) {
        return std::any_of(o.remarks.begin(), o.remarks.end(),
                           [](const std::string& r) { return r.find("own air reaches") != std::string::npos; });
    };
    Project loud = bag();
    Feed feed;
    feed.voltage = 14;
    loud.feed = feed;
    CHECK(told(outcome(loud, DrainHole{.diameter = 8e-3, .depth = 3e-3})));
    CHECK_FALSE(told(outcome(loud, DrainHole{.diameter = 4e-3, .depth = 3e-3})));
    loud.feed->voltage = 0.1;
    CHECK_FALSE(told(outcome(loud, DrainHole{.diameter = 8e-3, .depth = 3e-3})));
}

TEST_CASE("soft luggage lowers the level less than solid, and moves the tuning less")
{
    const WhatIfOutcome soft = outcome(bag(), SoftLuggage{15e-3}), solid = outcome(bag(), SolidLuggage{15e-3});
    CHECK(std::abs(*soft.after - soft.before) < std::abs(*solid.after - solid.before));
    CHECK_FALSE(soft.remarks.empty());
}

TEST_CASE("a what-if of nothing changes nothing")
{
    rc::prop("any bag", [] {
        const Project p = bag(logUniform(3, 40), coin());
        for (const WhatIf& w :
             {WhatIf{Heat{20}}, WhatIf{Altitude{0}}, WhatIf{SolidLuggage{1e-9}}, WhatIf{SoftLuggage{1e-9}}}) {
            const auto o = outcomeOf(p, 0, w, logUniform(30, 300));
            RC_ASSERT(o.has_value());
            RC_ASSERT(std::abs(*o->after / o->before - 1) < 1e-6);
            RC_ASSERT(std::abs(o->levelChange) < 1e-4);
        }
    });
}

TEST_CASE("an amount that cannot be is refused in one sentence")
{
    const Project p = bag();
    for (const WhatIf& w :
         {WhatIf{SolidLuggage{35e-3}}, WhatIf{SoftLuggage{-1}}, WhatIf{DrainHole{0.2, 0.003}},
          WhatIf{UnsealedLid{.length = 0.5, .gap = std::nan("")}}, WhatIf{Heat{200}}, WhatIf{Altitude{9000}}}) {
        const auto o = outcomeOf(p, 0, w, 63);
        REQUIRE_FALSE(o.has_value());
        CHECK(o.error().message.size() > 20);
    }
    CHECK(outcomeOf(p, 0, SolidLuggage{40e-3}, 63).error().message.find("the cavity holds 35\u00A0L") !=
          std::string::npos);
}

TEST_CASE("a silent feed still tells what is lost")
{
    Project p = bag(), fed = bag();
    p.feed = fed.feed = Feed{};
    p.feed->voltage = 0;
    fed.feed->voltage = 1;
    CHECK(outcome(p, SolidLuggage{15e-3}).largestLoss == Approx(outcome(fed, SolidLuggage{15e-3}).largestLoss));
}

TEST_CASE("luggage comes off a measured volume too")
{
    Project p = bag();
    Cavity& c = p.housings[0].cavity;
    c.netVolume = 0;
    c.measurements.push_back(
        {.method = StatedVolume{35e-3, 1e-3}, .inPlace = InPlace::everything, .note = {}, .unknown = {}});
    const WhatIfOutcome o = outcome(p, SolidLuggage{15e-3});
    CHECK(*o.after / o.before == Approx(std::sqrt(35.0 / 20)).epsilon(1e-9));
}
