// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/geometry.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening tube(double bore, double length)
{
    PortOpening p;
    p.diameter = bore, p.length = length;
    return p;
}

PortOpening slot(double width, double height, double length, int shared)
{
    PortOpening p;
    p.shape = PortShape::slot;
    p.width = width, p.height = height, p.length = length, p.sharedWalls = shared;
    return p;
}

}  // namespace

TEST_CASE("bends have the inertance of the printed table")
{
    // Slice model evaluated in Python, 5 digits; B = a/R, rectangular w/R = 2 B.
    const double rows[][3] = {
        {.2, .98990, .98652}, {.4, .95826, .94418}, {.5, .93301, .91024}, {.6, .90000, .86562}, {.8, .80000, .72819}};
    for (const auto& [B, round, rectangular] : rows) {
        const PortOpening r = tube(2 * B * 0.1, 1), s = slot(0.2, 2 * B * 0.1, 1, 0);
        CHECK(bendFactor(r, {1, 0.1, {}}) == Approx(round).margin(6e-6));
        CHECK(bendFactor(s, {1, 0.1, {}}) == Approx(rectangular).margin(6e-6));
    }
}

TEST_CASE("a bend shortens by little, a gentle one by nothing, an impossible one stays finite")
{
    PortOpening p = tube(0.05, 0.3);
    CHECK(straightLength(p) == 0.3);
    p.bends = {{pi / 2, 0.1, {}}};
    CHECK(straightLength(p) == Approx(0.3 - (1 - (1 + std::sqrt(1 - 0.0625)) / 2) * pi / 2 * 0.1));
    p.bends = {{pi / 2, 1e4, {}}};
    CHECK(bendFactor(p, p.bends[0]) == Approx(1).margin(1e-9));
    p.bends = {{pi / 2, 0.001, {}}};
    CHECK(std::isfinite(straightLength(p)));
    p.bends = {{0, 0, {}}};
    CHECK(straightLength(p) == 0.3);
}

TEST_CASE("a flared end is no lighter than plane flow through the flare, and no heavier than the straight port")
{
    // Integral of dx over S/S0 of a quarter-round over its radius, in Python; plane flow is a lower bound on inertance
    // (it takes whole sections to one pressure), and so is the mouth's end at its own radius; a bore with wall taken
    // away is lighter than one without.
    const double rows[][2] = {{.2, .92415}, {.5, .83776}, {1, .73640}, {2, .61153}};
    for (const auto& [r, integral] : rows) {
        const double plane = r * integral + 0.8216 / (1 + r), straight = r + 0.8216;
        const double ours = straight + flareLength(r, 1);
        CHECK(ours < straight);
        CHECK(ours > plane);
    }
    CHECK(flareLength(0, 0.03) == 0);
    CHECK(flareLength(0.01, 0.03) == Approx(0.5 * flareLength(0.02, 0.06)));
}

TEST_CASE("the outline of a flared tube is what the finite-element table leaves of its cavity")
{
    // P082 and P084: cylinder 90 mm radius, 190 mm deep; the net volume listed beside them.
    PortOpening p = tube(0.05, 0.12);
    p.inside = 0.09, p.wall = 0.003;
    const double all = pi * 0.09 * 0.09 * 0.19;
    p.innerFlare = 0.0125;
    CHECK(all - outlineVolume(p) == Approx(4.60371e-3).epsilon(2e-5));
    p.innerFlare = 0.025;
    CHECK(all - outlineVolume(p) == Approx(4.57559e-3).epsilon(2e-5));
    p.innerFlare.reset();
    CHECK(all - outlineVolume(p) == Approx(all - pi * 0.028 * 0.028 * 0.09).epsilon(1e-12));
    p.count = 3;
    CHECK(outlineVolume(p) == Approx(3 * pi * 0.028 * 0.028 * 0.09).epsilon(1e-12));
    p.innerEnd = TubeEnd::flush, p.inside.reset();
    CHECK(outlineVolume(p) == 0);
}

TEST_CASE("a flared slot's outline is the sum of its slices")
{
    PortOpening p = slot(0.12, 0.02, 0.15, 1);
    p.wall = 0.004, p.innerFlare = 0.015;
    const double r = 0.015, q = r - 0.004;
    double sum = (0.12 + 0.008) * (0.02 + 0.004) * (0.15 - r) + (0.12 + 2 * r) * (0.02 + r) * 0.004;
    const int n = 100000;
    for (int i = 0; i < n; ++i) {
        const double x = (i + 0.5) * q / n, off = r - std::sqrt(q * q - x * x);
        sum += (0.12 + 2 * off) * (0.02 + off) * q / n;
    }
    CHECK(outlineVolume(p) == Approx(sum).epsilon(1e-6));
}

TEST_CASE("walls that a slot shares add nothing to its outline")
{
    const auto area = [](int shared) {
        PortOpening p = slot(0.1, 0.02, 0.1, shared);
        p.wall = 0.01;
        return outlineArea(p);
    };
    CHECK(area(0) == Approx(0.12 * 0.04));
    CHECK(area(1) == Approx(0.12 * 0.03));
    CHECK(area(2) == Approx(0.11 * 0.03));
    CHECK(area(3) == Approx(0.10 * 0.03));
}

TEST_CASE("tubes stand in a row where it fits, else in rows, about their middle")
{
    PortOpening p = tube(0.05, 0.1);
    p.count = 4, p.wall = 0.002;
    const Arrangement row = arrangementOf(p, 0.3);
    CHECK(row.columns == 4);
    CHECK(row.centres()[0][0] == Approx(-1.5 * 0.054));
    const Arrangement block = arrangementOf(p, 0.2);
    CHECK(block.columns == 2);
    CHECK(block.centres()[3][0] == Approx(0.027));
    CHECK(block.centres()[3][1] == Approx(0.027));
    p.count = 2;
    CHECK(arrangementOf(p, 0.109).columns == 2);
    const Arrangement column = arrangementOf(p, 0.107);  // two of 54 mm: one over the other
    CHECK(column.columns == 1);
    CHECK(column.rows() == 2);
    CHECK(column.centres()[1][1] - column.centres()[0][1] == Approx(0.054));
    rc::prop("the middle stays in the middle", [] {
        PortOpening any = tube(0.03, 0.1);
        any.count = *rc::gen::inRange(1, 17);
        if (coin()) any.spacing = logUniform(0.03, 0.1);
        const Arrangement a = arrangementOf(any, logUniform(0.03, 0.6));
        double x = 0;
        for (const auto& at : a.centres())
            x += at[0];
        RC_ASSERT(int(a.centres().size()) == *any.count);
        RC_ASSERT(std::abs(x) < 1e-12);
    });
}
