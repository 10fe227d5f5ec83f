// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/fill.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

using namespace portwright;

namespace {

VolumeReading reading(const FillMeasurement& fill)
{
    const auto result = readingOf(fill);
    INFO((result ? "" : result.error().message));
    REQUIRE(result);
    return *result;
}

FillMeasurement water(std::vector<double> masses)
{
    FillMeasurement fill;
    fill.medium = FillMedium::waterByWeight;
    fill.masses = std::move(masses);
    return fill;
}

FillMeasurement dry(std::vector<double> volumes)
{
    FillMeasurement fill;
    fill.medium = FillMedium::dry;
    fill.volumes = std::move(volumes);
    return fill;
}

}  // namespace

TEST_CASE("water weighs what the tables say")
{
    // Density of air-free water in kg/m3 as printed in handbooks to five digits; from memory.
    const std::pair<double, double> table[] = {{0, 999.84},  {4, 999.97},  {10, 999.70}, {15, 999.10},
                                               {20, 998.20}, {25, 997.05}, {30, 995.65}, {40, 992.2}};
    for (const auto& [t, density] : table) {
        INFO(t);
        CHECK(waterDensity(t) == Approx(density).margin(t == 40 ? 0.05 : 0.006));  // half of the last digit printed
    }
}

TEST_CASE("few readings widen the uncertainty as the Guide's table says")
{
    // JCGM 100:2008, table G.2, column 68.27 %, by degrees of freedom.
    const std::pair<int, double> table[] = {{1, 1.84}, {2, 1.32}, {3, 1.20}, {4, 1.14},  {5, 1.11},
                                            {6, 1.09}, {7, 1.08}, {8, 1.07}, {10, 1.05}, {20, 1.03}};
    for (const auto& [freedom, factor] : table) {
        INFO(freedom);
        CHECK(fewReadingsFactor(freedom + 1) == Approx(factor).margin(0.0055));  // half of the last digit, rounded
    }
}

TEST_CASE("water by weight is mass over density, to the tenth of a per mille")
{
    CHECK(reading(water({4.9910})).volume == Approx(5e-3).epsilon(1e-4));  // 998.2 kg/m3 at the default 20 degC
    FillMeasurement warm = water({4.9611});
    warm.temperature = 40;  // 992.2 kg/m3
    CHECK(reading(warm).volume == Approx(5e-3).epsilon(1e-4));
}

TEST_CASE("what stays in the cavity when it is poured back belongs to its volume")
{
    FillMeasurement fill = dry({4.95e-3, 4.97e-3, 4.96e-3});
    const VolumeReading without = reading(fill);
    fill.residue = 40e-6;
    const VolumeReading with = reading(fill);
    CHECK(with.volume - without.volume == Approx(40e-6));
    // A rectangle from 0 to 80 ml has the standard deviation 40/sqrt(3) ml.
    CHECK(std::hypot(without.uncertainty, 40e-6 / std::sqrt(3)) == Approx(with.uncertainty));
}

TEST_CASE("the parts of a dry fill's uncertainty add in squares")
{
    FillMeasurement fill = dry({4.9e-3, 5.1e-3, 5.0e-3});
    fill.volumeResolution = 100e-6;
    fill.packingDifference = 0.02;
    // By hand: spread 0.1/sqrt(3) * 1.321, step 0.1/sqrt(12), packing 0.02 * 5, all in L.
    const double expected = std::sqrt(std::pow(0.1 / std::sqrt(3) * 1.3213, 2) + 0.01 / 12 + 0.01);
    CHECK(reading(fill).uncertainty * 1e3 == Approx(expected).epsilon(2e-3));  // the factor is good to 0.1 %
    CHECK(reading(fill).volume == Approx(5e-3));
    CHECK(reading(fill).method == "dry fill, 3 readings");
}

TEST_CASE("two of three intervals of one standard uncertainty hold the truth, also with few readings")
{
    // Spread alone: 68.27 % is what Student's t promises. 20000 draws: standard deviation 0.33 %, five of them.
    constexpr int draws = 20000;
    std::mt19937_64 random(1);
    std::normal_distribution<double> noise(5e-3, 0.1e-3);
    for (const int readings : {2, 3, 5}) {
        int held = 0;
        for (int i = 0; i < draws; ++i) {
            FillMeasurement fill = dry({});
            fill.volumeResolution = fill.packingDifference = 0;
            for (int k = 0; k < readings; ++k)
                fill.volumes.push_back(noise(random));
            const VolumeReading r = reading(fill);
            held += std::abs(r.volume - 5e-3) <= r.uncertainty;
        }
        INFO(readings);
        CHECK(held / double(draws) == Approx(0.6827).margin(0.0165));
    }
}

TEST_CASE("the uncertainty of weighed water is the scatter of simulated fillings")
{
    // Same numbers as assumed: brim 1 %, buoyancy 0.1 %, 1 K and the residue rectangular, scale steps of 20 g.
    constexpr int draws = 20000;
    constexpr double truth = 0.8e-3, step = 0.02, left = 15e-6;
    std::mt19937_64 random(2);
    std::normal_distribution<double> standard;
    std::uniform_real_distribution<double> unit(0, 1);
    double sum = 0, squares = 0, told = 0;
    for (int i = 0; i < draws; ++i) {
        const double t = 25 + 2 * unit(random) - 1;
        const double poured = truth * (1 + 0.01 * standard(random)) - 2 * left * unit(random);
        const double mass = poured * waterDensity(t) * (1 + 0.001 * standard(random));
        FillMeasurement fill = water({});
        fill.masses.assign(4, std::round(mass / step) * step);
        fill.temperature = 25;
        fill.massResolution = step;
        fill.residue = left;
        const VolumeReading r = reading(fill);
        sum += r.volume - truth;
        squares += (r.volume - truth) * (r.volume - truth);
        told += r.uncertainty;
    }
    const double mean = sum / draws, scatter = std::sqrt(squares / draws - mean * mean);
    CHECK(scatter == Approx(told / draws).epsilon(0.025));  // five standard deviations of a scatter from 20000 draws
    CHECK(std::abs(mean) < 5 * scatter / std::sqrt(draws));
}

TEST_CASE("one reading is worth less than three that agree, and says so")
{
    const VolumeReading one = reading(water({5.0})), three = reading(water({5.0, 5.0, 5.0}));
    CHECK(one.uncertainty > 1.5 * three.uncertainty);
    CHECK(one.remarks[0].starts_with("One reading shows no spread"));
    CHECK(three.remarks.size() == 1);  // what is assumed
    // Trade figures, common practice, no source: water by weight 1 to 3 %, dry 5 to 10 %.
    CHECK(one.uncertainty / one.volume == Approx(0.02).margin(0.01));
    const VolumeReading rice = reading(dry({5e-3}));
    CHECK(rice.uncertainty / rice.volume == Approx(0.05).epsilon(0.05));
}

TEST_CASE("next to nothing in a cavity raises the question of its unit")
{
    const auto asks = [](const VolumeReading& r) {
        return std::any_of(r.remarks.begin(), r.remarks.end(), [](const std::string& remark) {
            return remark.find("very little for a cavity") != std::string::npos;
        });
    };
    CHECK(asks(readingOf(water({5.62e-3, 5.60e-3})).value()));  // kg typed into a column of grams
    CHECK_FALSE(asks(readingOf(water({5.62, 5.60})).value()));
    CHECK_FALSE(asks(readingOf(dry({0.5e-3, 0.51e-3})).value()));
}

TEST_CASE("readings that scatter more than careful filling does are remarked")
{
    CHECK(reading(water({4.6, 5.0, 5.4})).remarks[0].starts_with("The readings spread by 8.0 %"));
    CHECK(reading(water({4.98, 5.0, 5.02})).remarks.size() == 1);  // what is assumed
}

TEST_CASE("what is not given beside the readings is assumed, and told")
{
    FillMeasurement fill = water({4.98, 5.0, 5.02});
    CHECK(reading(fill).remarks ==
          std::vector<std::string>{
              "Not given, so assumed: water at 20\u00A0\u00B0C, a scale step of 5.00\u00A0g, nothing "
              "left behind."});
    fill.temperature = 20;
    fill.residue = 0;
    CHECK(reading(fill).remarks == std::vector<std::string>{"Not given, so assumed: a scale step of 5.00\u00A0g."});
    fill.massResolution = 0.005;
    CHECK(reading(fill).remarks.empty());
    CHECK(reading(fill).volume == reading(water({4.98, 5.0, 5.02})).volume);           // the assumptions as told
    CHECK(reading(fill).uncertainty < reading(water({4.98, 5.0, 5.02})).uncertainty);  // the temperature is known
    CHECK(reading(dry({5e-3, 5e-3})).remarks ==
          std::vector<std::string>{"Not given, so assumed: a vessel step of 0.05\u00A0L, nothing left behind."});
}

TEST_CASE("a row just begun, still at 0, takes nothing from the readings beside it")
{
    const auto whole = readingOf(dry({5e-3, 5.1e-3})), begun = readingOf(dry({5e-3, 5.1e-3, 0}));
    REQUIRE((whole && begun));
    CHECK(begun->volume == whole->volume);
    CHECK(begun->uncertainty == whole->uncertainty);
    CHECK(readingOf(dry({0})).error().message ==
          "there is no reading yet; fill the cavity and write down at least one");
}

TEST_CASE("a fill without readings, or with one that is none, is refused with its place")
{
    const auto refused = [](const FillMeasurement& fill) {
        const auto result = readingOf(fill);
        REQUIRE(!result);
        return result.error();
    };
    CHECK(refused(water({})) ==
          Error{"readings_g", "there is no reading yet; fill the cavity and write down at least one"});
    CHECK(refused(dry({5e-3, -1e-3})).field == "readings_l/1");
    CHECK(refused(dry({5e-3, std::nan("")})).message == "reading 2 is not above 0; a filled cavity holds something");
}
