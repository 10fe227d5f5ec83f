// SPDX-License-Identifier: GPL-3.0-or-later
// Ports in cavities against the finite-element table (tests/data/port_tuning.csv), published limits and laws.
#include "core/port/port_tuning.h"

#include "core/port/classical.h"
#include "core/port/ends.h"

#include "../support/port_table.h"
#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <complex>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Air quietAir()
{
    Air air = portTableAir();
    air.mu = 0;  // the table has no losses
    return air;
}

PortOpening portOf(const PortCase& c)
{
    const auto given = [&](const char* column) {
        return c.number(column) > 0 ? std::optional(c.metres(column)) : std::nullopt;
    };
    PortOpening p;
    if (c("port_shape") == "slot") {
        p.shape = PortShape::slot;
        p.width = c.metres("slot_width_mm"), p.height = c.metres("slot_height_mm");
    } else
        p.diameter = 2 * c.metres("bore_radius_mm");
    p.length = c.metres("port_length_mm");
    p.innerEnd = c.number("port_inside_mm") > 0 ? TubeEnd::free : TubeEnd::flush;
    p.inside = given("port_inside_mm"), p.wall = given("tube_wall_mm");
    p.innerFlare = given("flare_inner_mm"), p.outerFlare = given("flare_outer_mm");
    p.x = given("port_x_mm"), p.y = given("port_y_mm");
    if (c("outer_end") == "housing_front") p.front = 2 * c.metres("housing_radius_mm");
    if (c("kind") == "box-slot-shelf") p.sharedWalls = 3;
    if (c("port_count") == "2") {  // its note: two about the middle of the wall, 60 mm apart
        p.count = 2, p.spacing = 0.060;
        p.x = c.metres("cav_width_mm") / 2;
    }
    return p;
}

CavityRoom roomOf(const PortCase& c)
{
    CavityRoom room{.netVolume = c.number("net_volume_l") / 1e3, .depth = c.metres("cav_depth_mm")};
    room.width = c.metres("cav_width_mm"), room.breadth = c.metres("cav_breadth_mm");
    return room;  // a cylinder: round where the sides are not known
}

double percent(double ours, double theirs) { return 100 * (ours / theirs - 1); }

PortOpening tube(double bore, double length)
{
    PortOpening p;
    p.diameter = bore, p.length = length, p.innerEnd = TubeEnd::flush;
    return p;
}

double tuning(const PortOpening& port, const CavityRoom& room, const Air& air = referenceAir())
{
    return tuningOf(portInCavity(port, room, air));
}

// A port and a room that can be built.
struct Pair {
    PortOpening port;
    CavityRoom room;
};
Pair arbitraryPair()
{
    Pair p;
    p.room = {logUniform(1e-3, 30e-3), 0, 0, 0, coin() ? 1.0 : logUniform(1, 1.4)};
    const double side = std::cbrt(p.room.netVolume);
    if (coin()) {
        p.port.diameter = side * logUniform(0.1, 0.3);
    } else {
        p.port.shape = PortShape::slot;
        p.port.height = side * logUniform(0.06, 0.15), p.port.width = side * logUniform(0.2, 0.6);
        if (coin()) p.port.sharedWalls = *rc::gen::inRange(0, 3);
    }
    if (coin()) p.port.count = *rc::gen::inRange(1, 4);
    p.port.length = logUniform(0.02, 0.3);
    if (coin()) {
        p.port.innerEnd = TubeEnd::free;
        p.port.inside = std::min(p.port.length, 0.5 * side);
        p.port.wall = logUniform(0.001, 0.006);
    } else
        p.port.innerEnd = TubeEnd::flush;
    if (coin()) p.port.outerEnd = TubeEnd::free;
    const double a = radiusOf(p.port);
    if (coin()) p.port.innerFlare = std::min(0.4 * p.port.length, a) * logUniform(0.1, 1);
    if (coin()) p.port.outerFlare = std::min(0.4 * p.port.length, a) * logUniform(0.1, 1);
    return p;
}

}  // namespace

TEST_CASE("every port of the finite-element table is tuned as it says")
{
    // L-shapes are not in the formulae: their air turns a corner.
    const std::map<std::string, double> noFormula{{"l-shape", 0}};
    double squares = 0;
    int count = 0, all = 0;
    for (const PortCase& c : portCases()) {
        ++all;
        if (noFormula.contains(c("kind"))) continue;
        CAPTURE(c("id"), c("kind"), c("notes"));
        const double error = percent(tuning(portOf(c), roomOf(c), quietAir()), c.number("fb_hz"));
        CHECK(std::abs(error) < 0.5);
        if (c("flare_inner_mm").empty() && c("kind").find("protruding") == std::string::npos)
            CHECK(std::abs(error) < 0.2);  // flush ports and shelf slots are known best
        squares += error * error;
        ++count;
    }
    CHECK(all == 86);
    CHECK(count == 84);
    CHECK(std::sqrt(squares / count) < 0.1);
}

TEST_CASE("the outer end goes to the limits of Levine and Schwinger and of a pipe in a flange")
{
    // Free, thin-walled: 0.6133 a as printed (their integral evaluated: 0.6127); flanged 0.8216 a.
    PortOpening p = tube(0.06, 0.1);
    const CavityRoom room{.netVolume = 5e-3};
    CHECK(portInCavity(p, room, quietAir()).outer.length / 0.03 == Approx(0.8216).epsilon(1e-4));
    p.outerEnd = TubeEnd::free;
    CHECK(portInCavity(p, room, quietAir()).outer.length / 0.03 == Approx(0.6133).epsilon(1e-4));
    p.outerEnd = TubeEnd::flush;
    p.front = 100.0;
    CHECK(portInCavity(p, room, quietAir()).outer.length / 0.03 == Approx(0.8216).epsilon(1e-3));
}

TEST_CASE(
    "the inner end of a small hole in a wide cavity is that of a pipe in a flange, and of a bare tube that far in")
{
    const CavityRoom wide{.netVolume = 8.0, .width = 2, .breadth = 2, .depth = 2};
    PortOpening p = tube(0.02, 0.1);
    // What walls 1 m away take of it: 1.35 a/R.
    CHECK(portInCavity(p, wide, quietAir()).inner.l0 / 0.01 ==
          Approx(0.8216 * (1 - 1.35 * 0.01 / 1.128)).epsilon(2e-3));
    p.length = 1, p.inside = 0.9, p.innerEnd = TubeEnd::free;
    CHECK(portInCavity(p, wide, quietAir()).inner.l0 / 0.01 == Approx(0.6133).epsilon(0.02));
}

TEST_CASE("a compact cavity and a thin long port tune as one spring and one mass do")
{
    // All else is small there: waves, end corrections against the length, the air's own mass.
    const PortOpening p = tube(0.004, 0.2);
    const CavityRoom room{.netVolume = 10e-3};
    const TwoTunings t = tuningsOf(p, room, quietAir());
    CHECK(t.reckoned == Approx(t.textbook).epsilon(2e-3));
}

TEST_CASE("both tunings are those of their own functions")
{
    const PortOpening p = tube(0.054, 0.13);
    const CavityRoom room{.netVolume = 5.2e-3, .fill = 1.1};
    const Air air = referenceAir();
    const TwoTunings t = tuningsOf(p, room, air);
    CHECK(t.reckoned == tuning(p, room));
    CHECK(t.textbook ==
          Approx(helmholtzFrequency(1.1 * 5.2e-3 / (air.rho * air.c * air.c), portInertance(p, air))).epsilon(1e-12));
}

TEST_CASE("longer ports, larger and softer cavities tune lower, more area higher")
{
    rc::prop("any port that can be built", [] {
        const auto [port, room] = arbitraryPair();
        RC_PRE(!whyImpossible(port, room));
        const double fb = tuning(port, room);
        RC_ASSERT(std::isfinite(fb) && fb > 0);
        PortOpening longer = port;
        longer.length *= 1.05;  // outside: what is inside stays
        if (longer.innerEnd == TubeEnd::free && !longer.inside) longer.inside = port.length;
        RC_ASSERT(tuning(longer, room) < fb);
        CavityRoom larger = room, softer = room;
        larger.netVolume *= 1.05;
        // Where more tubes fit side by side they stand in other rows, which is another port.
        const auto columns = [&port](const CavityRoom& r) {
            return arrangementOf(port, portInCavity(port, r, referenceAir()).width).columns;
        };
        if (columns(larger) == columns(room)) RC_ASSERT(tuning(port, larger) < fb);
        softer.fill = room.fill * 1.02;
        RC_ASSERT(tuning(port, softer) < fb);
    });
}

TEST_CASE("the tuning scales: lengths doubled, half of it")
{
    rc::prop("any port, no walls' friction", [] {
        auto [port, room] = arbitraryPair();
        RC_PRE(!whyImpossible(port, room));
        const double fb = tuning(port, room, quietAir());
        for (double* x :
             {&port.diameter, &port.width, &port.height, &port.length, &room.width, &room.breadth, &room.depth})
            *x *= 2;
        for (auto* x : {&port.inside, &port.wall, &port.innerFlare, &port.outerFlare})
            if (*x) **x *= 2;
        room.netVolume *= 8;
        RC_ASSERT(std::abs(tuning(port, room, quietAir()) / fb - 0.5) < 1e-6);
    });
}

TEST_CASE("no flare, no bend and no tube inside are reached without a jump")
{
    const CavityRoom room{.netVolume = 6e-3, .width = 0.18, .breadth = 0.2, .depth = 0.17};
    PortOpening p = tube(0.05, 0.1);
    p.wall = 0.003;
    const double plain = tuning(p, room);
    PortOpening q = p;
    q.innerFlare = q.outerFlare = 1e-5;
    CHECK(tuning(q, room) == Approx(plain).epsilon(1e-4));
    q = p;
    q.bends = {{1e-4, 0.1, {}}};
    CHECK(tuning(q, room) == Approx(plain).epsilon(1e-5));
    q = p;
    q.inside = 1e-5;
    CHECK(tuning(q, room) == Approx(plain).epsilon(1e-3));
    double before = 0;
    for (double f = 0; f <= 0.02501; f += 0.005) {  // a larger flare is less mass
        q = p;
        q.innerFlare = q.outerFlare = f;
        CHECK(tuning(q, room) > before);
        before = tuning(q, room);
    }
}

TEST_CASE("tubes of one port and walls between them: a pair is one tube in half the box")
{
    // Same inner end by the mirror plane; outside each meets its neighbour.
    const CavityRoom box{.netVolume = 4.16e-3, .width = 0.2, .breadth = 0.16, .depth = 0.13};
    const CavityRoom half{.netVolume = 2.08e-3, .width = 0.1, .breadth = 0.16, .depth = 0.13};
    PortOpening pair = tube(0.04, 0.07), one = pair;
    pair.count = 2, pair.spacing = 0.06, pair.x = 0.1, pair.y = 0.08;
    one.x = 0.03, one.y = 0.08;
    const PortInCavity two = portInCavity(pair, box, quietAir()), alone = portInCavity(one, half, quietAir());
    CHECK(two.inner.l0 == Approx(alone.inner.l0).epsilon(1e-3));  // modes are cut at the same K
    CHECK(two.outer.length == Approx(alone.outer.length + neighbourLength(0.02, 0.06)).epsilon(1e-12));
    CHECK(two.S / two.A == Approx(alone.S / alone.A));
}

TEST_CASE("an obstacle before the mouth tunes lower the nearer it is, and far away does nothing")
{
    for (const double inside : {0.0, 0.05}) {
        const CavityRoom room{.netVolume = 6e-3, .width = 0.18, .breadth = 0.2, .depth = 0.18};
        PortOpening p = tube(0.05, 0.1);
        p.inside = inside, p.wall = 0.002;
        const double free = tuning(p, room);
        double before = 0;
        for (double gap : {0.005, 0.012, 0.02, 0.03, 0.05, 0.09}) {
            p.obstacle = gap;
            CHECK(tuning(p, room) > before);
            CHECK(tuning(p, room) < free * (1 + 1e-9));
            before = tuning(p, room);
        }
        CHECK(before == Approx(free).epsilon(2e-3));
        p.obstacle = 1.0;
        CHECK(tuning(p, room) == free);
    }
}

TEST_CASE("a tube's end near the wall opposite takes what the static flow through the ring there does")
{
    // Steady potential flow from the air beside a tube (wall t, in a cylinder of four radii) round its end into the
    // bore, by finite volumes on two grids graded to a twelfth of the gap, extrapolated: length in radii beyond that at
    // a gap of 0.4 radii, where the fit to finite elements ends. Made for this test; to 0.01.
    struct Row {
        double wall, gap, length;
    };
    const Row rows[] = {{.02, .3, .114}, {.02, .2, .306}, {.02, .1, .708}, {.02, .05, 1.202}, {.02, .02, 2.051},
                        {.08, .3, .134}, {.08, .2, .366}, {.08, .1, .896}, {.08, .05, 1.659}, {.08, .02, 3.345},
                        {.2, .3, .169},  {.2, .2, .475},  {.2, .1, 1.247}, {.2, .05, 2.515},  {.2, .02, 5.755}};
    const double a = 0.025, section = pi * 16 * a * a, inside = 0.1;
    for (const Row& r : rows) {
        CAPTURE(r.wall, r.gap);
        PortOpening p = tube(2 * a, 0.11);
        p.innerEnd = TubeEnd::free, p.inside = inside, p.wall = r.wall * a;
        const auto at = [&](double gap) { return innerEndOf(p, section, gap * a, inside, section * inside).l0 / a; };
        CHECK(at(r.gap) - at(0.4) == Approx(r.length).margin(0.03));
        CHECK(at(0.4 - 1e-9) == Approx(at(0.4 + 1e-9)).margin(1e-6));
    }
}

TEST_CASE("a tube that nearly touches the wall opposite tunes far lower, and one that shuts itself is refused")
{
    // Bore 50 mm, 149 of its 155 mm inside a box 150 mm deep: 1 mm is left.
    CavityRoom box{.netVolume = 5.65e-3, .width = 0.2, .breadth = 0.2, .depth = 0.15};
    PortOpening p = tube(0.05, 0.155);
    p.innerEnd = TubeEnd::free, p.wall = 0.002;
    double before = 1e9;
    for (const double gap : {0.04, 0.02, 0.0101, 0.01, 0.005, 0.002, 0.001}) {
        CAPTURE(gap);
        p.inside = box.depth - gap;
        CHECK_FALSE(whyImpossible(p, box));
        CHECK(tuning(p, box) < before);
        before = tuning(p, box);
    }
    p.inside = box.depth - 0.01;
    CHECK(before < 0.9 * tuning(p, box));
    CHECK(knownAccuracy(p, box).find("so near to what is before it") != std::string::npos);
    p.inside = box.depth - 0.0004;  // less than a fiftieth of the radius
    const auto why = whyImpossible(p, box);
    REQUIRE(why);
    CHECK(why->find("shuts it: leave 0.5\u00A0mm") != std::string::npos);
}

TEST_CASE("tubes whose distance is not given stand side by side, in a cavity of known sizes and in one of a volume")
{
    rc::prop("round, two to four", [] {
        PortOpening p = tube(logUniform(0.02, 0.04), logUniform(0.04, 0.12));
        p.count = *rc::gen::inRange(2, 5), p.wall = logUniform(0.001, 0.004);
        PortOpening side = p;
        side.spacing = p.diameter + 2 * *p.wall;
        CavityRoom room{.netVolume = logUniform(5e-3, 20e-3)};
        RC_ASSERT(std::abs(tuning(p, room) / tuning(side, room) - 1) < 1e-12);
        room.width = room.breadth = 0.22;
        RC_ASSERT(std::abs(tuning(p, room) / tuning(side, room) - 1) < 1e-12);
    });
}

TEST_CASE("what is known of the accuracy is told by kind, and beyond the table that nothing is")
{
    const CavityRoom room{.netVolume = 6e-3};
    const auto known = [&](const PortOpening& p) { return knownAccuracy(p, room).find("within 0.5") == 0; };
    const PortOpening plain = tube(0.05, 0.12);
    CHECK(known(plain));
    PortOpening p = plain;
    p.count = 2;
    CHECK(known(p));
    p.count = 16, p.diameter = 0.02;
    CHECK_FALSE(known(p));
    p = plain, p.bends = {{pi / 2, 0.04, {}}};
    CHECK_FALSE(known(p));
    p = plain, p.diameter = 0.16, p.length = 0.02;
    CHECK_FALSE(known(p));
    p = plain, p.obstacle = 0.01;
    CHECK_FALSE(known(p));
    p = plain, p.shape = PortShape::slot, p.width = 0.17, p.height = 0.002;
    CHECK_FALSE(known(p));
}

TEST_CASE("a shelf slot that begins to reach inside is the flush one, and falls as it grows")
{
    rc::prop("any box", [] {
        const CavityRoom box{0, logUniform(0.08, 0.3), logUniform(0.08, 0.3), logUniform(0.1, 0.3)};
        PortOpening p;
        p.shape = PortShape::slot, p.sharedWalls = 3;
        p.width = box.width, p.height = logUniform(0.08, 0.25) * box.breadth, p.wall = 0.006;
        const double through = logUniform(0.01, 0.1), most = 0.6 * box.depth;
        const auto at = [&](double inside) {
            p.length = through + inside, p.inside = inside;
            p.innerEnd = inside > 0 ? TubeEnd::free : TubeEnd::flush;
            CavityRoom room = box;
            room.netVolume = box.width * box.breadth * box.depth - outlineVolume(p);
            return tuning(p, room, quietAir());
        };
        const double flush = at(0);
        RC_ASSERT(std::abs(at(1e-6) / flush - 1) < 1e-4);
        double before = flush;
        for (int i = 1; i <= 20; ++i) {
            const double next = at(most * i / 20);
            RC_ASSERT(next < before);
            before = next;
        }
    });
}

TEST_CASE("a shelf slot's three ducts meet as the classical thin plate has it")
{
    // Flow at a bifurcation by Schwarz-Christoffel, closed form for a plate without thickness.
    const ShelfEnd thin = shelfEnd(0.02, 0.16, 1e-7);
    const double D = (0.02 * std::log(9.0) + 0.16 * std::log(0.18 / 0.16)) / pi;
    CHECK(thin.slot == Approx(D).epsilon(1e-4));
    CHECK(thin.beside == Approx(D).epsilon(1e-4));
    CHECK(thin.before == Approx(D).epsilon(1e-4));
    // A thick plate is what is taken from the air: its end is longer for the slot.
    CHECK(shelfEnd(0.02, 0.148, 0.012).slot > D);
    // Nothing beside, nothing added.
    CHECK(shelfEnd(0.02, 1e-6, 1e-7).slot == Approx(0).margin(1e-5));
}

TEST_CASE("the pipe resonance of an open port is half a wave over its effective length")
{
    // L 0.2, a 0.03, flush outside, free inside: n c/(2 Leff), 705.6 Hz at c 343; the free end is shorter above.
    PortOpening p = tube(0.06, 0.2);
    p.innerEnd = TubeEnd::free, p.inside = 0.1;
    Air air = quietAir();
    air.c = 343;
    const CavityRoom wide{.netVolume = 1.0, .width = 1, .breadth = 1, .depth = 1};
    CHECK(pipeResonanceOf(portInCavity(p, wide, air)) == Approx(705.6).epsilon(0.03));
    PortOpening longer = p;
    longer.length = 0.4;
    CHECK(pipeResonanceOf(portInCavity(longer, wide, air)) < 0.6 * 720);
}

TEST_CASE("what is not known of the cavity has its price in per cent, and none where it is known")
{
    const PortOpening p = tube(0.054, 0.13);
    const double spread = assumedShapeSpread(p, {.netVolume = 5.2e-3}, referenceAir());
    CHECK(spread > 0.002);
    CHECK(spread < 0.06);
    CHECK(assumedShapeSpread(p, {.netVolume = 5.2e-3, .width = 0.17, .breadth = 0.18}, referenceAir()) == 0);
}

TEST_CASE("air in the box is the net volume, whatever is known of its sizes")
{
    rc::prop("any port, any subset of sizes", [] {
        auto [port, room] = arbitraryPair();
        const double side = std::cbrt(room.netVolume);
        for (double* size : {&room.width, &room.breadth, &room.depth})
            if (coin()) *size = side * logUniform(0.7, 1.8);
        const PortInCavity p = portInCavity(port, room, referenceAir());
        const double air = p.A * p.d + p.A1 * p.P;
        if (port.sharedWalls.value_or(0) < 3) RC_ASSERT(std::abs(air / room.netVolume - 1) < 1e-9);
        RC_ASSERT(std::isfinite(tuningOf(p)));
    });
}

TEST_CASE("any numbers at all give a finite tuning")
{
    rc::prop("ports far outside sense", [] {
        PortOpening p;
        if (coin()) p.shape = PortShape::slot;
        p.diameter = logUniform(0.003, 0.5), p.width = logUniform(0.003, 2), p.height = logUniform(0.001, 2);
        p.length = coin() ? 0 : logUniform(1e-4, 3);
        if (coin()) p.inside = logUniform(1e-4, 3);
        if (coin()) p.wall = logUniform(1e-4, 0.1);
        if (coin()) p.innerFlare = logUniform(1e-3, 0.5);
        if (coin()) p.outerFlare = logUniform(1e-3, 0.5);
        if (coin()) p.bends = {{logUniform(0.01, 6), logUniform(1e-3, 3), {}}};
        if (coin()) p.sharedWalls = *rc::gen::inRange(0, 4);
        if (coin()) p.obstacle = coin() ? 0 : logUniform(1e-3, 1);
        if (coin()) p.x = logUniform(1e-3, 1);
        if (coin()) p.front = logUniform(0.003, 10);
        p.innerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
        p.outerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
        p.count = *rc::gen::inRange(1, 17);
        CavityRoom room{.netVolume = logUniform(0.02e-3, 2)};
        for (double* size : {&room.width, &room.breadth, &room.depth})
            if (coin()) *size = logUniform(0.005, 10);
        const double fb = tuning(p, room);
        RC_ASSERT(std::isfinite(fb));
        RC_ASSERT(fb > 0);
        RC_ASSERT(std::isfinite(pipeResonanceOf(portInCavity(p, room, referenceAir()))));
    });
}

TEST_CASE("slots that stand in a box, with walls of their own or shared ones, tune as finite elements have it")
{
    double squares[4] = {}, worst[4] = {};
    int seen[4] = {};
    for (const PortCase& c : portCases("slot_tuning.csv")) {
        CAPTURE(c("id"), c("shared_walls"));
        PortOpening p;
        p.shape = PortShape::slot;
        p.width = c.metres("slot_width_mm"), p.height = c.metres("slot_height_mm"), p.wall = c.metres("tube_wall_mm");
        p.length = c.metres("port_length_mm"), p.inside = c.metres("port_inside_mm");
        p.x = c.metres("port_x_mm"), p.y = c.metres("port_y_mm");
        const int shared = int(c.number("shared_walls"));
        p.sharedWalls = shared;
        const CavityRoom room{.netVolume = c.number("net_volume_l") / 1e3,
                              .width = c.metres("cav_width_mm"),
                              .breadth = c.metres("cav_breadth_mm"),
                              .depth = c.metres("cav_depth_mm")};
        REQUIRE_FALSE(whyImpossible(p, room));
        PortInCavity placed = portInCavity(p, room, quietAir());
        CHECK(placed.outer.length == Approx(c.metres("outer_end_mm")).epsilon(1e-4));
        const double off = std::abs(percent(tuningOf(placed), c.number("fb_hz")));
        // A shelf that ends a third of the section's height before the wall opposite: waves there are not plane.
        if (shared == 3 && room.depth - *p.inside < 0.5 * room.breadth) {
            CHECK(off < 1);
            continue;
        }
        squares[shared] += off * off, worst[shared] = std::max(worst[shared], off), ++seen[shared];
    }
    // Per cent. Shelves are exact at low frequency but for the blend of short ones; the others carry what was fitted on
    // round tubes over to their own measures.
    constexpr double allowed[] = {0.40, 0.51, 0.46, 0.13}, allowedRms[] = {0.22, 0.24, 0.25, 0.10};
    for (int shared = 0; shared < 4; ++shared) {
        CAPTURE(shared, worst[shared], std::sqrt(squares[shared] / seen[shared]));
        CHECK(seen[shared] >= 4);
        CHECK(worst[shared] < allowed[shared]);
        CHECK(std::sqrt(squares[shared] / seen[shared]) < allowedRms[shared]);
    }
}

TEST_CASE("what cannot be built is told in a sentence, what can is not")
{
    const CavityRoom box{.netVolume = 4.3e-3, .width = 0.16, .breadth = 0.18, .depth = 0.16};
    const auto why = [&](auto change, CavityRoom room) {
        PortOpening p = tube(0.05, 0.1);
        change(p);
        const auto sentence = whyImpossible(p, room);
        return sentence ? *sentence : std::string();
    };
    using P = PortOpening;
    CHECK(why([](P&) {}, box) == "");
    CHECK(why([](P& p) { p.length = -0.005; }, box) == "the length is -5\u00A0mm: a port is 0\u00A0mm long or longer");
    CHECK(why([](P& p) { p.length = std::nan(""); }, box).find("the length is") == 0);
    CHECK(why([](P& p) { p.diameter = 0; }, box).find("no area") != std::string::npos);
    CHECK(why([](P& p) { p.count = 0; }, box).find("at least 1") != std::string::npos);
    CHECK(why([](P& p) { p.wall = -0.001; }, box).find("wall") != std::string::npos);
    CHECK(why([](P& p) { p.diameter = 0.2; }, box) ==
          "the port takes 200 x 200\u00A0mm and the wall has 160 x 180\u00A0mm: use a smaller one, or fewer tubes");
    CHECK(why([](P& p) { p.innerFlare = 0.06; }, box).find("takes") != std::string::npos);
    CHECK(why([](P& p) { p.innerFlare = 0.06, p.outerFlare = 0.05; }, box)
              .find("the flares take 110\u00A0mm of a port 100\u00A0mm long") == 0);
    CHECK(why([](P& p) { p.inside = 0.11; }, box) == "110\u00A0mm inside are more than the port's 100\u00A0mm");
    CHECK(why([](P& p) { p.length = p.inside.emplace(0.17); }, box).find("do not fit a cavity") != std::string::npos);
    CHECK(why([](P& p) { p.count = 4; }, box) == "");  // two rows of two
    CHECK(why([](P& p) { p.count = 16; }, box).find("fewer tubes") != std::string::npos);
    CHECK(why([](P& p) { p.count = 2, p.spacing = 0.04; }, box).find("stand in one another") != std::string::npos);
    CHECK(why([](P& p) { p.x = 0.01; }, box) == "the mouth reaches beyond the wall: move its centre inwards");
    CHECK(why([](P& p) { p.y = 0.17; }, box) == "the mouth reaches beyond the wall: move its centre inwards");
    CHECK(why([](P& p) { p.bends = {{pi / 2, 0.02, {}}}; }, box).find("tighter") != std::string::npos);
    CHECK(why([](P& p) { p.bends = {{pi, 0.05, {}}}; }, box).find("the bends take") != std::string::npos);
    CHECK(why([](P& p) { p.front = 0.04; }, box).find("smaller than the mouth") != std::string::npos);
    CHECK(why([](P& p) { p.obstacle = 0.0; }, box).find("shut") != std::string::npos);
    CHECK(why([](P& p) { p.sharedWalls = 1; }, box).find("round port") != std::string::npos);
    const auto slot = [](P& p) { p.shape = PortShape::slot, p.width = 0.16, p.height = 0.02, p.sharedWalls = 3; };
    CHECK(why(slot, box) == "");
    CHECK(why([&](P& p) { slot(p), p.width = 0.14; }, box).find("as wide as the cavity") != std::string::npos);
    CavityRoom none = box;
    none.netVolume = -0.2e-3;
    CHECK(why([](P& p) { p.inside = 0.09, p.wall = 0.002; }, none).find("no air is left") == 0);
    CavityRoom crammed = box;
    crammed.netVolume = 6e-3;
    CHECK(why([](P&) {}, crammed).find("do not fit") != std::string::npos);
    CHECK(why([](P&) {}, {.netVolume = 1e-3}) == "");
    const CavityRoom pod{.netVolume = 5.2e-3};
    CHECK(
        why([](P& p) { p.diameter = 0.4; }, pod) ==
        "the port takes 400 x 400\u00A0mm of a wall, behind which 5.2\u00A0L would be 32.5\u00A0mm deep, and a cavity "
        "to fit it has 100\u00A0mm at least: use a smaller one, or fewer tubes");
    CHECK(why([](P& p) { p.diameter = 0.1, p.count = 16; }, pod).find("fewer tubes") != std::string::npos);
    CHECK(why([](P& p) { p.length = p.inside.emplace(2), p.diameter = 0.06; }, pod) ==
          "the port takes 5.65\u00A0L inside and leaves 5.2\u00A0L of air: use a smaller or a shorter one");
    CHECK(
        why([](P& p) { p.diameter = 0.2; }, {.netVolume = 5.2e-3, .width = 0, .breadth = 0, .depth = 0.2}) ==
        "the port takes 200 x 200\u00A0mm of a wall, behind which 5.2\u00A0L would be 130\u00A0mm deep, and the cavity "
        "is 200\u00A0mm: use a smaller one, or fewer tubes");
    // Two sizes and the volume give the third.
    CHECK(why([](P& p) { p.length = p.inside.emplace(0.17); },
              {.netVolume = 4.3e-3, .width = 0.16, .breadth = 0.18, .depth = 0})
              .find("do not fit a cavity") != std::string::npos);
}

TEST_CASE("ordinary ports fit any cavity that they are built into, and what is too wide stays so when wider")
{
    rc::prop("a bore up to a third of the cavity's side, as long inside as the cavity is deep", [] {
        const double volume = logUniform(0.5e-3, 60e-3), side = std::cbrt(volume);
        PortOpening p = tube(side * logUniform(0.05, 0.33), side * logUniform(0.1, 2));
        p.inside = std::min(p.length, 0.9 * side), p.wall = 0.003;
        RC_ASSERT(!whyImpossible(p, {.netVolume = volume}));
    });
    rc::prop("any port, rising bore, sizes known or not", [] {
        const double volume = logUniform(0.5e-3, 60e-3), side = std::cbrt(volume);
        PortOpening p = tube(0, logUniform(0.01, 1));
        if (coin()) p.inside = p.length * logUniform(0.01, 1);
        if (coin()) p.wall = logUniform(1e-3, 10e-3);
        if (coin()) p.innerFlare = 0.01, p.length += 0.01;
        p.count = *rc::gen::inRange(1, 5);
        const bool slot = coin();
        if (slot) p.shape = PortShape::slot, p.width = side * logUniform(0.1, 1);
        // All sizes or none: with one or two, what a wider tube takes may make the box deep enough again.
        CavityRoom room{.netVolume = volume};
        if (coin())
            for (double* size : {&room.width, &room.breadth, &room.depth})
                *size = side * logUniform(0.5, 2);
        bool refused = false;
        for (double bore = 0.01; bore < 3; bore *= 1.1) {
            (slot ? p.height : p.diameter) = bore;
            const bool now = whyImpossible(p, room).has_value();
            RC_ASSERT(now || !refused);
            refused = now;
        }
        RC_ASSERT(refused);
    });
}
