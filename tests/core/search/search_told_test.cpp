// SPDX-License-Identifier: GPL-3.0-or-later
// What a search says: of the port there is, of what it leaves out, of what it finds.
#include "core/search/search.h"

#include "core/port/geometry.h"
#include "core/response/summary.h"
#include "core/search/band_grid.h"
#include "core/search/search_words.h"
#include "core/sizing/sizing.h"
#include "tests/core/search/small_search.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <rapidcheck/catch.h>
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
    const auto curves = curvesOf(m, logGrid(r.band.lowest, 200, 600));
    REQUIRE(curves);
    CHECK(now.travel == Approx(curves->coneTravel.maxCoeff()).epsilon(2e-3));
    CHECK(now.airSpeed == Approx(curves->portAir.at(0).maxCoeff()).epsilon(2e-3));
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
    // All of them fail it: told once, with what they have and what is asked, and on no row.
    const auto told = [](const std::string& words) { return words.find("Small's rule") != std::string::npos; };
    for (const FoundPort& one : result->ranked) {
        CHECK(countOf(one.port) * areaOf(one.port) < one.smallestArea);
        CHECK(std::none_of(one.reasons.begin(), one.reasons.end(), told));
    }
    const auto note = std::find_if(result->notes.begin(), result->notes.end(), told);
    REQUIRE(note != result->notes.end());
    CHECK(note->find("less mouth (" + formatQuantity(areaOf(f.port), Dimension::area) + ")") != std::string::npos);
    // Where some keep it, those that do not say so.
    const Model large = housed(25, 10, 0.5);
    SearchRequest wide = smallRequest(large);
    wide.stock.tubes = {smallStock().tubes[0], {"100 mm tube", 0.1, 2e-3, 1, 0.11}};
    wide.stock.slotShapes.clear();
    const auto both = searchPorts(large, -1, wide);
    REQUIRE(both);
    CHECK(std::none_of(both->notes.begin(), both->notes.end(), told));
    std::size_t small = 0;
    for (const FoundPort& one : both->ranked) {
        const bool fails = countOf(one.port) * areaOf(one.port) < one.smallestArea;
        small += fails ? 1 : 0;
        CHECK(std::any_of(one.reasons.begin(), one.reasons.end(), told) == fails);
    }
    CHECK(small > 0);
    CHECK(small < both->ranked.size());
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

TEST_CASE("what is said to fit with a bend more is found with it")
{
    int claims = 0;
    rc::prop("any cavity and range", [&claims] {
        Model m = housed(logUniform(4, 14), 10, logUniform(0.1, 0.3));
        if (coin()) {
            Housing housing = m.housing;
            const double volume = housing.cavity.netVolume, depth = *housing.cavity.depth;
            housing.cavity.width = std::sqrt(volume / depth) * logUniform(0.8, 1.3);
            housing.cavity.breadth = volume / depth / *housing.cavity.width;
            m = withHousing(m, housing);
        }
        SearchRequest r = smallRequest(m);
        r.space = spaceOf(m, -1);
        r.space.straight = logUniform(0.09, 0.25);
        r.tuningFrom = logUniform(40, 70), r.tuningTo = r.tuningFrom * logUniform(1.05, 1.6);
        r.space.mostBends = *rc::gen::inRange(0, 2);
        r.lengthStep = 1e-3;
        std::vector<RejectedPorts> rejected;
        everything(m, r, &rejected);
        for (const RejectedPorts& x : rejected) {
            const bool one = x.why.find("with one bend it fits") != std::string::npos;
            if (!one && x.why.find("with 2 bends it fits") == std::string::npos) continue;
            ++claims;
            SearchRequest more = r;
            more.space.mostBends = one ? 1 : 2;
            std::vector<RejectedPorts> still;
            everything(m, more, &still);
            for (const RejectedPorts& y : still)
                if (y.what == x.what) RC_LOG() << x.what << ": " << x.why << "\n" << y.why << "\n";
            RC_ASSERT(std::none_of(still.begin(), still.end(), [&](const auto& y) { return y.what == x.what; }));
        }
    });
    CHECK(claims > 20);
}

TEST_CASE("every port of a ranking is one that the program takes")
{
    int turned = 0, lipped = 0;
    rc::prop("boxes of all shapes, up to four tubes, lips and walls shared", [&] {
        Project p;
        p.drivers = {{}};
        DriverSheet& sheet = p.drivers[0];
        sheet.id = "d", sheet.fs = 66.9, sheet.Qes = 0.43, sheet.Qms = 4.75, sheet.Vas = 7.19e-3, sheet.Re = 3.34;
        sheet.Sd = 138.9e-4, sheet.Xmax = 4e-3, sheet.power = 80;
        Housing h = closedHousing(1e-3);
        h.driver = "d";
        const double width = logUniform(0.1, 0.3), breadth = 0.36 / logUniform(1, 3), depth = 0.32 / logUniform(1, 3);
        h.cavity.width = width, h.cavity.breadth = breadth, h.cavity.depth = depth;
        h.cavity.netVolume = width * breadth * depth * logUniform(0.85, 1);
        if (coin()) h.cavity.breadth.reset();
        p.housings = {h};
        const auto m = modelOf(p, 0);
        RC_ASSERT(m.has_value());
        SearchRequest r = smallRequest(*m);
        r.stock.flares = {{"10 mm round-over", 0.010, 0}, {"19 mm round-over", 0.019, 0}};
        r.mostTubes = 4, r.show = 60;
        if (coin()) r.sharedWalls = {0, 1, 2, 3};
        r.tuningFrom = 45, r.tuningTo = 160;
        r.space.mostBends = 2;
        if (coin()) r.space.outside = 0.02;
        const auto found = searchPorts(*m, -1, r);
        RC_ASSERT(found.has_value());
        for (const FoundPort& f : found->ranked) {
            Project with = p;
            with.housings[0].openings.push_back({f.port, {}, {}});
            with.housings[0].cavity.netVolume = f.netVolume;
            const auto taken = modelOf(with, 0);
            if (!taken) RC_LOG() << f.words << ": " << taken.error().message << "\n";
            RC_ASSERT(taken.has_value());
            const auto tuning = tuningOf(*taken);
            RC_ASSERT(tuning && std::abs(*tuning / f.tuning - 1) < 1e-6);
            if (countOf(f.port) == 2 && arrangementOf(f.port, width).columns == 1) ++turned;
            if (!f.flare.empty() && countOf(f.port) > 1) ++lipped;
        }
    });
    CHECK(turned > 0);
    CHECK(lipped > 0);
}

TEST_CASE("where a row of tubes does not fit the width, one that stands upright does")
{
    Model m = housed(0.208 * 0.215 * 0.2 * 1e3, 10, 0.2);
    Housing housing = m.housing;
    housing.cavity.width = 0.208, housing.cavity.breadth = 0.215;
    m = withHousing(m, housing);
    SearchRequest r = smallRequest(m);
    r.stock.tubes = {{"100 mm tube", 0.1, 2e-3, 0, 0}};
    r.stock.slotShapes.clear(), r.stock.flares.clear();
    r.tuningFrom = 80, r.tuningTo = 200;
    const auto all = everything(m, r);  // two of 104 mm and 5 mm between them
    CHECK(
        std::any_of(all.begin(), all.end(), [&](const auto& c) { return countOf(familiesOf(r)[c.family].body) == 2; }));
}

TEST_CASE("two figures that are compared are told with as many digits as it takes to tell them apart")
{
    using searching::compared;
    CHECK(compared(117.4, 117.2, Dimension::frequency) ==
          std::pair<std::string, std::string>("117.4\u00A0Hz", "117.2\u00A0Hz"));
    CHECK(compared(100.96, 100.84, Dimension::frequency) ==
          std::pair<std::string, std::string>("101.0\u00A0Hz", "100.8\u00A0Hz"));
    CHECK(compared(90.12, 90.06, Dimension::level) ==
          std::pair<std::string, std::string>("90.12\u00A0dB", "90.06\u00A0dB"));
    CHECK(compared(1.0004, 1, Dimension::ratio).first == "1.0004");
    CHECK(compared(80, 80, Dimension::frequency).first == compared(80, 80, Dimension::frequency).second);
    CHECK(compared(0.05, 0.1, Dimension::length, UnitSystem::us).first.find("in") != std::string::npos);
    rc::prop("any two that differ", [] {
        const double a = logUniform(1, 1e3), b = a * (1 + logUniform(1e-7, 1) * (coin() ? 1 : -0.5));
        for (const Dimension d : {Dimension::frequency, Dimension::level, Dimension::airSpeed, Dimension::ratio}) {
            const auto words = compared(a, b, d);
            RC_ASSERT(words.first != words.second);
        }
    });
}

TEST_CASE("what is shown is reckoned at both edges of its band")
{
    rc::prop("any band", [] {
        FastBand band;
        band.lowest = logUniform(5, 40), band.from = band.lowest * (coin() ? 1 : logUniform(1, 30));
        band.to = band.from * logUniform(1.01, 20);
        const auto grid = searching::bandGrid(band);
        const auto& f = grid.grid.frequency;
        RC_ASSERT(f[0] == band.lowest);
        RC_ASSERT(f[grid.from] == band.from);
        RC_ASSERT(f[grid.to] == band.to);
        RC_ASSERT(grid.to - grid.from >= 24);
        RC_ASSERT(f[f.size() - 1] >= 1.2 * band.to * (1 - 1e-12));
        RC_ASSERT(f.size() < 200);
        for (Eigen::Index i = 1; i < f.size(); ++i)
            RC_ASSERT(f[i] > f[i - 1]);
    });
    // A band of 1 Hz has as much ripple as its level rises in it, and a limit at one of its frequencies.
    const Model m = housed(9);
    SearchRequest r = smallRequest(m);
    r.band.from = 63, r.band.to = 64;
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    REQUIRE_FALSE(result->ranked.empty());
    const FoundPort& f = result->ranked[0];
    const auto curves = curvesOf(withPort(m, -1, r.space, f.port), logGrid(63, 64, 2));
    REQUIRE(curves);
    CHECK(f.ripple == Approx(std::abs(curves->level[1] - curves->level[0])).margin(0.01));
    CHECK(f.ripple > 0);
    CHECK(f.limitAt >= 63);
    CHECK(f.limitAt <= 64);
}

TEST_CASE("why the first is first is told in its places, and they make the order")
{
    const Model m = housed(9, 12);
    SearchRequest r = smallRequest(m);
    r.show = 20;
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    double before = 0;
    for (const FoundPort& f : result->ranked) {
        CAPTURE(f.words, f.reasons);
        REQUIRE(f.places.size() == r.aims.size());
        CHECK(f.placeSum == Approx(f.places[0] + 0.4 * f.places[1] + 0.16 * f.places[2]));
        for (std::size_t a = 0; a < r.aims.size(); ++a) {
            CHECK(f.places[a] >= 0);
            CHECK(f.places[a] <= 1 + 1e-12);
            if (a == 0 && std::find(f.bestAt.begin(), f.bestAt.end(), r.aims[a]) != f.bestAt.end())
                CHECK(f.places[a] == 0);
        }
        if (!f.asExtreme) {
            CHECK(f.placeSum >= before);
            before = f.placeSum;
        }
        const std::string sum = fmt::format("{:.2f}: loudest {:.2f}, f3 {:.2f} x 0.4, short {:.2f} x 0.16", f.placeSum,
                                            f.places[0], f.places[1], f.places[2]);
        CHECK(std::any_of(f.reasons.begin(), f.reasons.end(),
                          [&](const std::string& why) { return why.find(sum) != std::string::npos; }));
    }
}

TEST_CASE("a search speaks in the units that it is asked in")
{
    const Model m = housed(6, 20, 0.16);
    SearchRequest r = smallRequest(m);
    r.stock.tubes = {{"tube A", 0.063, 2e-3, 2, 0.063}, {"tube B", 0.2, 2e-3, 2, 0}};
    r.stock.slotShapes.clear();
    r.units = UnitSystem::us;
    for (const double highest : {68.0, 100.0}) {
        r.tuningFrom = 60, r.tuningTo = highest;
        const auto result = searchPorts(m, -1, r);
        REQUIRE(result);
        std::vector<std::string> all = result->notes, lengths;
        for (const auto* list : {&result->ranked, &result->compromises})
            for (const FoundPort& f : *list) {
                lengths.push_back(f.words);
                all.insert(all.end(), f.reasons.begin(), f.reasons.end());
            }
        for (const RejectedPorts& x : result->rejected)
            lengths.push_back(x.why);
        for (const OtherWay& way : result->otherWays)
            all.push_back(way.words);
        all.insert(all.end(), lengths.begin(), lengths.end());
        std::size_t inches = 0;
        for (const std::string& words : all) {
            CAPTURE(words);
            inches += words.find("\u00A0in") != std::string::npos ? 1 : 0;
            for (const char* metric : {"\u00A0L", "\u00A0cm", "\u00A0m/s"})
                CHECK(words.find(metric) == std::string::npos);
        }
        CHECK(inches > 2);
        for (const std::string& words : lengths)  // the rest has travel, which is told in millimetres in any units
            CHECK(words.find("\u00A0mm") == std::string::npos);
    }
}

TEST_CASE("a driver without limits has no clean level, and a radiator's suspension is told")
{
    Model m = housed(6, 10, 0.16);
    const auto ways = otherWays(m, -1, spaceOf(m, -1), {}, 60);
    REQUIRE(ways.size() == 2);
    const auto& p = std::get<PassiveRadiator>(ways[0].housing.openings.back().kind);
    CHECK(ways[0].words.find("suspension of " + formatQuantity(p.Cms, Dimension::compliance)) != std::string::npos);
    const double free = 1 / (2 * pi * std::sqrt(p.Mmp * p.Cms));
    CHECK(ways[0].words.find("resonates at " + formatQuantity(free, Dimension::frequency)) != std::string::npos);
    CHECK(free == Approx(60 / std::sqrt(3.0)));  // compliance twice the cavity's
    m.driver.Xmax.reset(), m.driver.power.reset(), m.amplifierLimit.reset();
    for (const OtherWay& way : otherWays(m, -1, spaceOf(m, -1), {}, 60)) {
        CHECK(way.words.find("inf") == std::string::npos);
        CHECK(way.words.find("not judged") != std::string::npos);
    }
}

TEST_CASE("the best in a further aim is one that is worth its hole: as loud as the housing without it")
{
    int held = 0;
    rc::prop("any small cavity", [&held] {
        const Model m = housed(logUniform(4, 20), 10, logUniform(0.18, 0.45));
        SearchRequest r = smallRequest(m);
        r.tuningTo = logUniform(80, 160), r.show = 20;
        const double least = loudestWithout(m, -1, r.space, r.band);
        // The same sealed housing, by the whole model over a grid of its own.
        const auto curves = curvesOf(m, logGrid(r.band.from, r.band.to, 300));
        RC_ASSERT(curves.has_value());
        RC_ASSERT(std::abs(limitsOf(m, *curves).loudest.minCoeff() - least) < 0.05);
        const auto all = everything(m, r);
        const auto found = searchPorts(m, -1, r);
        RC_ASSERT(found.has_value());
        double shortest = 1e9, bare = 1e9;
        for (const SearchCandidate& c : all) {
            bare = std::min(bare, c.length);
            if (c.scores.loudest >= least) shortest = std::min(shortest, c.length);
        }
        held += shortest > bare && shortest < 1e9 ? 1 : 0;
        for (const FoundPort& f : found->ranked)
            for (Aim aim : f.bestAt) {
                RC_ASSERT(aim == r.aims.front() || f.scores.loudest >= least);
                if (aim == Aim::shortest) RC_ASSERT(std::abs(f.port.length - shortest) < 1e-9);
            }
    });
    CHECK(held > 5);
}
