// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/air_speed.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace portwright;

namespace {

PortOpening tube(double flare)
{
    PortOpening p;
    p.diameter = 0.06, p.length = 0.15;
    if (flare > 0) p.innerFlare = p.outerFlare = flare;
    return p;
}

Air plainAir()
{
    Air air = referenceAir();
    air.rho = 1.2, air.c = 340, air.mu = 1.2 * 1.51e-5;
    return air;
}

}  // namespace

TEST_CASE("17 m/s at 50 Hz: Mach 0.05, Reynolds 67 500 in 60 mm, 349 of the wall layer")
{
    // by hand with nu 1.51e-5 m2/s: 17/340; 17 0.06/nu; 17 sqrt(2/(2 pi 50 nu)) = 349.1; 2 pi 50 0.03/17
    const AirSpeedNumbers n = airSpeedNumbers(tube(0.01), 17, 50, plainAir());
    CHECK(n.mach == Approx(0.05));
    CHECK(n.reynolds == Approx(67550).epsilon(1e-4));
    CHECK(n.layerReynolds == Approx(349).margin(0.5));
    CHECK(n.boreStrouhal == Approx(0.5544).epsilon(1e-4));
    CHECK(n.edgeStrouhal == Approx(0.1848).epsilon(1e-4));
    CHECK(n.stroke == Approx(0.05411).epsilon(1e-4));
    CHECK(airSpeedNumbers(tube(0), 17, 50, plainAir()).edgeStrouhal == 0);
    PortOpening slot;
    slot.shape = PortShape::slot;
    slot.width = 0.2, slot.height = 0.03;
    CHECK(airSpeedNumbers(slot, 17, 50, plainAir()).reynolds == Approx(17 * 4 * 0.006 / 0.46 / 1.51e-5));
    CHECK(std::isinf(airSpeedNumbers(tube(0.01), 0, 50, plainAir()).boreStrouhal));
}

TEST_CASE("the recommended limit is 17 m/s with sharp ends and 25 with generous flares at both")
{
    CHECK(recommendedAirSpeed(tube(0)) == 17);
    CHECK(recommendedAirSpeed(tube(0.015)) == 25);
    CHECK(recommendedAirSpeed(tube(0.0075)) == Approx(21));
    PortOpening one = tube(0);
    one.outerFlare = 0.03;  // the sharp end sets it
    CHECK(recommendedAirSpeed(one) == 17);
}

TEST_CASE("the marks rise, each has its basis, and the numbers at a mark are those it stands for")
{
    for (double flare : {0.0, 0.004, 0.03})
        for (double f : {20.0, 50.0, 200.0}) {
            const auto marks = airSpeedMarks(tube(flare), f, plainAir());
            CHECK(marks.size() == (flare > 0 ? 6 : 5));
            for (std::size_t i = 0; i < marks.size(); ++i) {
                CHECK(!marks[i].words.empty());
                CHECK(!marks[i].basis.empty());
                if (i > 0) CHECK(marks[i].speed >= marks[i - 1].speed);
                const AirSpeedNumbers n = airSpeedNumbers(tube(flare), marks[i].speed, f, plainAir());
                if (marks[i].words.find("turbulent") != std::string::npos) CHECK(n.layerReynolds == Approx(550));
                if (marks[i].words.find("half a bore") != std::string::npos) CHECK(n.boreStrouhal == Approx(1));
                if (marks[i].words.find("flares of this") != std::string::npos) CHECK(n.edgeStrouhal == Approx(1));
                if (marks[i].words.find("stop") != std::string::npos) CHECK(n.mach == Approx(0.1));
            }
        }
}

TEST_CASE("a number is shown in three digits, never as a power of ten")
{
    for (const auto& [value, shown] : std::vector<std::pair<double, std::string>>{
             {0.02938, "0.0294"}, {1.4366, "1.44"}, {171.3, "171"}, {999.7, "1000"}, {42163, "42200"}, {0, "0"}})
        CHECK(figureOf({"", "", "", value}) == shown);
}

TEST_CASE("each number says what it means, and changes its mind at its border")
{
    const auto text = [](AirSpeedNumbers n, std::size_t i) { return meaningsOf(n)[i].text; };
    AirSpeedNumbers low{
        .mach = 0.05, .reynolds = 1e4, .layerReynolds = 300, .stroke = 0.01, .boreStrouhal = 2, .edgeStrouhal = 2};
    AirSpeedNumbers high{
        .mach = 0.2, .reynolds = 1e5, .layerReynolds = 900, .stroke = 0.1, .boreStrouhal = 0.3, .edgeStrouhal = 0.3};
    REQUIRE(meaningsOf(low).size() == 5);
    for (std::size_t i : {0u, 2u, 3u, 4u})
        CHECK(text(low, i) != text(high, i));
    for (const AirSpeedMeaning& m : meaningsOf(high)) {
        CHECK(!m.source.empty());
        CHECK(m.value > 0);
    }
}
