// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/impedance_dip.h"

#include "../support/random_project.h"
#include "core/response/curves.h"
#include "core/response/summary.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Housing vented(double volume, double bore, double length, double lossQ)
{
    Housing h = closedHousing(volume);
    PortOpening p;
    p.diameter = bore, p.length = length, p.classical = true, p.lossQ = lossQ;
    h.openings.push_back({p, {}, {}});
    return h;
}

Model modelOf(const Driver& driver, const Housing& housing)
{
    return modelFrom(roundAir(), completed(driver), housing, Feed{}, Place{});
}

Driver withoutCoil(Driver d)
{
    d.inductance = PlainInductance{0};
    return d;
}

}  // namespace

TEST_CASE("without coil inductance and losses the impedance dips at the tuning, to the coil's resistance")
{
    // Small 1973: at the tuning the lossless vent holds the cone still, and |Z| = Re.
    rc::prop("any driver, any lossless vented housing", [] {
        const Driver driver = withoutCoil(arbitraryDriver());
        const double volume = Vas(driver, roundAir()) / logUniform(0.3, 10);
        const Model m = modelOf(driver, vented(volume, logUniform(0.03, 0.1), logUniform(0.02, 0.4), 1e12));
        const double tuning = tuningOf(m).value();
        const auto dip = impedanceDip(m, tuning);
        RC_ASSERT(dip.has_value());
        RC_ASSERT(std::abs(*dip / tuning - 1) < 1e-6);  // its slope is taken over 2e-5 either side
        const auto Z = impedanceOf(m, logGrid(*dip, *dip, 1));
        RC_ASSERT(Z.has_value());
        RC_ASSERT(std::abs((*Z)[0] / driver.Re - 1) < 1e-6);
    });
}

TEST_CASE("the dip is the lowest point between its neighbours, whatever pulls it away from the tuning")
{
    rc::prop("any driver with its coil, any losses", [] {
        Housing h = vented(logUniform(2e-3, 40e-3), logUniform(0.03, 0.1), logUniform(0.02, 0.4), logUniform(20, 300));
        if (coin()) h.openings.push_back({LeakByQ{logUniform(3, 30)}, {}, {}});
        if (coin()) h.cavity.absorptionQ = logUniform(15, 200);
        const Model m = modelOf(arbitraryDriver(), h);
        const double tuning = tuningOf(m).value();
        const auto dip = impedanceDip(m, tuning);
        if (!dip) return;
        RC_ASSERT(std::abs(std::log(*dip / tuning)) < std::log(1.65));
        const auto Z = impedanceOf(m, gridOf(*dip * Eigen::Array3d(0.999, 1, 1.001)));
        RC_ASSERT(Z.has_value());
        RC_ASSERT((*Z)[1] < (*Z)[0]);
        RC_ASSERT((*Z)[1] < (*Z)[2]);
    });
}

TEST_CASE("a housing that leaks all there is has one peak and no dip to read")
{
    Housing h = vented(6e-3, 0.05, 0.15, 80);
    const Model tight = modelOf(referenceDriver(), h);
    CHECK(impedanceDip(tight, *tuningOf(tight)).has_value());
    h.openings.push_back({LeakByQ{0.1}, {}, {}});
    const Model leaky = modelOf(referenceDriver(), h);
    CHECK_FALSE(impedanceDip(leaky, *tuningOf(leaky)).has_value());
}
