// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/third_octaves.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace portwright;

TEST_CASE("nominal third octaves lie within 1 % of the exact ones, ten to a decade")
{
    const auto all = thirdOctaves(0, 1e6);
    REQUIRE(all.size() == 21);
    for (std::size_t i = 0; i < all.size(); ++i)  // IEC 61260: 1 kHz times 10^(n/10)
        CHECK(all[i] == Approx(1000 * std::pow(10.0, (double(i) - 17) / 10)).epsilon(0.01));
    CHECK(thirdOctaves(31.5, 50) == std::vector<double>{31.5, 40, 50});
    CHECK(thirdOctaves(51, 62).empty());
}
