// SPDX-License-Identifier: GPL-3.0-or-later
// Whether a port goes into the run that was measured for it, against the search's own longest port.
#include "core/port/free_run.h"

#include "core/port/geometry.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

double between(int low, int high, double unit) { return *rc::gen::inRange(low, high + 1) * unit; }

PortOpening tube(double bore, double length)
{
    PortOpening port;
    port.diameter = bore, port.length = length;
    return port;
}

Cavity measured(std::optional<double> straight, std::optional<double> across = {})
{
    Cavity cavity;
    cavity.netVolume = 8e-3;
    cavity.roomForPort.emplace();
    cavity.roomForPort->straight = straight, cavity.roomForPort->across = across;
    return cavity;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a straight port needs its own length and one bore before its end")
{
    Cavity unknown;
    unknown.netVolume = 8e-3;
    CHECK_FALSE(whyNotInRun(tube(0.05, 3), unknown));
    CHECK_FALSE(whyNotInRun(tube(0.05, 3), measured({}, 0.3)));  // nothing is known of the way it takes
    CHECK_FALSE(whyNotInRun(tube(0.05, 0.11), measured(0.16)));
    const auto tight = whyNotInRun(tube(0.05, 0.13), measured(0.16));
    REQUIRE(tight);
    CHECK(tight->tight);
    CHECK(has(tight->words, "of the 160"));
    CHECK(has(tight->words, "it leaves 30"));
    CHECK(has(tight->words, "less than one bore (50"));
    const auto none = whyNotInRun(tube(0.05, 0.16), measured(0.16));
    REQUIRE(none);
    CHECK_FALSE(none->tight);
    CHECK(has(none->words, "reaches 160"));
    PortOpening outside = tube(0.05, 0.16);
    outside.inside = 0.10;
    CHECK_FALSE(whyNotInRun(outside, measured(0.16)));
    CHECK(has(whyNotInRun(tube(0.05, 0.2), measured(0.1524), UnitSystem::us)->words, "6\u00A0in"));
}

TEST_CASE("a bent port is told the longest that goes in; bends that are no right angles are not judged")
{
    PortOpening bent = tube(0.05, 0.45);
    bent.wall = 2e-3;
    bent.bends = {Bend{pi / 2, 0.06, {}}};
    const auto why = whyNotInRun(bent, measured(0.16, 0.2));
    REQUIRE(why);
    CHECK_FALSE(why->tight);
    CHECK(has(why->words, "is the longest that does, and it is 450"));
    CHECK(has(whyNotInRun(bent, measured(0.08, 0.2))->words, "bends of 60"));
    bent.bends[0].angle = pi / 4;
    CHECK_FALSE(whyNotInRun(bent, measured(0.16, 0.2)));
}

TEST_CASE("a port fits its run exactly up to the longest that fits, with any of it outside")
{
    rc::prop("any bore, wall, run", [] {
        PortOpening port = tube(between(20, 90, 1e-3), 0);
        port.wall = between(0, 4, 1e-3);
        const double straight = between(100, 400, 1e-3), out = between(0, 60, 1e-3);
        PortSpace space;
        space.empty.netVolume = 0.05, space.straight = straight, space.outside = out;
        const double longest = longestPort(port, 0, 0, space);
        RC_PRE(longest > out + 0.002);
        Cavity cavity = measured(straight);
        cavity.netVolume = 0.05;
        const auto cut = [&](double length) {
            PortOpening made = port;
            made.length = length, made.inside = length - out;
            return made;
        };
        RC_ASSERT(!whyNotInRun(cut(longest - 1e-4), cavity));
        const auto why = whyNotInRun(cut(longest + 1e-3), cavity);
        RC_ASSERT(why.has_value());
        RC_ASSERT(why->tight);
        RC_ASSERT(!whyNotInRun(cut(straight + out), cavity)->tight);
    });
}
