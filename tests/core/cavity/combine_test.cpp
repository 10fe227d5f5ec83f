// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/combine.h"

#include "tests/core/support/random_project.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

std::vector<VolumeEstimate> arbitraryEstimates()
{
    std::vector<VolumeEstimate> estimates(static_cast<std::size_t>(*rc::gen::inRange(1, 7)));
    for (VolumeEstimate& e : estimates)
        e = {"reading", logUniform(1e-3, 50e-3), logUniform(1e-5, 5e-3)};
    return estimates;
}

}  // namespace

TEST_CASE("the better reading counts more, by the inverse of its variance")
{
    // By hand: weights 1/0.1^2 and 1/0.2^2 are as 4 to 1; 1/sqrt(125) = 0.0894.
    const std::vector<VolumeEstimate> estimates{{"a", 5.0, 0.1}, {"b", 5.1, 0.2}};
    const CombinedVolume c = combined(estimates);
    CHECK(c.volume == Approx(5.02));
    CHECK(c.uncertainty == Approx(0.0894427));
    CHECK(c.weights[0] == Approx(0.8));
    CHECK(c.remarks.empty());
}

TEST_CASE("readings that contradict each other widen the result, and are named")
{
    // By hand: chi square 18, one degree of freedom, so the Birge ratio is sqrt(18). With a
    // common variance of 0.035 chi square is 4, and twice sqrt(0.045/2) is 0.3, half of what they differ by.
    const std::vector<VolumeEstimate> two{{"water", 5.0, 0.1}, {"sections", 5.6, 0.1}};
    const CombinedVolume c = combined(two);
    CHECK(c.disagreement == Approx(std::sqrt(18)));
    CHECK(c.uncertainty == Approx(0.3));
    REQUIRE(c.remarks.size() == 1);
    CHECK(c.remarks[0] ==
          "The readings by water and sections differ by 4.2 times what their uncertainties explain; look "
          "for a slip in one of them.");

    const std::vector<VolumeEstimate> three{{"water", 5.0, 0.1}, {"rice", 5.05, 0.1}, {"sections", 6.0, 0.1}};
    const auto remarks = combined(three).remarks;
    CHECK(std::any_of(remarks.begin(), remarks.end(),
                      [](const std::string& r) { return r.find("by sections") != std::string::npos; }));
}

TEST_CASE("a slip that claims to be precise does not win")
{
    // By hand: each variance enlarged by t so that sum((x - m)^2/(u^2 + t)) = 4 times 2. With t far above the three u^2
    // this is the plain mean 3.69 with sum of squares 9.90, so t is near 1.24, the uncertainty near 2 sqrt(1.24/3).
    const std::vector<VolumeEstimate> three{{"water", 5.63, 0.06}, {"solids", 4.2, 0.2}, {"slip", 1.24, 0.03}};
    const CombinedVolume c = combined(three);
    CHECK(c.volume == Approx(3.69).margin(0.03));
    CHECK(c.uncertainty == Approx(1.28).margin(0.02));
    CHECK(c.weights[2] == Approx(1.0 / 3).margin(0.02));
    CHECK(c.disagreement > 10);
}

TEST_CASE("readings that disagree more never make the result narrower")
{
    rc::prop("any readings, one of them moved away", [] {
        std::vector<VolumeEstimate> estimates = arbitraryEstimates();
        estimates.push_back({"moved", estimates.front().volume, logUniform(1e-5, 5e-3)});
        for (VolumeEstimate& e : estimates)
            e.volume = 20e-3;
        double before = combined(estimates).uncertainty;
        for (const double away : {1e-4, 1e-3, 1e-2}) {
            estimates.back().volume = 20e-3 + away;
            const double now = combined(estimates).uncertainty;
            RC_ASSERT(now >= before * (1 - 1e-9));  // the search's own end
            before = now;
        }
    });
}

TEST_CASE("one reading stays what it is")
{
    const std::vector<VolumeEstimate> one{{"water", 5.0, 0.1}};
    const CombinedVolume c = combined(one);
    CHECK(c.volume == 5.0);
    CHECK(c.uncertainty == Approx(0.1));
    CHECK(c.disagreement == 0);
}

TEST_CASE("a combination lies among its readings, whatever their order")
{
    rc::prop("any readings", [] {
        std::vector<VolumeEstimate> estimates = arbitraryEstimates();
        const CombinedVolume c = combined(estimates);
        const auto [least, most] = std::minmax_element(
            estimates.begin(), estimates.end(), [](const auto& a, const auto& b) { return a.volume < b.volume; });
        RC_ASSERT(c.volume >= least->volume * (1 - 1e-12) && c.volume <= most->volume * (1 + 1e-12));
        double weights = 0;
        for (const double w : c.weights)
            weights += w;
        RC_ASSERT(std::abs(weights - 1) < 1e-12);  // rounding of a few sums
        std::reverse(estimates.begin(), estimates.end());
        RC_ASSERT(std::abs(combined(estimates).volume - c.volume) <= 1e-12 * c.volume);
        RC_ASSERT(std::abs(combined(estimates).uncertainty - c.uncertainty) <= 1e-12 * c.uncertainty);
    });
}

TEST_CASE("a reading more narrows the result where readings agree")
{
    rc::prop("any readings moved onto one volume", [] {
        std::vector<VolumeEstimate> estimates = arbitraryEstimates();
        for (VolumeEstimate& e : estimates)
            e.volume = 5e-3;
        const double before = combined(estimates).uncertainty;
        estimates.push_back({"one more", 5e-3, logUniform(1e-5, 5e-3)});
        RC_ASSERT(combined(estimates).uncertainty < before);
    });
}

TEST_CASE("the uncertainty of agreeing readings is the scatter of simulated combinations")
{
    constexpr int draws = 20000;
    const double sigma[] = {0.05, 0.1, 0.2, 0.1};
    std::mt19937_64 random(3);
    std::normal_distribution<double> standard;
    double sum = 0, squares = 0;
    for (int i = 0; i < draws; ++i) {
        std::vector<VolumeEstimate> estimates;
        for (const double s : sigma)
            estimates.push_back({"reading", 5 + s * standard(random), s});
        const double V = combined(estimates).volume;
        sum += V;
        squares += (V - 5) * (V - 5);
    }
    double weight = 0;
    for (const double s : sigma)
        weight += 1 / (s * s);
    CHECK(std::sqrt(squares / draws) == Approx(1 / std::sqrt(weight)).epsilon(0.025));  // five deviations of a scatter
    CHECK(sum / draws == Approx(5).margin(5 / std::sqrt(weight * draws)));
}
