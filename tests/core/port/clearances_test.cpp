// SPDX-License-Identifier: GPL-3.0-or-later
// Bent ports laid out in their room, against a walk along their centre line.
#include "core/port/clearances.h"

#include "core/constants.h"
#include "core/search/search.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>
#include <rapidcheck/catch.h>

using namespace portwright;

namespace {

double between(int low, int high, double unit) { return *rc::gen::inRange(low, high + 1) * unit; }

double arcsOf(const PortOpening& port)
{
    double arcs = 0;
    for (const Bend& bend : port.bends)
        arcs += bend.angle * bend.radius;
    return arcs;
}

/// Where a walk from the wall's inner face comes to: down is away from the port's wall, on is across; turns are right
/// angles, from down to on to up.
struct Walk {
    double down = 0, on = 0;
    double deepest = 0, farthest = 0;  // of the centre line
    int heading = 0;                   // 0 down, 1 across, 2 back up

    void straight(double length)
    {
        if (heading == 1)
            on += length;
        else
            down += heading == 0 ? length : -length;
        note();
    }
    void bend(double radius)
    {
        // Each turn goes one radius along the old heading and one along the new.
        down += heading == 0 ? radius : -radius;
        on += radius;
        ++heading;
        note();
    }
    void note() { deepest = std::max(deepest, down), farthest = std::max(farthest, on); }
};

Walk walked(const PortOpening& port, const std::vector<double>& legs)
{
    Walk walk;
    walk.straight(legs[0] - (port.length - insideOf(port)));
    for (std::size_t i = 0; i < port.bends.size(); ++i) {
        walk.bend(port.bends[i].radius);
        walk.straight(legs[i + 1]);
    }
    return walk;
}

struct Case {
    PortOpening body;
    double radius = 0;
    int bends = 1;
    PortSpace space;
};

Case arbitraryCase()
{
    Case c;
    c.body.diameter = between(20, 80, 1e-3), c.body.wall = between(0, 4, 1e-3);
    if (*rc::gen::arbitrary<bool>()) c.body.outerFlare = between(0, 15, 1e-3);
    if (*rc::gen::arbitrary<bool>()) c.body.innerFlare = between(0, 15, 1e-3);
    c.radius = c.body.diameter / 2 + *c.body.wall + between(1, 40, 1e-3);
    c.bends = *rc::gen::inRange(1, 3);
    c.space.empty.netVolume = 0.1, c.space.empty.depth = between(100, 500, 1e-3);
    c.space.across = between(100, 600, 1e-3);
    c.space.wall = between(0, 12, 1e-3), c.space.outside = between(0, 1, 30e-3);
    return c;
}

}  // namespace

TEST_CASE("the legs of a port that the search makes fit its room, and with the bends they are its length")
{
    rc::prop("any tube, room, one bend or two, from the shortest to the longest", [] {
        const Case c = arbitraryCase();
        const double least = shortestPort(c.body, c.bends, c.radius, c.space) + c.body.outerFlare.value_or(0) +
                             c.bends * c.body.innerFlare.value_or(0) + c.space.outside;
        const double most = longestPort(c.body, c.bends, c.radius, c.space);
        RC_PRE(most > least);
        const PortOpening port =
            madePort(c.body, least + (most - least) * between(0, 20, 0.05), c.bends, c.radius, c.space);
        const auto legs = legsIn(port, c.space);
        const auto room = legRoom(port, port.length - insideOf(port), c.space);
        RC_PRE(!room.empty() && room.front().shortest <= room.front().longest &&
               room.back().shortest <= room.back().longest);
        RC_ASSERT(legs.has_value());
        RC_ASSERT(legs->size() == port.bends.size() + 1);
        RC_ASSERT(std::abs(std::accumulate(legs->begin(), legs->end(), arcsOf(port)) - port.length) < 1e-12);
        for (std::size_t i = 0; i < legs->size(); ++i) {
            RC_ASSERT((*legs)[i] > room[i].shortest - 1e-9);
            RC_ASSERT((*legs)[i] < room[i].longest + 1e-9);
        }
        const double half = c.body.diameter / 2 + *c.body.wall, free = c.space.clearance * c.body.diameter;
        const Walk walk = walked(port, *legs);
        RC_ASSERT(walk.deepest + half < straightRun(c.space) + 1e-9);
        if (port.bends.size() == 1) {
            RC_ASSERT(walk.on + free + half < acrossRun(c.space) + 1e-9);  // from the wall beside it
        } else {
            RC_ASSERT(walk.farthest + 2 * half < acrossRun(c.space) + 1e-9);
            RC_ASSERT(walk.down > free - 1e-9);  // the mouth looks at the port's own wall
        }
    });
}

TEST_CASE("whatever bent port the search finds has legs that go into the room it was found for")
{
    int bent = 0;
    rc::prop("rooms and housing's walls at random", [&bent] {
        Housing housing = test::closedHousing(between(4, 15, 1e-3));
        housing.cavity.depth = between(110, 260, 1e-3);
        housing.cavity.width = between(180, 350, 1e-3);
        housing.openings = {{LeakByQ{7}, {}, {}}};
        const Model m = test::modelOfReference(housing, 10);
        SearchRequest r;
        r.stock.tubes = {{"50 mm", 0.050, 2e-3, 0, 0.055}, {"63 mm", 0.063, 2e-3, 0, 0.075}};
        r.stock.flares = {{"8 mm round-over", 8e-3, 0}};
        r.space = spaceOf(m, -1);
        r.space.mostBends = 2, r.space.wall = between(0, 10, 1e-3), r.space.outside = between(0, 1, 25e-3);
        r.tuningFrom = 40, r.tuningTo = 90, r.lengthStep = 4e-3;
        const auto found = searchPorts(m, -1, r);
        RC_ASSERT(found.has_value());
        for (const FoundPort& f : found->ranked) {
            if (f.bends == 0) continue;
            ++bent;
            RC_ASSERT(legsIn(f.port, r.space).has_value());
        }
    });
    CHECK(bent > 50);
}

TEST_CASE("legs are shared equally where the room lets them be, and give way where it does not")
{
    PortOpening body;
    body.diameter = 0.05, body.wall = 2e-3;
    PortSpace s;
    s.empty.netVolume = 8e-3, s.empty.depth = 0.20, s.across = 0.30;
    const double arc = pi / 2 * 0.06;
    const auto equal = legsIn(madePort(body, 0.2 + arc, 1, 0.06, s), s);  // down to 200 - 60 - 27
    REQUIRE(equal);
    CHECK((*equal)[0] == Approx(0.1));
    CHECK((*equal)[1] == Approx(0.1));
    const auto longer = legsIn(madePort(body, 0.26 + arc, 1, 0.06, s), s);
    REQUIRE(longer);
    CHECK((*longer)[0] == Approx(0.113));
    CHECK((*longer)[1] == Approx(0.147));
    CHECK_FALSE(legsIn(madePort(body, 0.28 + arc, 1, 0.06, s), s));  // on to 300 - 27 - 60 - 50: 276 mm in all
    // Two bends: what comes back ends a bore before its own wall, so the first leg is a bore longer than the last.
    const auto back = legsIn(madePort(body, 0.15 + 2 * arc, 2, 0.06, s), s);
    REQUIRE(back);
    CHECK((*back)[0] >= (*back)[2] + 0.05 - 1e-12);
    CHECK((*back)[0] + (*back)[1] + (*back)[2] == Approx(0.15));
}

TEST_CASE("flares are part of their legs, and other bends than right-angled ones have no room that is known")
{
    PortOpening port;
    port.diameter = 0.05, port.length = 0.3, port.outerFlare = 0.02, port.innerFlare = 0.01;
    port.bends = {{pi / 2, 0.06, {}}};
    const auto legs = equalLegs(port);
    CHECK(legs[0] - 0.02 == Approx(legs[1] - 0.01));
    CHECK(legs[0] + legs[1] + pi / 2 * 0.06 == Approx(0.3));
    PortSpace s;
    s.empty.netVolume = 0.02, s.empty.depth = 0.3, s.across = 0.3;
    CHECK(legRoom(port, 0, s).size() == 2);
    port.bends[0].angle = pi / 4;
    CHECK(legRoom(port, 0, s).empty());
    CHECK_FALSE(legsIn(port, s));
    port.bends.clear();
    CHECK(legRoom(port, 0, s).empty());
    port.bends.assign(3, Bend{pi / 2, 0.06, {}});
    CHECK(legRoom(port, 0, s).empty());
}

TEST_CASE("how long a port may be is geometry")
{
    PortOpening body;
    body.diameter = 0.05, body.wall = 2e-3;
    PortSpace s;
    s.empty.netVolume = 8e-3, s.empty.depth = 0.20, s.across = 0.30, s.wall = 0.01;
    CHECK(longestPort(body, 0, 0.06, s) == Approx(0.20 - 0.05 + 0.01));
    // down to 200 - 60 - 27, a quarter turn, on to 300 - 27 - 60 - 50
    CHECK(longestPort(body, 1, 0.06, s) == Approx(0.01 + 0.113 + pi / 2 * 0.06 + 0.163));
    // two turns, across 300 - 54 - 120, back 113 - 50
    CHECK(longestPort(body, 2, 0.06, s) == Approx(0.01 + 0.113 + pi * 0.06 + 0.126 + 0.063));
    CHECK(longestPort(body, 1, 0.02, s) == 0);  // tighter than the tube
    s.across = 0.1;
    CHECK(longestPort(body, 1, 0.06, s) == 0);
    const PortOpening made = madePort(body, 0.15, 0, 0, s);
    CHECK(*made.inside == Approx(0.14));
    CHECK(made.innerEnd == TubeEnd::free);
    CHECK(madePort(body, 0.01, 0, 0, s).innerEnd == TubeEnd::flush);
}

TEST_CASE("a bent port runs across the wider way that it may take, from where its mouth is")
{
    PortOpening body;
    body.diameter = 0.05, body.wall = 2e-3;
    PortSpace s;
    s.empty.netVolume = 12e-3, s.empty.width = 0.30, s.empty.breadth = 0.22, s.empty.depth = 0.2;
    CHECK(acrossRun(body, s) == Approx(0.30));
    const PortOpening made = madePort(body, 0.3, 1, 0.06, s);
    REQUIRE(made.x);
    CHECK(*made.x == Approx(0.027));  // its outline against the wall that it turns away from
    CHECK_FALSE(made.y);
    CHECK(acrossRun(made, s) == Approx(0.30));
    CHECK_FALSE(whyImpossible(made, {10e-3, 0.3, 0.22, 0.2, 1}));
    CHECK_FALSE(madePort(body, 0.15, 0, 0, s).x);
    const auto mouth = bentMouthOf(made, s);
    REQUIRE(mouth);
    CHECK(mouth->fromWall == Approx(0.027));
    CHECK(mouth->alongWidth);
    CHECK(wordsOf(*mouth, "27 mm") ==
          "27 mm from the wall that it turns away from, middle of the mouth to wall; it runs on along the width");
    CHECK_FALSE(bentMouthOf(body, s));

    // Where the mouth sits given, the rest follows: in the middle half of the width and half a tube.
    PortOpening given = made;
    given.x = 0.15;
    CHECK(acrossRun(given, s) == Approx(0.22));  // along the breadth, for which nothing is said
    given.y = 0.11;
    CHECK(acrossRun(given, s) == Approx(0.15 + 0.027));
    CHECK(bentMouthOf(given, s)->fromWall == Approx(0.15));
    CHECK(longestPort(given, 1, 0.06, s) == Approx(longestPort(body, 1, 0.06, s) - 0.30 + 0.177));
    given.length = longestPort(given, 1, 0.06, s) - 1e-3, given.inside = given.length;
    CHECK(legsIn(given, s).has_value());
    given.length += 2e-3, given.inside = given.length;
    CHECK_FALSE(legsIn(given, s).has_value());
    given.x.reset(), given.y.reset();
    CHECK(legsIn(given, s).has_value());

    // Two in a row turn across it, a slot over its flat side, four in two rows not at all; what is measured holds.
    body.count = 2;
    CHECK(acrossRun(body, s) == Approx(0.22));
    const PortOpening pair = madePort(body, 0.3, 1, 0.06, s);
    CHECK_FALSE(pair.x);
    CHECK(*pair.y == Approx(0.027));
    body.count = 9;
    CHECK(acrossRun(body, s) == 0);
    CHECK(longestPort(body, 1, 0.06, s) == 0);
    body.count.reset();
    body.shape = PortShape::slot, body.width = 0.12, body.height = 0.02;
    CHECK(acrossRun(body, s) == Approx(0.22));
    s.across = 0.18;
    CHECK(acrossRun(body, s) == Approx(0.18));
    CHECK_FALSE(madePort(body, 0.3, 1, 0.06, s).y);  // where that run begins is not known
    CHECK(bentMouthOf(madePort(body, 0.3, 1, 0.06, s), s)->fromWall == Approx(0.012));
    s.across.reset(), s.empty.breadth = 0;  // of which depth and volume say what it is
    CHECK(acrossRun(body, s) == Approx(12e-3 / (0.3 * 0.2)));
}

TEST_CASE("a bent port against its wall tunes a little lower than in the middle, and is found so")
{
    Housing housing = test::closedHousing(9e-3);
    housing.cavity.width = 0.24, housing.cavity.breadth = 0.18, housing.cavity.depth = 0.22;
    housing.openings = {{LeakByQ{7}, {}, {}}};
    const Model m = test::modelOfReference(housing, 10);
    SearchRequest r;
    r.stock.tubes = {{"50 mm", 0.050, 2e-3, 0, 0.055}};
    r.stock.slotShapes.clear();
    r.space = spaceOf(m, -1);
    r.space.straight = 0.14;
    r.tuningFrom = 40, r.tuningTo = 75, r.lengthStep = 4e-3, r.mostTubes = 1;
    const auto found = searchPorts(m, -1, r);
    REQUIRE(found.has_value());
    int bent = 0;
    for (const FoundPort& f : found->ranked) {
        if (f.bends == 0) continue;
        ++bent;
        REQUIRE(f.port.x);
        CavityRoom room = r.space.empty;
        room.netVolume -= outlineVolume(f.port);
        const double there = tuningOf(portInCavity(f.port, room, m.air));
        PortOpening middle = f.port;
        middle.x.reset();
        const double centred = tuningOf(portInCavity(middle, room, m.air));
        CAPTURE(f.words, f.reasons, there, centred);
        CHECK(there < centred);
        CHECK(there > 0.97 * centred);
        CHECK(f.tuning == Approx(there).epsilon(0.003));
        CHECK(std::any_of(f.reasons.begin(), f.reasons.end(), [](const std::string& why) {
            return why.find("drill its mouth 27\u00A0mm from the wall that it turns away from") == 0;
        }));
    }
    CHECK(bent > 1);
}
