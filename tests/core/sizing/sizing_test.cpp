// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/sizing.h"

#include "core/port/geometry.h"
#include "core/response/summary.h"

#include "../support/port_table.h"
#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening roundPort(double bore, double wall = 2e-3, TubeEnd inner = TubeEnd::free)
{
    PortOpening p;
    p.diameter = bore, p.wall = wall, p.innerEnd = inner;
    return p;
}

CavityRoom litres(double volume, double depth = 0)
{
    CavityRoom room;
    room.netVolume = volume * 1e-3, room.depth = depth;
    return room;
}

PortOpening arbitraryBody()
{
    PortOpening p =
        roundPort(logUniform(0.015, 0.1), logUniform(0.5e-3, 4e-3), coin() ? TubeEnd::free : TubeEnd::flush);
    if (coin()) {
        p.shape = PortShape::slot;
        p.width = logUniform(0.04, 0.2), p.height = logUniform(0.008, 0.04);
    }
    if (coin()) p.count = *rc::gen::inRange(1, 4);
    if (coin()) p.outerEnd = TubeEnd::free;
    if (coin()) p.innerFlare = radiusOf(p) * *rc::gen::inRange(1, 10) / 10.0;
    if (coin()) p.outerFlare = radiusOf(p) * *rc::gen::inRange(1, 10) / 10.0;
    return p;
}

}  // namespace

TEST_CASE("length and tuning are inverse to each other")
{
    rc::prop("any port in any cavity", [] {
        const PortOpening p = arbitraryBody();
        const CavityRoom empty = litres(logUniform(1, 60), coin() ? logUniform(0.1, 0.6) : 0);
        const TuningOfCut cut = tuningOfCut(p, empty, roundAir());
        const double length = cut.shortest + logUniform(0.005, 0.5);
        const auto there = tuningAt(length, cut);
        RC_PRE(there.has_value());
        const auto back = lengthFor(there->tuning, cut);
        if (!back) {  // it fills so much of the cavity that no length on the falling side tunes so high
            RC_ASSERT(there->tuningPerLength > 0);
            return;
        }
        RC_ASSERT(std::abs(back->tuning / there->tuning - 1) < 1e-6);
        // The shortest of the lengths that do it where the tuning falls. Where the port takes much of the cavity it
        // rises with length, behind that or, for a wide and flat port, before it: up to where the wall opposite is
        // near.
        if (there->tuningPerLength < 0) RC_ASSERT(back->length < length + 1e-6);
        PortOpening body = cutTo(p, length);
        if (outlineVolume(body) < 0.1 * empty.netVolume && there->tuningPerLength < 0)
            RC_ASSERT(std::abs(back->length - length) < 1e-6);
    });
}

TEST_CASE("a tuning above that of a mere hole is refused, not met by a port that fills the cavity")
{
    PortOpening p = roundPort(0.054, 0);
    const TuningOfCut cut = tuningOfCut(p, litres(5.5), roundAir());
    const double hole = tuningAt(cut.shortest, cut)->tuning;
    CHECK(lengthFor(0.95 * hole, cut).has_value());
    const auto above = lengthFor(1.2 * hole, cut);
    REQUIRE_FALSE(above);
    CHECK(above.error().message.find("the highest tuning is") != std::string::npos);
}

TEST_CASE("the port's own volume comes off the cavity in the same solution")
{
    const PortOpening p = roundPort(0.05, 3e-3);
    const CavityRoom empty = litres(6, 0.25);
    const auto sized = lengthFor(70, tuningOfCut(p, empty, roundAir()));
    REQUIRE(sized);
    const PortOpening made = cutTo(p, sized->length);
    CavityRoom left = empty;
    left.netVolume -= pi * 0.028 * 0.028 * sized->length;  // outline of the tube, all of it inside
    CHECK(tuningOf(portInCavity(made, left, roundAir())) == Approx(70).epsilon(1e-9));
    // Reckoned with the volume as it was without the port, it would be cut too long.
    CHECK(tuningOf(portInCavity(made, empty, roundAir())) < 70 * 0.98);
}

TEST_CASE("a length is that of the finite-element table for its tuning")
{
    // tests/data/port_tuning.csv: the length reckoned from the table's tuning, told as what the difference is worth in
    // tuning: 0.5 %, the model's own tolerance on this table.
    int checked = 0;
    for (const PortCase& c : portCases()) {
        if (c("cavity") != "cylinder" || c("outer_end") != "baffle" || c("port_shape") != "round" ||
            c("kind") == "flared")
            continue;
        CAPTURE(c("id"), c("kind"));
        PortOpening p = roundPort(2 * c.metres("bore_radius_mm"), c.metres("tube_wall_mm"),
                                  c.number("port_inside_mm") > 0 ? TubeEnd::free : TubeEnd::flush);
        p.length = c.metres("port_length_mm");
        p.lossQ = 1000;  // the table is without walls' friction, which a given loss leaves out
        if (c.number("port_inside_mm") > 0) p.inside = c.metres("port_inside_mm");
        if (c("kind").find("flare") != std::string::npos) continue;
        CavityRoom empty = litres(c.number("net_volume_l"), c.metres("cav_depth_mm"));
        empty.netVolume += outlineVolume(p);
        const auto sized = lengthFor(c.number("fb_hz"), tuningOfCut(p, empty, portTableAir()));
        if (!sized) continue;  // short ports in wide walls may lie past the shortest length
        ++checked;
        CHECK(std::abs(sized->length - p.length) * std::abs(sized->tuningPerLength) < 0.005 * c.number("fb_hz"));
    }
    CHECK(checked > 30);
}

TEST_CASE("the slope is what two lengths differ by")
{
    const TuningOfCut cut = tuningOfCut(roundPort(0.05), litres(12), roundAir());
    const auto a = tuningAt(0.150, cut), b = tuningAt(0.152, cut);
    REQUIRE(a);
    REQUIRE(b);
    CHECK(a->tuningPerLength < 0);
    CHECK((b->tuning - a->tuning) / 0.002 == Approx((a->tuningPerLength + b->tuningPerLength) / 2).epsilon(1e-3));
    CHECK(tuningSpread(*a, 1e-3) == Approx(-a->tuningPerLength * 1e-3));
}

TEST_CASE("what stands outside the cavity stays as it is cut")
{
    PortOpening p = roundPort(0.05);
    p.length = 0.2, p.inside = 0.15;
    CHECK(*cutTo(p, 0.18).inside == Approx(0.13));
    CHECK(*cutTo(p, 0.03).inside == 0);
    CHECK_FALSE(cutTo(roundPort(0.05), 0.1).inside);
}

TEST_CASE("by the whole model the present length has the present tuning")
{
    Housing housing = closedHousing(6e-3);
    PortOpening p = roundPort(0.05);
    p.length = 0.14;
    housing.openings = {{LeakByQ{7}, {}, {}}, {p, {}, {}}};
    const Model model = modelOfReference(housing);
    const auto now = tuningAt(0.14, tuningOfCut(model, 1));
    REQUIRE(now);
    CHECK(now->tuning == Approx(*tuningOf(model)).epsilon(1e-9));
    const auto sized = lengthFor(now->tuning + 3, tuningOfCut(model, 1));
    REQUIRE(sized);
    CHECK(sized->length < 0.14);
    CHECK(sized->tuning == Approx(now->tuning + 3).epsilon(1e-8));
}

TEST_CASE("beside another port none of any length tunes lower than that one alone")
{
    Housing housing = closedHousing(8.41e-3);
    PortOpening first = roundPort(0.051), second = roundPort(0.04);
    first.length = 0.045, second.length = 0.12;
    first.innerEnd = second.innerEnd = TubeEnd::flush;
    housing.openings = {{LeakByQ{17.3}, {}, {}}, {first, {}, {}}, {second, {}, {}}};
    const Model model = modelOfReference(housing);
    const TuningOfCut cut = tuningOfCut(model, 2);
    REQUIRE(cut.others);
    Housing alone = housing;
    alone.openings.pop_back();
    CHECK(*cut.others == Approx(*tuningOf(modelOfReference(alone))).epsilon(1e-9));  // a flush one takes nothing
    const auto refused = lengthFor(80, cut);  // a pipe of 2 m would turn the load there
    REQUIRE_FALSE(refused);
    CHECK(refused.error().message.find("the other ports of this cavity alone tune to") != std::string::npos);
    const auto sized = lengthFor(1.2 * *cut.others, cut);
    REQUIRE(sized);
    CHECK(sized->tuning == Approx(1.2 * *cut.others).epsilon(1e-6));
    // Masses beside one another on one spring, by hand.
    const auto mass = [](const PortOpening& p) { return (p.length + 2 * 0.8217 * radiusOf(p)) / areaOf(p); };
    const double both = 1 / mass(first) + 1 / mass(second);
    CHECK(textbookTuning(model, CavityId::main) ==
          Approx(model.air.c / (2 * pi) * std::sqrt(both / 8.41e-3)).epsilon(1e-9));
    CHECK(textbookTuning(model, CavityId::second) == 0);
    CHECK_FALSE(tuningOfCut(modelOfReference(alone), 1).others);
}

TEST_CASE("a bore that friction leaves no tuning is told so when a length is wanted for it, or a tuning")
{
    Housing housing = closedHousing(6e-3);
    PortOpening p = roundPort(0.003);
    p.length = 0.3, p.innerEnd = TubeEnd::flush;
    housing.openings = {{p, {}, {}}};
    const TuningOfCut cut = tuningOfCut(modelOfReference(housing), 0);
    for (const double wanted : {2.0, 5.0, 300.0, 946.0}) {
        const auto none = lengthFor(wanted, cut);
        REQUIRE_FALSE(none);
        CHECK(none.error().message.find("friction") != std::string::npos);
    }
    const auto now = tuningAt(0.3, cut);
    REQUIRE_FALSE(now);
    CHECK(now.error().message.find("friction in so narrow a bore leaves no tuning") == 0);
}

TEST_CASE("nonsense gives a sentence, not a number")
{
    const auto words = [](const auto& result) {
        REQUIRE_FALSE(result);
        return result.error().message;
    };
    const TuningOfCut cut = tuningOfCut(roundPort(0.05), litres(6), roundAir());
    CHECK(words(lengthFor(0, cut)).find("above 0") != std::string::npos);
    CHECK(words(lengthFor(-50, cut)).find("above 0") != std::string::npos);
    CHECK(words(lengthFor(std::numeric_limits<double>::quiet_NaN(), cut)).find("above 0") != std::string::npos);
    CHECK(words(tuningAt(-0.01, cut)).find("0 mm or more") != std::string::npos);
    CHECK(words(tuningAt(4, cut)).find("longest taken") != std::string::npos);
    CHECK(words(lengthFor(300, cut)).find("wider bore") != std::string::npos);
    // A tube that takes more of the cavity than it gains: the lowest there is, and what would help.
    CHECK(words(lengthFor(15, tuningOfCut(roundPort(0.1), litres(6), roundAir()))).find("narrower bore") !=
          std::string::npos);
    CHECK(!words(lengthFor(60, tuningOfCut(roundPort(0.05), litres(-1), roundAir()))).empty());
    PortOpening none = roundPort(0);
    CHECK(words(lengthFor(60, tuningOfCut(none, litres(6), roundAir()))).find("no area") != std::string::npos);
    CavityRoom narrow = litres(6, 0.2);
    narrow.width = 0.04;
    CHECK(words(lengthFor(60, tuningOfCut(roundPort(0.05), narrow, roundAir()))).find("wall") != std::string::npos);
    PortOpening flared = roundPort(0.05);
    flared.innerFlare = 0.02, flared.outerFlare = 0.02;
    CHECK(words(tuningAt(0.03, tuningOfCut(flared, litres(6), roundAir()))).find("flares") != std::string::npos);
}
