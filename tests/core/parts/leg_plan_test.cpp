// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/leg_plan.h"

#include "core/constants.h"
#include "core/parts/blanks.h"
#include "core/port/clearances.h"
#include "tests/core/parts/random_port.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening elbow(double length)
{
    PortOpening port = roundPort(0.05, length);
    port.wall = 2e-3;
    port.bends = {{pi / 2, 0.06, {}}};
    return port;
}

Cavity box(double width, double breadth, double depth)
{
    Cavity cavity;
    cavity.netVolume = 0.9 * width * breadth * depth;
    cavity.width = width, cavity.breadth = breadth, cavity.depth = depth;
    return cavity;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("where the room is not known the legs are equal, and that is said")
{
    Cavity cavity;
    cavity.netVolume = 8e-3;
    const auto plan = legPlan(elbow(0.3), cavity, {});
    REQUIRE(plan);
    CHECK(plan->legs[0] == Approx(plan->legs[1]));
    CHECK(
        has(plan->words, "is not known: the straights are equal, and may be shared out otherwise if their sum stays."));
    CHECK_FALSE(plan->trouble);
    CHECK_FALSE(legPlan(roundPort(0.05, 0.2), cavity, {}));
    // One run known: the legs keep to it, and nothing is said to bound the other.
    const PortOpening bent = elbow(0.3);
    cavity.roomForPort.emplace().straight = bent.bends[0].radius + bent.diameter / 2 + bent.wall.value_or(0) + 0.02;
    const auto one = legPlan(bent, cavity, {});
    CHECK(has(one->words, "how far they may run across is not known"));
    CHECK_FALSE(one->trouble);
    CHECK(one->legs[0] == Approx(0.02));
    CHECK(one->legs[0] + one->legs[1] == Approx(0.3 - bent.bends[0].radius * pi / 2));
    PortOpening eighth = elbow(0.3);
    eighth.bends[0].angle = pi / 4;
    cavity.roomForPort->across = 0.3;
    CHECK(has(legPlan(eighth, cavity, {})->words, "Bends other than one or two right angles"));
}

TEST_CASE("legs keep to the cavity's sizes, or to the run that is given")
{
    const double arc = pi / 2 * 0.06;
    const auto plan = legPlan(elbow(0.26 + arc), box(0.3, 0.2, 0.2), {});
    REQUIRE(plan);
    CHECK(plan->legs[0] == Approx(0.113));  // 200 - 60 - 27
    CHECK(plan->legs[1] == Approx(0.147));
    CHECK(plan->words ==
          "Legs keep to 200.0\u00A0mm behind the wall and 300.0\u00A0mm across; the straight before the "
          "bend may be 97.0\u00A0mm to 113.0\u00A0mm, if the one after it makes up for it. Drill its mouth "
          "27.0\u00A0mm from the wall that it turns away from, middle of the mouth to wall; it runs on "
          "along the width.");
    PortOpening inMiddle = elbow(0.26 + arc);
    inMiddle.x = 0.15, inMiddle.y = 0.1;
    const auto less = legPlan(inMiddle, box(0.3, 0.2, 0.2), {});
    REQUIRE(less->trouble);
    CHECK(has(*less->trouble, "177.0\u00A0mm across that there are"));
    const auto within = [&](double straight, double across) {
        Cavity cavity = box(0.3, 0.2, 0.2);
        cavity.roomForPort.emplace();
        cavity.roomForPort->straight = straight, cavity.roomForPort->across = across;
        return legPlan(elbow(0.26 + arc), cavity, {});
    };
    CHECK(within(0.15, 0.4)->legs[0] == Approx(0.063));
    const auto none = within(0.12, 0.3);
    REQUIRE(none->trouble);
    CHECK(has(*none->trouble, "the bent port does not go into the 120.0\u00A0mm behind the wall and 300.0\u00A0mm "
                              "across that there are: 290.2\u00A0mm is the longest that does"));
    CHECK(has(*within(0.08, 0.3)->trouble, "bends of 60.0\u00A0mm do not go into"));
}

TEST_CASE("what is cut long goes into the last leg, and must fit as well")
{
    const double arc = pi / 2 * 0.06;
    PartOptions options;
    options.cutLong = 0.02;
    const auto plan = legPlan(elbow(0.25 + arc), box(0.3, 0.2, 0.2), options);
    REQUIRE(plan);
    CHECK_FALSE(plan->trouble);
    CHECK(plan->legs[0] + plan->legs[1] == Approx(0.25));
    CHECK(plan->legs[1] + 0.02 <= 0.163 + 1e-9);  // on to 300 - 27 - 60 - 50
    options.cutLong = 0.05;
    const auto tooLong = legPlan(elbow(0.25 + arc), box(0.3, 0.2, 0.2), options);
    REQUIRE(tooLong->trouble);
    CHECK(has(*tooLong->trouble, "cut long by 50.0\u00A0mm the port does not go into"));
    CHECK(tooLong->legs[0] + tooLong->legs[1] == Approx(0.25));
}

TEST_CASE("the pieces sawn and the bends are as long as the port that the search laid out, each leg in its room")
{
    rc::prop("any tube, flares, one bend or two", [] {
        PortOpening body = roundPort(between(20, 70, 1e-3), 0);
        body.wall = between(1, 4, 1e-3);
        if (*rc::gen::arbitrary<bool>()) body.outerFlare = between(0, 12, 1e-3);
        if (*rc::gen::arbitrary<bool>()) body.innerFlare = between(0, 12, 1e-3);
        PortSpace space;
        space.straight = between(150, 400, 1e-3), space.across = between(200, 600, 1e-3);
        space.empty.netVolume = 0.2, space.outside = between(0, 1, 25e-3), space.wall = between(0, 6, 1e-3);
        const int bends = *rc::gen::inRange(1, 3);
        const double radius = body.diameter / 2 + *body.wall + between(2, 40, 1e-3);
        const double least = shortestPort(body, bends, radius, space) + space.outside + body.outerFlare.value_or(0) +
                             body.innerFlare.value_or(0) + 0.02;
        const double most = longestPort(body, bends, radius, space);
        RC_PRE(most > least);
        const PortOpening port = madePort(body, least + (most - least) * between(0, 10, 0.1), bends, radius, space);
        RC_PRE(legsIn(port, space).has_value());
        Cavity cavity;
        cavity.netVolume = 0.2;
        cavity.roomForPort.emplace();
        cavity.roomForPort->straight = space.straight, cavity.roomForPort->across = space.across;
        PartOptions options;
        const auto plan = legPlan(port, cavity, options);
        RC_ASSERT(plan.has_value());
        RC_ASSERT(!plan->trouble);
        RC_ASSERT(plan->legs == *legsIn(port, space));
        const auto blanks = tubeBlanks(port, options, plan->legs);
        RC_ASSERT(blanks.has_value());
        double sum = blanks->outerFlare + blanks->innerFlare;
        for (const CutPiece& piece : blanks->straights)
            sum += piece.length;
        for (const BendBlank& bend : blanks->bends)
            sum += bend.length;
        RC_ASSERT(std::abs(sum - port.length) < 1e-8);
    });
}
