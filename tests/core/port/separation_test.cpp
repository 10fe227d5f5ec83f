// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/separation.h"

#include <catch2/catch.hpp>

using namespace portwright;

namespace {

PortOpening tube(double inner, double outer)
{
    PortOpening p;
    p.diameter = 0.06, p.length = 0.15;
    if (inner > 0) p.innerFlare = inner;
    if (outer > 0) p.outerFlare = outer;
    return p;
}

}  // namespace

TEST_CASE("the ends' loss coefficient: 1.0 straight, 0.4 flared at both, between with one flare or a smaller one")
{
    CHECK(separationOf(tube(0, 0)) == Approx(1.0));
    CHECK(separationOf(tube(0.015, 0.015)) == Approx(0.4));
    CHECK(separationOf(tube(0.03, 0.05)) == Approx(0.4));  // no more than enough
    CHECK(separationOf(tube(0, 0.015)) == Approx(0.7));
    CHECK(separationOf(tube(0.0075, 0.0075)) == Approx(0.7));
    CHECK(separationIsEstimated(tube(0, 0)));
    double before = 2;
    for (double flare = 0; flare < 0.03; flare += 0.001) {
        CHECK(separationOf(tube(flare, flare)) <= before);
        before = separationOf(tube(flare, flare));
    }
    PortOpening slot;
    slot.shape = PortShape::slot;
    slot.width = 0.2, slot.height = 0.03;
    slot.innerFlare = slot.outerFlare = 0.0075;  // a quarter of the height
    CHECK(separationOf(slot) == Approx(0.4));
}

TEST_CASE("a given coefficient goes before the estimate, and a given loss before both")
{
    PortOpening p = tube(0.02, 0.02);
    p.separationK = 1.7;
    CHECK(separationOf(p) == 1.7);
    CHECK_FALSE(separationIsEstimated(p));
    p.lossQ = 40;
    CHECK(separationOf(p) == 0);
    CHECK_FALSE(separationIsEstimated(p));
}
