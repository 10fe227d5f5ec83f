// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/classical.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

double complianceOf(double litres) { return litres * 1e-3 / (1.2 * 343 * 343); }

PortOpening roundPort(double bore, double length, TubeEnd inner = TubeEnd::free, TubeEnd outer = TubeEnd::flush)
{
    PortOpening p;
    p.diameter = bore, p.length = length, p.innerEnd = inner, p.outerEnd = outer;
    return p;
}

}  // namespace

TEST_CASE("tuning of 14 L with a 60 mm tube of 120 mm is as tabulated for each pair of ends")  // Python, 0.8217/0.6133
{
    const auto fb = [](TubeEnd i, TubeEnd o) {
        return helmholtzFrequency(complianceOf(14), portInertance(roundPort(0.06, 0.12, i, o), roundAir()));
    };
    CHECK(fb(TubeEnd::free, TubeEnd::free) == Approx(61.9550).margin(6e-5));
    CHECK(fb(TubeEnd::free, TubeEnd::flush) == Approx(60.7556).margin(6e-5));
    CHECK(fb(TubeEnd::flush, TubeEnd::flush) == Approx(59.6232).margin(6e-5));
}

TEST_CASE("length for a tuning is as tabulated")
{
    const auto L = lengthForTuning(roundPort(0.06, 0), 50, complianceOf(14), roundAir());
    REQUIRE(L);
    CHECK(*L == Approx(0.197693).margin(6e-7));
}

TEST_CASE("common bores have the lengths that the trade's tables give")  // one free, one flush end; whole millimetres,
                                                                         // c as here
{
    const auto mm = [](double litres, double bore, double fb) {
        return 1e3 * *lengthForTuning(roundPort(bore, 0), fb, complianceOf(litres), roundAir());
    };
    CHECK(mm(6, 0.050, 70) == Approx(163).margin(1));
    CHECK(mm(8, 0.063, 80) == Approx(136).margin(1));
    CHECK(mm(12, 0.063, 70) == Approx(113).margin(1));
}

TEST_CASE("textbook length and tuning are inverse to each other")
{
    rc::prop("any port, any cavity", [] {
        PortOpening p;
        if (coin())
            p.diameter = logUniform(0.01, 0.2);
        else {
            p.shape = PortShape::slot;
            p.width = logUniform(0.02, 0.3), p.height = logUniform(0.005, 0.1);
        }
        p.count = *rc::gen::inRange(1, 5);
        p.length = logUniform(0.001, 2.5);
        const double Cab = complianceOf(logUniform(0.5, 100));
        const auto L = lengthForTuning(p, helmholtzFrequency(Cab, portInertance(p, roundAir())), Cab, roundAir());
        RC_ASSERT(L.has_value());
        RC_ASSERT(std::abs(*L - p.length) < 1e-12 + 1e-9 * p.length);
    });
}

TEST_CASE("a sentence, not a number, when no length exists")
{
    const auto high = lengthForTuning(roundPort(0.03, 0), 200, complianceOf(14), roundAir());
    REQUIRE_FALSE(high);
    CHECK(high.error().message.find("wider bore") != std::string::npos);
    const auto low = lengthForTuning(roundPort(0.2, 0), 10, complianceOf(14), roundAir());
    REQUIRE_FALSE(low);
    CHECK(low.error().message.find("narrower bore") != std::string::npos);
    CHECK_FALSE(lengthForTuning(roundPort(0.05, 0), 0, complianceOf(14), roundAir()));
    CHECK_FALSE(lengthForTuning(roundPort(0, 0), 50, complianceOf(14), roundAir()));
}

TEST_CASE("the starting bore is Small's minimum area")  // S >= 0.8 fb Vd: fb 50, Vd 6.65e-5 gives 26.6 cm2
{
    const double bore = startingBore(50, 6.65e-5);
    CHECK(pi * bore * bore / 4 == Approx(26.6e-4));
}
