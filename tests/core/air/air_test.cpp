// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/air/air.h"

#include <catch2/catch.hpp>

using namespace portwright;

// Values computed independently in Python from the published formulae (CIPM-2007, Cramer 1993, ISO 2533); compared to
// one unit of the last printed digit.
TEST_CASE("density, sound speed, viscosity and conductivity follow their published formulae")
{
    struct Row {
        double t, p, h, rho, c, mu, kappa, Pr;
    };
    const Row rows[] = {{20, 101325, 0.5, 1.199314, 343.9869, 1.813406e-5, 0.0257180, 0.70842},
                        {20, 101325, 0, 1.204557, 343.3595, 1.813406e-5, 0.0257180, 0.70842},
                        {0, 101325, 0, 1.293049, 331.4477, 1.716079e-5, 0.0241380, 0.71428},
                        {15, 101325, 0, 1.225521, 340.4233, 1.789380e-5, 0.0253259, 0.70985},
                        {25, 101325, 0.5, 1.177315, 347.1268, 1.837234e-5, 0.0261081, 0.70700},
                        {40, 101325, 0.3, 1.118129, 356.0589, 1.907574e-5, 0.0272672, 0.70286},
                        {-10, 101325, 0.5, 1.341657, 325.3953, 1.666149e-5, 0.0233363, 0.71732},
                        {20, 84556, 0.5, 0.999903, 344.1040, 1.813406e-5, 0.0257180, 0.70842}};
    for (const Row& r : rows) {
        CAPTURE(r.t, r.p, r.h);
        const auto air =
            airAt({.temperature = r.t, .relativeHumidity = r.h, .altitude = {}, .pressure = r.p, .unknown = {}});
        REQUIRE(air);
        CHECK(air->rho == Approx(r.rho).margin(1e-6).epsilon(0));
        CHECK(air->c == Approx(r.c).margin(1e-4).epsilon(0));
        CHECK(air->mu == Approx(r.mu).margin(1e-11).epsilon(0));
        CHECK(air->kappa == Approx(r.kappa).margin(1e-7).epsilon(0));
        CHECK(air->Pr == Approx(r.Pr).margin(1e-5).epsilon(0));
    }
}

TEST_CASE("pressure falls with altitude as in the table of the standard atmosphere")  // ISO 2533, printed digits
{
    CHECK(pressureAtAltitude(0) == Approx(101325).margin(0.01));
    CHECK(pressureAtAltitude(1000) == Approx(89874.6).margin(0.06));
    CHECK(pressureAtAltitude(1500) == Approx(84556.0).margin(0.06));
    CHECK(pressureAtAltitude(3000) == Approx(70108.5).margin(0.06));
    CHECK(pressureAtAltitude(-500) == Approx(107477.5).margin(0.06));
}

TEST_CASE("air outside the accepted ranges is refused with the range named")
{
    AirConditions hot;
    hot.temperature = 50.1;
    REQUIRE_FALSE(airAt(hot));
    CHECK(airAt(hot).error().field == "temperature_c");
    CHECK(airAt(hot).error().message.find("-20 to 50") != std::string::npos);
    AirConditions both;
    both.altitude = 100;
    both.pressure = 1e5;
    CHECK_FALSE(airAt(both));
    AirConditions wet;
    wet.relativeHumidity = 1.01;
    CHECK_FALSE(airAt(wet));
    AirConditions nan;
    nan.pressure = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(airAt(nan));
}

TEST_CASE("a note is given where a formula leaves its published range, and only there")
{
    CHECK(airNotes({}).empty());
    AirConditions cold;
    cold.temperature = -10;
    CHECK(airNotes(cold).size() == 2);
}
