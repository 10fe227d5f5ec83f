// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/search.h"

#include "core/port/geometry.h"
#include "core/port/sizing.h"
#include "core/response/summary.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>
#include <set>
#include <tuple>

using namespace portwright;
using namespace portwright::test;

namespace {

Model housed(double litres, double voltage = 10, double depth = 0.25)
{
    Housing housing = closedHousing(litres * 1e-3);
    if (depth > 0) housing.cavity.depth = depth;
    housing.openings = {{LeakByQ{7}, {}, {}}};
    Model m = modelOfReference(housing, voltage);
    m.driver.Xmax = 4e-3;
    m.driver.power = 80;
    return m;
}

PortStock smallStock()
{
    PortStock stock;
    stock.tubes = {{"38 mm tube", 0.038, 2e-3, 1, 0.045},
                   {"50 mm tube", 0.050, 2e-3, 1, 0.055},
                   {"76 mm tube", 0.076, 2e-3, 1, 0.08}};
    stock.slotShapes = {{"slot 120 x 18 mm", 0.12, 0.018, 6e-3, 1.2}};
    stock.flares = {{"10 mm round-over", 0.010, 0}};
    return stock;
}

SearchRequest smallRequest(const Model& m)
{
    SearchRequest r;
    r.stock = smallStock();
    r.space = spaceOf(m, -1);
    r.tuningFrom = 45, r.tuningTo = 100;
    r.lengthStep = 5e-3;
    return r;
}

std::vector<SearchCandidate> everything(const Model& m, SearchRequest r, std::vector<RejectedPorts>* rejected = nullptr)
{
    if (!r.portAir) r.portAir = m.portAirLimit;  // as the whole search has it
    const FastModel fast = fastModelOf(m, r.band);
    const auto families = familiesOf(r);
    std::vector<SearchCandidate> all;
    for (std::uint32_t i = 0; i < families.size(); ++i) {
        const auto some = candidatesOf(fast, r, m.air, families, i, rejected);
        all.insert(all.end(), some.begin(), some.end());
    }
    return all;
}

// Less is better, in steps of what counts as a difference; written again here so that the search is not its own judge.
std::array<double, 3> stepsOf(const SearchCandidate& c)
{
    return {std::floor(-c.scores.loudest / 0.1 + 1e-6), std::floor(c.scores.f3 / 0.5 + 1e-6),
            std::floor(c.length / 1e-3 + 1e-6)};
}

using Mark = std::tuple<std::uint32_t, long>;  // family, length in hundredths of a millimetre
Mark markOf(const SearchCandidate& c) { return {c.family, std::lround(c.length * 1e5)}; }

double bestOf(const std::vector<SearchCandidate>& all, Aim aim)
{
    double best = 1e300;
    for (const SearchCandidate& c : all)
        best = std::min(best, aim == Aim::loudest       ? -c.scores.loudest
                              : aim == Aim::lowestF3    ? c.scores.f3
                              : aim == Aim::flattest    ? c.scores.ripple
                              : aim == Aim::leastTravel ? c.scores.travel
                                                        : c.length);
    return best;
}

constexpr std::array allAims{Aim::loudest, Aim::lowestF3, Aim::flattest, Aim::leastTravel, Aim::shortest};

}  // namespace

TEST_CASE("the search keeps what trying everything keeps")
{
    rc::prop("any small request", [] {
        const Model m = housed(logUniform(4, 20), logUniform(2, 20), logUniform(0.18, 0.45));
        SearchRequest r = smallRequest(m);
        r.mostTubes = *rc::gen::inRange(1, 4);
        r.space.mostBends = *rc::gen::inRange(0, 3);
        const auto all = everything(m, r);
        const auto kept = undominated(all, r.aims);
        // Brute force, each against each.
        std::set<std::array<double, 3>> best;
        for (const SearchCandidate& a : all) {
            const auto x = stepsOf(a);
            bool beaten = false;
            for (const SearchCandidate& b : all) {
                const auto y = stepsOf(b);
                beaten |= y[0] <= x[0] && y[1] <= x[1] && y[2] <= x[2] && y != x;
            }
            if (!beaten) best.insert(x);
        }
        std::set<std::array<double, 3>> found;
        for (const SearchCandidate& c : kept)
            found.insert(stepsOf(c));
        for (const auto& steps : best)
            RC_ASSERT(found.count(steps) == 1);
        // What it has besides are only the best in one aim by less than a step.
        RC_ASSERT(found.size() <= best.size() + r.aims.size());
        for (Aim aim : r.aims)
            RC_ASSERT(all.empty() || bestOf(kept, aim) == bestOf(all, aim));
        // The whole search sees the same candidates.
        r.threads = *rc::gen::inRange(1, 4);
        r.show = 2;
        const auto result = searchPorts(m, -1, r);
        RC_ASSERT(result.has_value());
        RC_ASSERT(result->candidates == all.size());
        RC_ASSERT(result->undominated == best.size());
    });
}

TEST_CASE("how many are shown changes where the order ends, not the order; behind it stand the best in one aim")
{
    rc::prop("any small request, any aims", [] {
        const Model m = housed(logUniform(4, 20), logUniform(2, 20), logUniform(0.18, 0.45));
        SearchRequest r = smallRequest(m);
        r.mostTubes = *rc::gen::inRange(1, 3);
        std::vector<Aim> aims(allAims.begin(), allAims.end());
        for (std::size_t i = 0; i < aims.size(); ++i)
            std::swap(aims[i], aims[std::size_t(*rc::gen::inRange(int(i), int(aims.size())))]);
        aims.resize(std::size_t(*rc::gen::inRange(1, int(aims.size()) + 1)));
        r.aims = aims;
        const auto shown = [&](std::size_t show) {
            r.show = show;
            const auto result = searchPorts(m, -1, r);
            RC_ASSERT(result.has_value());
            RC_ASSERT(result->ranked.size() <= show);
            return result->ranked;
        };
        const auto most = shown(40);
        for (std::size_t show : {1, 2, 3, 5, 12}) {
            const auto few = shown(show);
            RC_ASSERT(few.size() == std::min(show, most.size()));
            std::size_t alike = 0;
            while (alike < few.size() && few[alike].words == most[alike].words)
                ++alike;
            RC_ASSERT(alike >= 1u);
            RC_ASSERT(few.size() - alike <= aims.size());
            for (std::size_t i = alike; i < few.size(); ++i)
                RC_ASSERT(!few[i].bestAt.empty());
        }
    });
}

TEST_CASE("the order goes from the best of the aims together on, and behind it stand the best in one aim")
{
    const Model m = housed(9, 12);
    SearchRequest r = smallRequest(m);
    r.show = 30;
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    REQUIRE(result->ranked.size() > 5);
    // The sum of the places in each aim, reckoned again: 0 the best of all that no other beats, 1 the worst.
    const auto front = undominated(everything(m, r), r.aims);
    const auto value = [](const FastScores& s, double length, Aim aim) {
        return aim == Aim::loudest ? -s.loudest : aim == Aim::lowestF3 ? s.f3 : length;
    };
    const auto sumOf = [&](const FastScores& s, double length) {
        double sum = 0, weight = 1;
        for (Aim aim : r.aims) {
            double low = 1e300, high = -1e300;
            for (const SearchCandidate& c : front)
                if (const double v = value(c.scores, c.length, aim); std::isfinite(v))
                    low = std::min(low, v), high = std::max(high, v);
            const double v = value(s, length, aim);
            sum += weight * (std::isfinite(v) ? (v - low) / (high - low) : 1);
            weight *= 0.4;
        }
        return sum;
    };
    std::vector<double> sums;
    for (const FoundPort& f : result->ranked)
        sums.push_back(sumOf(f.scores, f.port.length));
    for (const SearchCandidate& c : front)
        CHECK(sums[0] <= sumOf(c.scores, c.length) + 1e-12);
    const auto end = std::is_sorted_until(sums.begin(), sums.end()) - sums.begin();
    CHECK(end + std::ptrdiff_t(r.aims.size()) >= std::ptrdiff_t(sums.size()));
    for (std::size_t i = std::size_t(end); i < sums.size(); ++i)
        CHECK_FALSE(result->ranked[i].bestAt.empty());
    for (Aim aim : r.aims)
        CHECK(std::any_of(result->ranked.begin(), result->ranked.end(), [&](const FoundPort& f) {
            return std::find(f.bestAt.begin(), f.bestAt.end(), aim) != f.bestAt.end();
        }));
    for (const FoundPort& f : result->ranked) {
        const std::string volumes = formatQuantity(f.netVolume, Dimension::volume) + " net with it in place, " +
                                    formatQuantity(9e-3, Dimension::volume) + " without it";
        CAPTURE(f.reasons, volumes);
        CHECK(std::find(f.reasons.begin(), f.reasons.end(), volumes) != f.reasons.end());
    }
}

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

TEST_CASE("every length of every body is in the search just as it is by itself")
{
    // Each port made, placed and reckoned alone, without tables between lengths. Those between are right to 0.15 mm of
    // end and 1e-3 of the tuning where halfway was tried; at the edges of the range of tuning as much may be in or out.
    rc::prop("any small request", [] {
        Model m = housed(logUniform(5, 15), logUniform(2, 20));
        const double volume = m.housing.cavity.netVolume, depth = *m.housing.cavity.depth;
        const bool sizes = coin();
        if (sizes) {
            Housing housing = m.housing;
            housing.cavity.width = std::sqrt(volume / depth) * 1.15;
            housing.cavity.breadth = volume / depth / *housing.cavity.width;
            m = withHousing(m, housing);
        }
        SearchRequest r = smallRequest(m);
        r.portAir = m.portAirLimit;
        r.mostTubes = *rc::gen::inRange(1, 3);
        r.sharedWalls = {0, 1, 2, 3};
        if (coin()) r.space.wall = 0.012;
        if (coin()) r.space.outside = 0.1;
        r.space.mostBends = *rc::gen::inRange(0, 3);
        const FastModel fast = fastModelOf(m, r.band);
        const auto families = familiesOf(r);
        RC_ASSERT(sizes == std::any_of(families.begin(), families.end(),
                                       [](const PortFamily& f) { return sharedWallsOf(f.body) == 3; }));
        for (std::uint32_t i = 0; i < families.size(); ++i) {
            const PortFamily& family = families[i];
            const auto found = candidatesOf(fast, r, m.air, families, i);
            const auto at = [&](double length) {
                return std::find_if(found.begin(), found.end(),
                                    [&](const SearchCandidate& c) { return std::abs(c.length - length) < 1e-9; });
            };
            std::size_t counted = 0;
            // The fewest bends that reach so far, -1 none.
            const auto bendsFor = [&](double length) {
                double reached = r.space.wall;
                for (int bends = 0; bends <= (family.bendRadius > 0 ? r.space.mostBends : 0); ++bends) {
                    const double longest = longestPort(family.body, bends, family.bendRadius, r.space);
                    const double shortest =
                        std::max(reached, shortestPort(family.body, bends, family.bendRadius, r.space));
                    if (longest < shortest) continue;
                    if (length >= shortest - 1e-12 && length <= longest * (1 + 1e-12)) return bends;
                    reached = longest;
                }
                return -1;
            };
            for (int k = 0; k * r.lengthStep <= 1.5; ++k) {
                const double length = k * r.lengthStep;
                const int bends = family.longestPiece > 0 && length > family.longestPiece ? -1 : bendsFor(length);
                const PortOpening port = madePort(family.body, length, std::max(bends, 0), family.bendRadius, r.space);
                CavityRoom room = r.space.empty;
                room.netVolume -= outlineVolume(port);
                const bool fits = bends >= 0 && !whyNoPlace(family.body, r.space) && !whyImpossible(port, room) &&
                                  room.netVolume > 0.1 * volume;
                const auto c = at(length);
                if (!fits) {
                    RC_ASSERT(c == found.end());
                    continue;
                }
                const PortInCavity placed = portInCavity(port, room, m.air);
                const double tuning = tuningOf(placed);
                constexpr double near = 0.002;
                if (c == found.end()) {
                    RC_ASSERT(tuning < r.tuningFrom * (1 + near) || tuning > r.tuningTo * (1 - near));
                    continue;
                }
                ++counted;
                RC_ASSERT(c->bends == bends);
                RC_ASSERT(std::abs(c->tuning / tuning - 1) < near);
                const FastPlace place{placed.length,   length,   placed.inner.l0,
                                      placed.inner.l2, placed.A, placed.d,
                                      placed.A1,       placed.P, placed.A * placed.d + placed.A1 * placed.P};
                const FastScores alone = FastResponse(fast, fastPortOf(port, placed, *r.portAir, fast)).at(place);
                RC_ASSERT(std::abs(c->scores.loudest - alone.loudest) < 0.1);
                RC_ASSERT(std::abs(c->scores.travel / alone.travel - 1) < 0.01);
            }
            RC_ASSERT(counted == found.size());
        }
    });
}

TEST_CASE("slots against walls of the cavity are found, tuned as finite elements have them")
{
    // Rows P144, P148 and P150 of port_tuning.csv; air without losses.
    struct Row {
        int walls;
        double depth, breadth, width, height, wall, through, length, tuning;
    };
    for (const Row& row : {Row{1, 0.12, 0.20, 0.10, 0.025, 0.006, 0.09, 0.09, 118.4485},
                           Row{3, 0.12, 0.20, 0.16, 0.02, 0.006, 0.09, 0.09, 132.0839},
                           Row{3, 0.26, 0.18, 0.16, 0.02, 0.012, 0.012, 0.15, 83.5308}}) {
        CAPTURE(row.walls, row.tuning);
        Model m = housed(row.depth * row.breadth * 0.16 * 1e3, 10, row.depth);
        m.housing.cavity.width = 0.16, m.housing.cavity.breadth = row.breadth;
        SearchRequest r = smallRequest(m);
        r.space.wall = row.through;
        r.stock = {};
        r.stock.slotShapes = {{"slot", row.width, row.height, row.wall, 1.2}};
        r.sharedWalls = {row.walls};
        r.tuningFrom = 60, r.tuningTo = 200, r.portAir = 17;
        Air air = m.air;
        air.c = 343.2, air.rho = 1.2, air.mu = 0;
        const auto families = familiesOf(r);
        REQUIRE(families.size() == 1);
        const auto all = candidatesOf(fastModelOf(m, r.band), r, air, families, 0);
        const auto one = std::find_if(all.begin(), all.end(),
                                      [&](const SearchCandidate& c) { return std::abs(c.length - row.length) < 1e-9; });
        REQUIRE(one != all.end());
        CHECK(one->tuning == Approx(row.tuning).epsilon(0.004));
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

TEST_CASE("the result does not depend on the number of threads")
{
    const Model m = housed(9);
    SearchRequest r = smallRequest(m);
    std::vector<std::vector<std::string>> words;
    for (int threads : {1, 2, 7}) {
        r.threads = threads;
        const auto result = searchPorts(m, -1, r);
        REQUIRE(result);
        REQUIRE(result->ranked.size() > 3);
        words.emplace_back();
        for (const FoundPort& f : result->ranked)
            words.back().push_back(f.words);
        for (const RejectedPorts& x : result->rejected)
            words.back().push_back(x.what + x.why);
    }
    CHECK(words[0] == words[1]);
    CHECK(words[0] == words[2]);
}

TEST_CASE("loosening a limit never loses a port, and never the best")
{
    rc::prop("any limit", [] {
        const Model m = housed(logUniform(4, 20), logUniform(2, 20), logUniform(0.18, 0.45));
        SearchRequest tight = smallRequest(m);
        tight.space.mostBends = *rc::gen::inRange(0, 2);
        tight.space.clearance = 1.5;
        tight.space.mouthWidth = logUniform(0.05, 0.2), tight.space.mouthHeight = 0.1;
        tight.portAir = logUniform(8, 25);
        tight.mostTubes = *rc::gen::inRange(1, 3);
        SearchRequest loose = tight;
        switch (*rc::gen::inRange(0, 6)) {
        case 0:
            loose.space.mostBends += 1;
            break;
        case 1:
            loose.space.clearance = 0.7;
            break;
        case 2:
            *loose.space.mouthWidth *= 1.4;
            break;
        case 3:
            *loose.portAir *= 1.3;
            break;
        case 4:
            loose.mostTubes += 1;
            break;
        default:
            loose.tuningFrom -= 10, loose.tuningTo += 20;
        }
        auto few = everything(m, tight), many = everything(m, loose);
        // Families are numbered by the stock; with more tubes they are numbered anew.
        if (loose.mostTubes == tight.mostTubes) {
            std::set<Mark> there;
            for (const SearchCandidate& c : many)
                there.insert(markOf(c));
            // One that was bent may now be straight, which tunes a little lower, and between the lengths that are
            // reckoned tuning is right to some 1e-3: at the edge of the range a candidate may fall out.
            for (const SearchCandidate& c : few) {
                const double edge = c.bends > 0 ? 0.03 : 0.01;
                const bool atEdge = c.tuning < (1 + edge) * tight.tuningFrom || c.tuning > (1 - edge) * tight.tuningTo;
                if (there.count(markOf(c)) == 0)
                    RC_LOG() << "family " << c.family << ", " << c.length << " m, " << c.bends << " bends, " << c.tuning
                             << " Hz\n";
                RC_ASSERT(there.count(markOf(c)) == 1 || atEdge);
            }
        }
        RC_ASSERT(many.size() * 1.03 + 1 >= few.size());
        for (Aim aim : allAims) {
            // What fell out at the edge, as above.
            const double slack =
                few.empty() ? 0 : 0.01 * std::abs(bestOf(few, aim)) + (aim == Aim::shortest) * tight.lengthStep;
            RC_ASSERT(few.empty() || bestOf(many, aim) <= bestOf(few, aim) + slack);
        }
    });
}

TEST_CASE("demands only take away")
{
    const Model m = housed(9, 20);
    SearchRequest r = smallRequest(m);
    const auto free = searchPorts(m, -1, r);
    REQUIRE(free);
    r.leastLevel = free->ranked[0].scores.loudest - 1;
    const auto loud = searchPorts(m, -1, r);
    REQUIRE(loud);
    CHECK(loud->undominated <= free->undominated);
    for (const FoundPort& f : loud->ranked)
        CHECK(f.scores.loudest >= *r.leastLevel);
    r.highestF3 = 1;
    const auto none = searchPorts(m, -1, r);
    REQUIRE(none);
    CHECK(none->ranked.empty());
    const auto told = std::find_if(none->rejected.begin(), none->rejected.end(),
                                   [](const RejectedPorts& x) { return x.reason == RejectedPorts::Reason::f3; });
    REQUIRE(told != none->rejected.end());
    CHECK(told->why.find("1.0") != std::string::npos);
    CHECK(told->candidates > 0);
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

TEST_CASE("a found port has the tuning and the volume that sizing gives it")
{
    const Model m = housed(9);
    SearchRequest r = smallRequest(m);
    const auto result = searchPorts(m, -1, r);
    REQUIRE(result);
    for (const FoundPort& f : result->ranked) {
        CAPTURE(f.words);
        CHECK(f.netVolume == Approx(9e-3 - outlineVolume(f.port)));
        CavityRoom room = r.space.empty;
        room.netVolume -= outlineVolume(f.port);
        CHECK(f.tuning == Approx(tuningOf(portInCavity(f.port, room, m.air))).epsilon(0.005));
        CHECK_FALSE(f.reasons.empty());
        CHECK(f.loudest == Approx(f.scores.loudest).margin(1.5));  // over a finer grid
    }
    // Every aim has its best among them.
    for (Aim aim : r.aims)
        CHECK(std::any_of(result->ranked.begin(), result->ranked.end(), [&](const FoundPort& f) {
            return std::find(f.bestAt.begin(), f.bestAt.end(), aim) != f.bestAt.end();
        }));
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

TEST_CASE("a search can be stopped, and tells how far it is")
{
    const Model m = housed(9);
    SearchRequest r = smallRequest(m);
    Watch stop;
    stop.cancelled = [] { return true; };
    const auto stopped = searchPorts(m, -1, r, stop);
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().field == "cancelled");
    double last = -1;
    Watch watch;
    watch.progress = [&](double part, std::string_view) {
        CHECK(part >= last);
        CHECK(part <= 1);
        last = part;
    };
    CHECK(searchPorts(m, -1, r, watch));
    CHECK(last >= 0);
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

TEST_CASE("a port there is is replaced, its volume given back")
{
    Housing housing = closedHousing(8e-3);
    PortOpening old;
    old.diameter = 0.05, old.wall = 2e-3, old.length = 0.12;
    housing.openings = {{LeakByQ{7}, {}, {}}, {old, {}, {}}};
    const Model m = modelOfReference(housing);
    const PortSpace space = spaceOf(m, 1);
    CHECK(space.empty.netVolume == Approx(8e-3 + pi * 0.027 * 0.027 * 0.12));
    PortOpening next = old;
    next.length = 0.2;
    const Model changed = withPort(m, 1, space, next);
    CHECK(changed.housing.openings.size() == 2);
    CHECK(changed.housing.cavity.netVolume == Approx(8e-3 - pi * 0.027 * 0.027 * 0.08));
    CHECK(withPort(m, 1, space, old).housing == m.housing);
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
