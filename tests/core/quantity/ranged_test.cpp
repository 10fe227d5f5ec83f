// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/quantity/ranged.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("a value is never written finer than its uncertainty")
{
    // JCGM 100:2008, 7.2.6: at most two digits of the uncertainty, the value to the same place.
    const auto hertz = [](double x, double u) { return formatRanged(x, u, Dimension::frequency); };
    CHECK(hertz(88.41, 0.83) == "88.4\u00A0\u00B1\u00A00.8\u00A0Hz");
    CHECK(hertz(88.41, 3.1) == "88\u00A0\u00B1\u00A03\u00A0Hz");
    CHECK(hertz(88.41, 1.23) == "88.4\u00A0\u00B1\u00A01.2\u00A0Hz");
    CHECK(hertz(884.1, 31) == "880\u00A0\u00B1\u00A030\u00A0Hz");
    CHECK(hertz(884.1, 14.4) == "884\u00A0\u00B1\u00A014\u00A0Hz");
    CHECK(hertz(54.0, 0.0996) == "54.00\u00A0\u00B1\u00A00.10\u00A0Hz");
    CHECK(formatRanged(5.2e-3, 0.26e-3, Dimension::volume) == "5.2\u00A0\u00B1\u00A00.3\u00A0L");
    CHECK(formatRanged(0.13, 0.0124, Dimension::length) == "130\u00A0\u00B1\u00A012\u00A0mm");
    CHECK(formatRanged(-3.26, 0.4, Dimension::level) == "\u22123.3\u00A0\u00B1\u00A00.4\u00A0dB");
    CHECK(formatRanged(0.45, 0.05, Dimension::quality) == "0.45\u00A0\u00B1\u00A00.05");
    CHECK(formatUncertainty(3.1, Dimension::frequency) == "\u00B13\u00A0Hz");
    CHECK(formatUncertainty(1.23, Dimension::frequency) == "\u00B11.2\u00A0Hz");
}

TEST_CASE("ten degrees of a difference are eighteen degrees Fahrenheit")
{
    CHECK(formatRanged(20, 10, Dimension::temperature, UnitSystem::us) == "68\u00A0\u00B1\u00A018\u00A0\u00B0F");
}

TEST_CASE("without an uncertainty the value stands alone")
{
    for (const double none : {0.0, std::nan(""), HUGE_VAL, 1e-12, 5e-3})
        CHECK(formatRanged(88.41, none, Dimension::frequency) == formatQuantity(88.41, Dimension::frequency));
}

TEST_CASE("what is written is within half of its last digit")
{
    rc::prop("any size", [] {
        const double x = logUniform(1e-3, 1e4), u = logUniform(1e-4, 0.5) * x;
        const std::string text = formatRanged(x, u, Dimension::frequency);
        const std::size_t sign = text.find("\u00B1");
        if (sign == std::string::npos) RC_DISCARD();
        const double shown = std::stod(text), spread = std::stod(text.substr(sign + 4));
        // one digit: at worst 0.5 of 2; two: 0.05 of 1
        RC_ASSERT(std::abs(spread - u) <= 0.251 * u);
        RC_ASSERT(std::abs(shown - x) <= 0.501 * spread);
    });
}
