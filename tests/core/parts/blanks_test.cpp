// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/blanks.h"

#include "core/constants.h"
#include "tests/core/parts/random_port.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

std::string refusal(PortOpening port, double PortOpening::* field, double value)
{
    port.*field = value;
    const auto fine = checkPort(port);
    return fine ? "" : fine.error().message;
}

}  // namespace

TEST_CASE("a straight tube is cut to its length, longer by what is trimmed later")
{
    PartOptions options;
    options.cutLong = 0.02;
    const auto blanks = tubeBlanks(roundPort(0.05, 0.163), options);
    REQUIRE(blanks);
    REQUIRE(blanks->straights.size() == 1);
    CHECK(blanks->straights[0] == CutPiece{"tube", 0.183, 1});
    CHECK(blanks->bends.empty());
}

TEST_CASE("a bent tube's pieces come to its length along the centre line")
{
    PortOpening port = roundPort(0.05, 0.4);
    port.bends = {{pi / 2, 0.06, {}}};
    port.count = 2;
    const auto blanks = tubeBlanks(port, {});
    REQUIRE(blanks);
    CHECK(blanks->bends[0].length == Approx(0.0942478).epsilon(1e-6));  // pi/2 times 60 mm
    REQUIRE(blanks->straights.size() == 2);
    CHECK(blanks->straights[0].length == Approx((0.4 - 0.0942478) / 2).epsilon(1e-6));
    CHECK(blanks->straights[0].count == 2);
    rc::prop("any bends and flares that leave something straight", [] {
        PortOpening some = arbitraryPort();
        some.shape = PortShape::round, some.diameter = 0.03, some.length = 1;
        for (int n = *rc::gen::inRange(0, 4); n > 0; --n)
            some.bends.push_back({between(10, 180, pi / 180), between(15, 80, 1e-3), {}});
        PartOptions options;
        options.cutLong = between(0, 50, 1e-3);
        const auto cut = tubeBlanks(some, options);
        RC_ASSERT(cut.has_value());
        double sum = cut->outerFlare + cut->innerFlare;
        for (const CutPiece& piece : cut->straights)
            sum += piece.length;
        for (const BendBlank& bend : cut->bends)
            sum += bend.length;
        RC_ASSERT(std::abs(sum - some.length - options.cutLong) < 1e-9);
    });
}

TEST_CASE("panels fill the space between bore and outline, less what the cavity's walls give")
{
    PartOptions options;
    options.panel = 0.012;
    const double w = 0.12, h = 0.03, t = 0.012;
    // Section of material: the ring of four walls; then without a broad wall with its corners' share, and so on.
    const std::vector<double> sections{(w + 2 * t) * (h + 2 * t) - w * h, (w + 2 * t) * t + 2 * h * t,
                                       (w + t) * t + h * t, w * t};
    for (int shared = 0; shared <= 3; ++shared) {
        PortOpening port = slotPort(w, h, 0.3);
        port.sharedWalls = shared;
        const auto blanks = panelBlanks(port, options);
        REQUIRE(blanks);
        double section = 0;
        for (const Panel& panel : blanks->panels) {
            CHECK(panel.length == Approx(0.3));
            section += panel.count * panel.width * t;
        }
        INFO(shared << " walls shared");
        CHECK(section == Approx(sections[std::size_t(shared)]).epsilon(1e-12));
    }
}

TEST_CASE("a bent slot's straights and arcs come to its length, its strips to arcs of their middle layer")
{
    PortOpening port = slotPort(0.12, 0.03, 0.4);
    port.bends = {{pi / 2, 0.045, {}}};
    const auto blanks = panelBlanks(port, {});
    REQUIRE(blanks);
    CHECK(blanks->panels.size() == 4);
    CHECK(2 * blanks->panels[0].length + pi / 2 * 0.045 == Approx(0.4));
    REQUIRE(blanks->shapedParts.size() == 3);
    // Inner: air side 45 - 15 = 30 mm, middle layer 30 - 6 = 24 mm, times pi/2 = 37.7 mm; outer 60 + 6 = 66: 103.7 mm.
    CHECK(blanks->shapedParts[0].find("radius of 30.0\u00A0mm, 37.7\u00A0mm long") != std::string::npos);
    CHECK(blanks->shapedParts[1].find("radius of 60.0\u00A0mm, 103.7\u00A0mm long") != std::string::npos);
    CHECK(blanks->shapedParts[2].find("2 ring sectors from radius 30.0\u00A0mm to 60.0\u00A0mm") != std::string::npos);
    port.sharedWalls = 1;  // the outer broad wall is the cavity's
    CHECK(panelBlanks(port, {})->shapedParts.size() == 2);
}

TEST_CASE("panels of one length are ripped from one sheet, with the kerf between them")
{
    PartOptions options;
    options.panel = 0.012, options.kerf = 3e-3, options.panelStock = {{0.357, {}}};
    // 2 x 144 + 2 x 30 mm and three kerfs of 3 mm are 357 mm.
    const auto blanks = panelBlanks(slotPort(0.12, 0.03, 0.3), options);
    REQUIRE(blanks);
    auto plans = panelPlans(*blanks, options);
    REQUIRE(plans);
    REQUIRE(plans->size() == 1);
    CHECK((*plans)[0].across == Approx(0.3));
    CHECK((*plans)[0].plan.bars.size() == 1);
    options.panelStock = {{0.3569, {}}};
    CHECK((*panelPlans(*blanks, options))[0].plan.bars.size() == 2);
}

TEST_CASE("nonsense sizes are refused with the value and what is allowed")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const PortOpening tube = roundPort(0.05, 0.16), slot = slotPort(0.1, 0.03, 0.2);
    CHECK(refusal(tube, &PortOpening::diameter, 0) == "the bore is 0 mm; allowed is above 0 to 1000 mm");
    CHECK(refusal(tube, &PortOpening::diameter, nan) == "the bore is nan mm; allowed is above 0 to 1000 mm");
    CHECK(refusal(tube, &PortOpening::length, -0.01) == "the port is -10 mm long; allowed is 0 to 3000 mm");
    CHECK(refusal(slot, &PortOpening::width, -0.1) == "the slot's width is -100 mm; allowed is above 0 to 1000 mm");
    CHECK(refusal(slot, &PortOpening::height, nan) == "the slot's height is nan mm; allowed is above 0 to 1000 mm");

    PortOpening flared = tube;
    flared.innerFlare = 0.1, flared.outerFlare = 0.07;
    REQUIRE(!checkPort(flared));
    CHECK(checkPort(flared).error().message ==
          "flares and bends take 170.0\u00A0mm along the centre line, and the port is only 160.0\u00A0mm long; make it "
          "longer, or the flares and bends smaller");
    PortOpening tight = tube;
    tight.bends = {{pi / 2, 0.02, {}}};
    CHECK(checkPort(tight).error().field == "bends/0");
    CHECK(tubeBlanks(slot, {}).error().message == "a slot is made of panels, not of tube");
    CHECK(panelBlanks(tube, {}).error().message == "a round port is made of tube, not of panels");
    CHECK(tubeBlanks(roundPort(0.05, 0), {}).error().message ==
          "the port is a mere hole of no length; there is no tube to cut");
}

TEST_CASE("a bend too tight and one too wide are told each by what bounds it, a round port by its bore")
{
    const auto why = [](PortOpening port, double radius) {
        port.bends = {{pi / 2, radius, {}}};
        return checkPort(port).error().message;
    };
    CHECK(why(roundPort(0.05, 0.3), 0.02) ==
          "the centre line's radius is 20.0\u00A0mm; below 25.0\u00A0mm, half the bore, it would cross itself");
    CHECK(
        why(slotPort(0.1, 0.03, 0.3), 0.01) ==
        "the centre line's radius is 10.0\u00A0mm; below 15.0\u00A0mm, half the slot's height, it would cross itself");
    CHECK(why(roundPort(0.05, 0.3), 3.2) ==
          "the centre line's radius is 3200.0\u00A0mm; allowed is up to 3000.0\u00A0mm");
    CHECK_FALSE(checkPort([] {
        PortOpening port = roundPort(0.05, 0.3);
        port.bends = {{pi / 2, std::nan(""), {}}};
        return port;
    }()));
}

TEST_CASE("bores free before a mouth are checked like the other choices")
{
    PartOptions options;
    options.clearance = -0.1;
    CHECK(checkOptions(options).error().message ==
          "the clearance before the inner mouth is -0.1 bores; allowed is 0 to 10");
    options.clearance = std::nan("");
    CHECK_FALSE(checkOptions(options));
}
