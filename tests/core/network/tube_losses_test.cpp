// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/network.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>

using namespace portwright;
using namespace portwright::test;

namespace {

Air tableAir()
{
    Air air = roundAir();
    air.mu = 1.81e-5;
    return air;
}

// Series impedance of one metre, over w rho/S.
std::complex<double> scaled(double f, double radius, double slotHeight)
{
    Tube tube{.from = {},
              .to = {},
              .radius = radius,
              .slotHeight = slotHeight,
              .area = 1,
              .length = 1,
              .ends = 0,
              .count = 1,
              .wallInertance = true,
              .radiationFactor = 0};
    return impedanceAt(tube, 2 * pi * f, tableAir()).Z / (2 * pi * f * 1.2);
}

}  // namespace

TEST_CASE("viscous loss of round tubes and slots is that of Zwikker and Kosten")  // evaluated in Python with mpmath;
                                                                                  // printed digits
{
    const auto check = [](std::complex<double> z, double re, double im) {
        CHECK(z.real() == Approx(re).margin(1.1e-6));
        CHECK(z.imag() == Approx(im).margin(1.1e-6));
    };
    check(scaled(50, 0.030, 0), 0.010490, 1.010328);
    check(scaled(50, 0.020, 0), 0.015857, 1.015490);
    check(scaled(50, 0.005, 0), 0.067960, 1.061738);
    check(scaled(50, 0.001, 0), 0.481285, 1.269648);
    check(scaled(50, 0.0003, 0), 4.280673, 1.332524);
    check(scaled(1000, 0.030, 0), 0.002318, 1.002310);
    check(scaled(50, 1, 0.020), 0.015981, 1.015486);
    check(scaled(50, 1, 0.005), 0.070129, 1.061437);
    check(scaled(50, 1, 0.001), 0.604279, 1.193527);
    check(scaled(50, 1, 0.0002), 14.404712, 1.199989);
}

TEST_CASE("a thin tube resists as Poiseuille says, a thin slot as its laminar formula")
{
    const double w = 2 * pi * 10;
    Tube tube{.from = {},
              .to = {},
              .radius = 1e-4,
              .slotHeight = 0,
              .area = pi * 1e-8,
              .length = 0.01,
              .ends = 0,
              .count = 1,
              .wallInertance = true,
              .radiationFactor = 0};
    const auto Z = impedanceAt(tube, w, tableAir()).Z;
    CHECK(Z.real() == Approx(8 * 1.81e-5 * 0.01 / (pi * 1e-16)).epsilon(1e-4));
    CHECK(Z.imag() == Approx(4.0 / 3 * w * 1.2 * 0.01 / (pi * 1e-8)).epsilon(1e-3));
    Tube slot = tube;
    slot.slotHeight = 1e-4, slot.area = 1e-4 * 0.5;
    CHECK(impedanceAt(slot, w, tableAir()).Z.real() == Approx(12 * 1.81e-5 * 0.01 / (0.5 * 1e-12)).epsilon(1e-4));
}

TEST_CASE("the two ways to the Bessel ratio meet where they change over")
{
    const auto just = [](double size) { return scaled(50, size / std::sqrt(2 * pi * 50 * 1.2 / 1.81e-5), 0); };
    CHECK(std::abs(just(24.9999999) - just(25.0000001)) < 1e-9);  // the function itself moves by 3e-10 there
}

TEST_CASE("classical ports keep their inertance to the letter, and radiate as a piston of low ka")
{
    Tube tube{.from = {},
              .to = {},
              .radius = 0.03,
              .slotHeight = 0,
              .area = pi * 9e-4,
              .length = 0.1,
              .ends = 0.04,
              .count = 2,
              .wallInertance = false,
              .radiationFactor = 1};
    const double w = 2 * pi * 60;
    const auto Z = impedanceAt(tube, w, tableAir()).Z;
    CHECK(Z.imag() == Approx(w * 1.2 * 0.14 / (2 * pi * 9e-4)).epsilon(1e-14));
    Tube deaf = tube;
    deaf.radiationFactor = 0;
    CHECK(Z.real() - impedanceAt(deaf, w, tableAir()).Z.real() == Approx(1.2 * w * w / (2 * pi * 343)).epsilon(1e-9));
}

TEST_CASE("wide tubes and slots lose as the thin wall layer says")
{
    // Expansions of 1/(1 - F) in 1/rv, F = 2 J1(z)/(z J0(z)) or tanh(y)/y: round 1 + sqrt2/rv in mass, sqrt2/rv +
    // 3/rv^2 in loss; slot, Y = h/2 over the layer's scale, 1 + 1/(sqrt2 Y) and 1/(sqrt2 Y) + 1/Y^2. The next terms are
    // rv^-3.
    const double scale = std::sqrt(1.81e-5 / (2 * pi * 50 * 1.2));
    for (double rv : {90.0, 137.0, 300.0, 3000.0}) {
        CAPTURE(rv);
        const double next = 5 / (rv * rv * rv);
        const auto round = scaled(50, rv * scale, 0), slot = scaled(50, 1, 2 * rv * scale);
        CHECK(round.imag() == Approx(1 + std::numbers::sqrt2 / rv).margin(next).epsilon(0));
        CHECK(round.real() == Approx(std::numbers::sqrt2 / rv + 3 / (rv * rv)).margin(next).epsilon(0));
        CHECK(slot.imag() == Approx(1 + 1 / (std::numbers::sqrt2 * rv)).margin(next).epsilon(0));
        CHECK(slot.real() == Approx(1 / (std::numbers::sqrt2 * rv) + 1 / (rv * rv)).margin(next).epsilon(0));
    }
}
