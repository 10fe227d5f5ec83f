// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/driver/driver.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("the reference driver has its Thiele-Small parameters")  // computed in Python from Small 1972; 1e-6 relative
{
    const Driver d = referenceDriver();
    const Air air = roundAir();
    const auto close = [](double x) { return Approx(x).epsilon(1e-6); };
    CHECK(fs(d) == close(54.509593));
    CHECK(Qms(d) == close(4.4238792));
    CHECK(Qes(d) == close(0.4523351));
    CHECK(Qts(d) == close(0.41037488));
    CHECK(Vas(d, air) == close(0.013735215));
    CHECK(efficiency(d, air) == close(0.0048113988));
    CHECK(sensitivity(d, std::sqrt(3.6), air) == close(88.965069));
    CHECK(sensitivity(d, 2.83, air) == close(92.437772));
}

TEST_CASE("inductance models have their printed impedances")  // Leach, JAES 50 (2002) 442, evaluated in Python
{
    const auto near = [](std::complex<double> z, double re, double im) {
        CHECK(z.real() == Approx(re).margin(6e-8));
        CHECK(z.imag() == Approx(im).margin(6e-8));
    };
    const TwoInductor two{0.2e-3, 0.4e-3, 3};
    near(impedanceAt(two, 2 * pi * 100).Z, 0.0209084, 0.3752395);
    near(impedanceAt(two, 2 * pi * 1000).Z, 1.2372006, 2.7334365);
    near(impedanceAt(two, 2 * pi * 10000).Z, 2.9578556, 12.9194386);
    near(impedanceAt(SemiInductance{0.02, 0.7}, 2 * pi * 1000).Z, 4.1381161, 8.1215101);
    near(impedanceAt(SemiInductance{0.03, 0.5}, 2 * pi * 1000).Z, 1.6814974, 1.6814974);
}

TEST_CASE("the derivative of an inductance is the slope of its impedance")
{
    rc::prop("any model, any frequency", [] {
        const Inductance model = arbitraryDriver().inductance;
        const double w = logUniform(30, 30000), h = w * 1e-5;
        const auto slope = (impedanceAt(model, w + h).Z - impedanceAt(model, w - h).Z) / (2 * h);
        RC_ASSERT(std::abs(slope - impedanceAt(model, w).dZ) <= 1e-7 * std::abs(slope));  // central difference, h^2
    });
}
