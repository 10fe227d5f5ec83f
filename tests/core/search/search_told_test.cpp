// SPDX-License-Identifier: GPL-3.0-or-later
// What a search says: of the port there is, of what it leaves out, of what it finds.
#include "core/search/search.h"

#include "core/port/geometry.h"
#include "core/response/summary.h"
#include "core/sizing/sizing.h"
#include "tests/core/search/small_search.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("the port there is now stands beside those found")
{
    Housing housing = closedHousing(8e-3);
    housing.cavity.width = 0.2, housing.cavity.breadth = 0.19;
    PortOpening old;
    old.diameter = 0.05, old.wall = 2e-3, old.length = 0.12;
    housing.openings = {{old, {}, {}}, {LeakByQ{7}, {}, {}}};
    Model m = modelOfReference(housing, 10);
    m.driver.Xmax = 4e-3, m.driver.power = 80;
    SearchRequest r = smallRequest(m);
    r.space = spaceOf(m, 0);
    const auto result = searchPorts(m, 0, r);
    REQUIRE(result);
    REQUIRE(result->present);
    const FoundPort& now = *result->present;
    CHECK(now.port == old);
    CHECK(now.netVolume == housing.cavity.netVolume);
    CHECK(now.words == "50\u00A0mm bore, 120\u00A0mm");
    CHECK(now.tuning == Approx(tuningOf(portInCavity(old, roomOf(housing.cavity), m.air))).epsilon(1e-3));
    // The whole model by itself, and the quick one near it.
    const auto summary = summaryOf(m);
    REQUIRE(summary);
    CHECK(now.f3 == summary->f3.value_or(0));
    const auto curves = curvesOf(m, logGrid(r.band.lowest, 200, 120));
    REQUIRE(curves);
    CHECK(now.travel == Approx(curves->coneTravel.maxCoeff()));
    CHECK(now.airSpeed == Approx(curves->portAir.at(0).maxCoeff()));
    CHECK(now.scores.loudest == Approx(now.loudest).margin(1.5));
    const auto again = searchPorts(m, -1, smallRequest(m));
    REQUIRE(again);
    CHECK_FALSE(again->present);
}

TEST_CASE("the port there is now is told where it would not fit the space asked for")
{
    Housing housing = closedHousing(8e-3);
    PortOpening old;
    old.diameter = 0.05, old.wall = 2e-3, old.length = 0.12;
    housing.openings = {{old, {}, {}}, {LeakByQ{7}, {}, {}}};
    const Model m = modelOfReference(housing, 10);
    SearchRequest r = smallRequest(m);
    r.space = spaceOf(m, 0);
    const double free = freeBefore(old, r.space);
    for (const double beyond : {-1e-3, 1e-3}) {
        r.space.straight = old.length + free - beyond;
        const auto result = searchPorts(m, 0, r);
        REQUIRE(result);
        REQUIRE(result->present);
        CAPTURE(beyond, result->present->reasons);
        CHECK(result->present->reasons.empty() == (beyond < 0));
    }
    // What stands outside needs no room inside.
    auto& port = std::get<PortOpening>(housing.openings[0].kind);
    port.inside = 0.05;
    const auto through = searchPorts(modelOfReference(housing, 10), 0, r);
    REQUIRE(through);
    CHECK(through->present->reasons.empty());
    port.inside.reset();
    // A loss that is given does not grow with the level as those of the found ones do: that is told too.
    port.lossQ = 80;
    const auto given = searchPorts(modelOfReference(housing, 10), 0, r);
    REQUIRE(given);
    CHECK(given->present->reasons.size() == 2);
}

TEST_CASE("a cone past its travel below the band is told, with how far, and only then")
{
    for (const double voltage : {0.5, 20.0}) {
        Model m = housed(9, voltage);
        m.driver.Xmech = 5e-3;
        const auto result = searchPorts(m, -1, smallRequest(m));
        REQUIRE(result);
        REQUIRE_FALSE(result->ranked.empty());
        double farthest = 0;
        for (const FoundPort& f : result->ranked)
            farthest = std::max(farthest, f.travel);
        const auto told = std::find_if(result->notes.begin(), result->notes.end(), [](const std::string& note) {
            return note.find("the cone passes its") != std::string::npos;
        });
        CAPTURE(voltage, farthest);
        CHECK((farthest > *m.driver.Xmax) == (voltage > 1));
        CHECK((result->pastTravel > 0) == (voltage > 1));
        REQUIRE((told != result->notes.end()) == (farthest > *m.driver.Xmax));
        if (told != result->notes.end())
            CHECK(told->find(formatQuantity(farthest, Dimension::travel)) != std::string::npos);
    }
}

TEST_CASE("a slot against walls of the cavity is told where it lies, and what is not checked")
{
    Model m = housed(8, 10, 0.25);
    SearchRequest r = smallRequest(m);
    r.stock.tubes.clear();
    r.sharedWalls = {1, 2, 3};
    const auto unknown = searchPorts(m, -1, r);
    REQUIRE(unknown);
    CHECK(unknown->candidates == 0);
    CHECK(std::any_of(unknown->notes.begin(), unknown->notes.end(),
                      [](const std::string& note) { return note.find("share walls") != std::string::npos; }));
    m.housing.cavity.width = 0.2, m.housing.cavity.breadth = 0.16;
    r.space = spaceOf(m, -1);
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    std::set<int> walls;
    for (const FoundPort& f : result->ranked) {
        CAPTURE(f.words, f.reasons);
        const int shared = sharedWallsOf(f.port);
        walls.insert(shared);
        CHECK(f.port.bends.empty());
        CHECK(f.flare.empty());
        CHECK(countOf(f.port) == 1);
        CHECK(f.words.find(shared == 1   ? "on the floor"
                           : shared == 2 ? "in a corner"
                                         : "across the floor") != std::string::npos);
        if (shared == 3) CHECK(f.port.width == Approx(0.2));
        const bool told = std::any_of(f.reasons.begin(), f.reasons.end(), [](const std::string& why) {
            return why.find("slots that stand inside are reckoned within 0.5") != std::string::npos;
        });
        CHECK(told == (insideOf(f.port) > 0 && shared < 3));
    }
    CHECK(*walls.begin() > 0);
}

TEST_CASE("what does not fit is told with what it needs, what there is, and what would help")
{
    const Model m = housed(6, 10, 0.16);
    SearchRequest r = smallRequest(m);
    r.stock.tubes = {{"63 mm tube", 0.063, 2e-3, 2, 0.063}};
    r.stock.slotShapes.clear();
    r.stock.flares.clear();
    r.tuningFrom = 60, r.tuningTo = 68;
    r.mostTubes = 1;
    r.space.mostBends = 0;
    r.space.across = 0.4;
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    CHECK(result->ranked.empty());
    REQUIRE(result->rejected.size() == 1);
    const RejectedPorts& x = result->rejected[0];
    CHECK(x.reason == RejectedPorts::Reason::room);
    CHECK(x.available == Approx(0.16 - 0.063));
    CHECK(x.needed > x.available);
    CAPTURE(x.why);
    CHECK(x.why.find("straight it needs") != std::string::npos);
    CHECK(x.why.find("with one bend it fits") != std::string::npos);
    // Nearest compromise: as long as it may be, tuned above what is wanted; and what would do without a port.
    REQUIRE_FALSE(result->compromises.empty());
    CHECK(result->compromises[0].port.length == Approx(x.available));
    CHECK(result->compromises[0].tuning > r.tuningTo);
    REQUIRE(result->otherWays.size() == 2);
    CHECK(result->otherWays[0].name == "passive radiator");
    CHECK(result->otherWays[0].f3 > 0);
    CHECK(result->otherWays[1].words.find("Sealed") != std::string::npos);
    // With the bend it is found.
    r.space.mostBends = 1;
    const auto bent = searchPorts(m, -1, r);
    REQUIRE(bent);
    REQUIRE_FALSE(bent->ranked.empty());
    CHECK(bent->ranked[0].bends == 1);
    CHECK(bent->ranked[0].port.bends.size() == 1);
    CHECK(bent->ranked[0].tuning == Approx(64).margin(4.5));
}

TEST_CASE("mouths that the wall has no place for, holes that tune too low, pieces that are too short")
{
    const Model m = housed(6);
    SearchRequest r = smallRequest(m);
    std::vector<RejectedPorts> rejected;
    const auto reasonOf = [&](const std::string& what) {
        rejected.clear();
        everything(m, r, &rejected);
        for (const RejectedPorts& x : rejected)
            if (x.what == what) return std::optional(x.reason);
        return std::optional<RejectedPorts::Reason>();
    };
    r.space.mouthWidth = 0.12, r.space.mouthHeight = 0.07;
    CHECK(reasonOf("76 mm tube") == RejectedPorts::Reason::place);
    CHECK(reasonOf("50 mm tube") == std::nullopt);
    CHECK(reasonOf("2 x 50 mm tube") == std::nullopt);  // 2 x 54 + 5 = 113 mm
    r.space.mouthWidth = 0.11;
    CHECK(reasonOf("2 x 50 mm tube") == RejectedPorts::Reason::place);
    r.tuningFrom = 250, r.tuningTo = 300;
    CHECK(reasonOf("38 mm tube") == RejectedPorts::Reason::tooLow);
    r.tuningFrom = 45, r.tuningTo = 60;
    r.stock.tubes[1].longest = 0.05;
    CHECK(reasonOf("50 mm tube") == RejectedPorts::Reason::piece);
}

TEST_CASE("a port smaller than Small's minimum is told so")
{
    // Small, JAES 21 (1973) 438: S >= 0.8 fb Vd. 133 cm2 x 4 mm at 60 Hz: 25.5 cm2; a 38 mm tube has 11.3.
    const Model m = housed(9);
    SearchRequest r = smallRequest(m);
    r.stock.tubes.resize(1);
    r.stock.slotShapes.clear();
    r.mostTubes = 1;
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    REQUIRE_FALSE(result->ranked.empty());
    const FoundPort& f = result->ranked[0];
    CHECK(f.smallestArea == Approx(0.8 * f.tuning * 0.0133 * 4e-3));
    CHECK(f.reasons.back().find("Small's rule") != std::string::npos);
}

TEST_CASE("port air is held to the housing's limit, or where asked for to what its flares allow")
{
    Model m = housed(9, 20);
    m.portAirLimit = 12;
    SearchRequest r = smallRequest(m);
    const auto given = searchPorts(m, -1, r);
    REQUIRE(given);
    for (const FoundPort& f : given->ranked)
        CHECK(f.airLimit == 12);
    r.airByFlares = true;
    const auto flared = searchPorts(m, -1, r);
    REQUIRE(flared);
    for (const FoundPort& f : flared->ranked)
        CHECK(f.airLimit >= 17);
    CHECK(flared->ranked.front().loudest > given->ranked.front().loudest);
}

TEST_CASE("a request that cannot be is refused in a sentence")
{
    const Model m = housed(9);
    const auto refused = [&](const auto& change) {
        SearchRequest r = smallRequest(m);
        change(r);
        const auto result = searchPorts(m, -1, r);
        REQUIRE_FALSE(result);
        CHECK_FALSE(result.error().message.empty());
        return result.error().field;
    };
    CHECK(refused([](SearchRequest& r) { r.tuningFrom = 90, r.tuningTo = 60; }) == "tuning");
    CHECK(refused([](SearchRequest& r) { r.tuningFrom = std::nan(""); }) == "tuning");
    CHECK(refused([](SearchRequest& r) { r.band.to = 10; }) == "band");
    CHECK(refused([](SearchRequest& r) { r.mostTubes = 0; }) == "tubes");
    CHECK(refused([](SearchRequest& r) { r.show = 0; }) == "show");
    CHECK(refused([](SearchRequest& r) { r.sharedWalls = {4}; }) == "shared");
    CHECK(refused([](SearchRequest& r) { r.sharedWalls = {}; }) == "shared");
    CHECK(refused([](SearchRequest& r) { r.space.mostBends = 3; }) == "bends");
    CHECK(refused([](SearchRequest& r) { r.lengthStep = 0; }) == "step");
    CHECK(refused([](SearchRequest& r) { r.stock = {}; }) == "stock");
    CHECK(refused([](SearchRequest& r) { r.aims.clear(); }) == "aims");
    CHECK(refused([](SearchRequest& r) { r.aims = {Aim::loudest, Aim::loudest}; }) == "aims");
    CHECK(refused([](SearchRequest& r) { r.space.empty.netVolume = 0; }) == "volume");
    CHECK(refused([](SearchRequest& r) { r.space.clearance = -1; }) == "space");
    CHECK(refused([](SearchRequest& r) { r.portAir = 0; }) == "air");
    Housing inSecond = m.housing;
    inSecond.secondCavity = SecondCavity{};
    inSecond.secondCavity->cavity.netVolume = 2e-3;
    inSecond.openings.push_back({PortOpening{}, CavityId::second, {}});
    Model two = m;
    two.housing = inSecond;
    CHECK_FALSE(searchPorts(two, 1, smallRequest(m)));
    CHECK_FALSE(searchPorts(m, 0, smallRequest(m)));  // the leak
    CHECK_FALSE(searchPorts(m, 7, smallRequest(m)));
}
