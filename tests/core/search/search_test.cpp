// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search.h"

#include "core/port/geometry.h"
#include "core/response/summary.h"
#include "core/sizing/sizing.h"
#include "tests/core/search/small_search.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>
#include <set>
#include <tuple>

using namespace portwright;
using namespace portwright::test;

namespace {

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
        const FastModel fast = fastModelOf(m, r.band).value();
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
        const auto all = candidatesOf(fastModelOf(m, r.band).value(), r, air, families, 0);
        const auto one = std::find_if(all.begin(), all.end(),
                                      [&](const SearchCandidate& c) { return std::abs(c.length - row.length) < 1e-9; });
        REQUIRE(one != all.end());
        CHECK(one->tuning == Approx(row.tuning).epsilon(0.004));
    }
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
