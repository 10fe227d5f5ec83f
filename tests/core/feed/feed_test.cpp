// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/feed/feed.h"

#include <catch2/catch.hpp>

using namespace portwright;

TEST_CASE(
    "the high-pass is Butterworth: 3.0103 dB at its corner, and the printed loss an octave below")  // analog, Python
{
    const double octaveBelow[] = {-6.9897, -12.3045, -18.1291, -24.0993};
    for (int n = 1; n <= 8; ++n) {
        const HighPass filter{n, 80, {}};
        const auto dB = [&](double f) { return 20 * std::log10(std::abs(highPassAt(filter, 2 * pi * f).H)); };
        CHECK(dB(80) == Approx(-10 * std::log10(2.0)).margin(1e-10));
        if (n <= 4) CHECK(dB(40) == Approx(octaveBelow[n - 1]).margin(1e-4));
        CHECK(dB(80e4) == Approx(0).margin(1e-6));
    }
}

TEST_CASE("the derivative of the high-pass is the slope of its response")
{
    for (int n = 1; n <= 8; ++n)
        for (double f : {20.0, 79.0, 200.0, 2000.0}) {
            const HighPass filter{n, 80, {}};
            const double w = 2 * pi * f, h = 1e-5 * w;
            const auto slope = (highPassAt(filter, w + h).H - highPassAt(filter, w - h).H) / (2 * h);
            const auto exact = highPassAt(filter, w).dH;
            CHECK(std::abs(slope - exact) <= 1e-7 * std::abs(exact) + 1e-14);  // central difference
        }
}

TEST_CASE("a feed's voltage is given, or follows from power into a load, or is 2.83 V")
{
    CHECK(feedVoltage({}) == 2.83);
    Feed feed;
    feed.power = 50, feed.into = 4;
    CHECK(feedVoltage(feed) == Approx(14.142135623730951));
    CHECK(amplifierVoltage({100, 4, {}}) == Approx(20));
}
