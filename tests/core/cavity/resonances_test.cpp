// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/resonances.h"

#include "core/constants.h"
#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

struct Bench {
    CompleteDriver driver = completed(referenceDriver(0));
    Housing housing = closedHousing(8e-3);
    Air air = roundAir();
    CavityContext context() const { return {housing, driver, air}; }
};

BottlesMeasurement withBottles(double V, double fs, double spring, std::vector<double> bottles)
{
    BottlesMeasurement m;
    for (const double bottle : bottles)
        m.readings.push_back({bottle, closedResonance(V - bottle, fs, spring), {}});
    return m;
}

}  // namespace

TEST_CASE("a known driver tells the volume from its closed resonance")
{
    // T1 in 8 L sealed, worked out apart from this program: fs 54.509593, Vas 13.735215 L, fc 89.848310 Hz.
    const Bench bench;
    CHECK(closedResonance(8e-3, 54.509593, 0.013735215) == Approx(89.848310).epsilon(1e-7));
    ResonanceMeasurement m;
    m.fc = 89.848310;
    const VolumeReading reading = readingOf(m, bench.context()).value();
    CHECK(reading.volume == Approx(8e-3).epsilon(1e-6));
    CHECK(reading.inPlace == InPlace::everything);
}

TEST_CASE("a reading off by a per cent moves the volume as the published slope says")
{
    // dV/V = -2 (fc/fs)^2/((fc/fs)^2 - 1) df/f for T1: 5 L -2.73, 8 L -3.17, 20 L -4.91, 40 L -7.82.
    const double fs = 54.509593, spring = 0.013735215;
    for (const auto& [V, slope] : {std::pair(5e-3, -2.73), {8e-3, -3.17}, {20e-3, -4.91}, {40e-3, -7.82}}) {
        const double fc = closedResonance(V, fs, spring), d = 1e-6;
        const double found = (closedVolume(fc * (1 + d), fs, spring) / V - 1) / d;
        CHECK(found == Approx(slope).margin(0.006));  // printed to two decimals
    }
}

TEST_CASE("two drivers push twice as hard")
{
    Bench bench;
    bench.housing.driverCount = 2;
    ResonanceMeasurement m;
    m.fc = 89.848310;
    CHECK(readingOf(m, bench.context()).value().volume == Approx(16e-3).epsilon(1e-6));
}

TEST_CASE("a leak bends the volume as the impedance of a leaky box does")
{
    // 8 L true, T1 without Le, from the impedance of the network: by |Z| max 7.967, 7.940, 7.960, 7.982 L, by phase
    // zero 8.328, 8.081, 8.020, 8.004 L at QL 5, 10, 20, 50; printed to 1 ml. The phase crosses zero flatly: 1 ml.
    const Bench bench;
    const double alpha = 0.013735215 / 8e-3;
    const double Q[]{5, 10, 20, 50}, peak[]{7.967, 7.940, 7.960, 7.982}, phase[]{8.328, 8.081, 8.020, 8.004};
    for (int i = 0; i < 4; ++i) {
        const LeakBias bias = leakBias(bench.driver, alpha, Q[i]);
        CHECK(8 * bias.byPeak == Approx(peak[i]).margin(6e-4));
        CHECK(8 * bias.byPhase == Approx(phase[i]).margin(1e-3));
    }
    const LeakBias tight = leakBias(bench.driver, alpha, 1e6);
    CHECK(tight.byPeak == Approx(1).epsilon(1e-5));
    CHECK(tight.byPhase == Approx(1).epsilon(1e-5));
}

TEST_CASE("the uncertainty of a closed resonance bounds every leak down to QL 5")
{
    // As a rectangle its half width is sqrt(3) standard uncertainties.
    const Bench bench;
    ResonanceMeasurement m;
    m.fc = 89.848310;
    const VolumeReading reading = readingOf(m, bench.context()).value();
    for (const double Q : {5.0, 6.0, 7.0, 8.0, 10.0, 14.0, 20.0, 50.0, 200.0})
        CHECK(std::abs(leakBias(bench.driver, 0.013735215 / 8e-3, Q).byPeak - 1) <
              std::sqrt(3.0) * reading.uncertainty / reading.volume);
    REQUIRE(!reading.remarks.empty());
    CHECK(reading.remarks[0].find("leak") != std::string::npos);
}

TEST_CASE("a closed resonance at or below the driver's own is refused")
{
    const Bench bench;
    for (const double fc : {0.0, -5.0, 40.0, 54.5, double(NAN), double(INFINITY)}) {
        ResonanceMeasurement m;
        m.fc = fc;
        const auto result = readingOf(m, bench.context());
        REQUIRE(!result);
        CHECK(result.error().field == "fc_hz");
    }
    ResonanceMeasurement unsure;
    unsure.fc = 90, unsure.uncertainty = 0;
    CHECK(readingOf(unsure, bench.context()).error().field == "uncertainty_hz");
}

TEST_CASE("worked case: fs 65, Vas 10 L, 3 L and a bottle of 0.5 L resonate at 135.3 and 145.3 Hz")
{
    CHECK(closedResonance(3e-3, 65, 10e-3) == Approx(135.3).margin(0.05));
    CHECK(closedResonance(2.5e-3, 65, 10e-3) == Approx(145.3).margin(0.05));
    const BottleFit fit = fitBottles(withBottles(3e-3, 65, 10e-3, {0, 0.5e-3}), 65, 0.005).value();
    CHECK(fit.volume == Approx(3e-3).epsilon(1e-6));  // of the fit's last step
    CHECK(fit.springVolume == Approx(10e-3).epsilon(1e-6));
    CHECK(fit.residual < 1e-5);
    // The same by hand from the printed resonances: V = k2 dV/(k2 - k1); 0.05 Hz of rounding are 2 % of the volume.
    const double k1 = std::pow(135.3 / 65, 2) - 1, k2 = std::pow(145.3 / 65, 2) - 1;
    CHECK(k2 * 0.5e-3 / (k2 - k1) == Approx(3e-3).epsilon(0.02));
}

TEST_CASE("any number of bottles gives back the cavity that made the resonances")
{
    rc::prop("any cavity, driver and bottles", [] {
        const double V = logUniform(1e-3, 50e-3), fs = logUniform(40, 150), spring = V * logUniform(0.3, 10);
        std::vector<double> bottles{0};
        const int n = *rc::gen::inRange(1, 6);
        for (int i = 0; i < n; ++i)
            bottles.push_back(V * logUniform(0.05, 0.7));
        const auto fit = fitBottles(withBottles(V, fs, spring, bottles), fs, 0.1);
        RC_ASSERT(bool(fit));
        RC_ASSERT(std::abs(fit->volume / V - 1) < 1e-4);  // small bottles: digits lost in differences of resonances
        RC_ASSERT(std::abs(fit->springVolume / spring - 1) < 1e-4);
        RC_ASSERT(fit->uncertainty > 0);
    });
}

TEST_CASE("the uncertainty of the bottles' fit is that of a Monte-Carlo run")
{
    // Resonances, bottles and fs drawn; 1500 runs know a standard deviation to 2 %, five of them and curvature: 12 %.
    const double V = 5e-3, fs = 60, spring = 9e-3;
    BottlesMeasurement truth = withBottles(V, fs, spring, {0, 1e-3, 2e-3, 2.5e-3});
    truth.uncertainty = 0.4, truth.bottleUncertainty = 0.01, truth.freeResonance = fs;
    std::mt19937_64 random(3);
    std::normal_distribution<double> normal(0, 1);
    double sum = 0, squares = 0;
    const int n = 1500;
    for (int k = 0; k < n; ++k) {
        BottlesMeasurement drawn = truth;
        *drawn.freeResonance += 0.4 * normal(random);
        for (BottleReading& r : drawn.readings)
            r.fc = closedResonance(V - r.bottle * (1 + 0.01 * normal(random)), fs, spring) + 0.4 * normal(random);
        const double found = fitBottles(drawn, fs, 0.1).value().volume;
        sum += found, squares += found * found;
    }
    const double deviation = std::sqrt(squares / n - sum / n * (sum / n));
    CHECK(fitBottles(truth, fs, 0.1).value().uncertainty == Approx(deviation).epsilon(0.12));
}

TEST_CASE("following the advice narrows the volume to what was promised")
{
    const double V = 3e-3, fs = 65, spring = 10e-3;
    BottlesMeasurement m = withBottles(V, fs, spring, {0, 0.25e-3});
    m.freeResonance = fs;
    const BottleFit first = fitBottles(m, fs, 0.1).value();
    REQUIRE(first.nextBottle);
    CHECK(*first.nextBottle > 0.25e-3);  // a small bottle is helped by a larger one
    CHECK(*first.nextBottle <= 0.5 * V);
    CHECK(first.next.find("bottle") != std::string::npos);
    m.readings.push_back({*first.nextBottle, closedResonance(V - *first.nextBottle, fs, spring), {}});
    const BottleFit second = fitBottles(m, fs, 0.1).value();
    CHECK(second.uncertainty < 0.6 * first.uncertainty);
    CHECK(second.uncertainty == Approx(first.nextUncertainty).epsilon(0.02));  // weights shift a little
}

TEST_CASE("the advice names the open-air resonance where that is what is missing, and an end where there is one")
{
    BottlesMeasurement m = withBottles(3e-3, 65, 4e-3, {0, 1e-3, 1.5e-3, 1.5e-3, 0});
    m.uncertainty = 0.1;
    const BottleFit unsure = fitBottles(m, 65, 0.1).value();
    CHECK(unsure.next.find("open air") != std::string::npos);
    CHECK_FALSE(unsure.nextBottle);
    m.freeResonance = 65;
    const BottleFit sure = fitBottles(m, 65, 0.1).value();
    CHECK(sure.uncertainty < unsure.uncertainty);
    CHECK(sure.next.find("would not change") != std::string::npos);
}

TEST_CASE("readings that contradict each other are told, and widen the result")
{
    BottlesMeasurement m = withBottles(3e-3, 65, 10e-3, {0, 0.5e-3, 1e-3, 1.5e-3});
    m.freeResonance = 65;
    const BottleFit good = fitBottles(m, 65, 0.1).value();
    m.readings[2].fc *= 1.06;  // a bottle that did not hold
    const BottleFit bad = fitBottles(m, 65, 0.1).value();
    CHECK(bad.strain > 2);
    CHECK(bad.uncertainty > 2 * good.uncertainty);
    CHECK(bad.next.find("contradict") != std::string::npos);
}

TEST_CASE("bottles that tell nothing are refused in a sentence")
{
    const auto field = [](const BottlesMeasurement& m, double fs = 65) {
        const auto fit = fitBottles(m, fs, 0.1);
        REQUIRE(!fit);
        CHECK(!fit.error().message.empty());
        return fit.error().field;
    };
    CHECK(field({}) == "readings");
    CHECK(field(withBottles(3e-3, 65, 10e-3, {0})) == "readings");
    CHECK(field(withBottles(3e-3, 65, 10e-3, {0.5e-3, 0.5e-3})) == "readings");
    BottlesMeasurement falling = withBottles(3e-3, 65, 10e-3, {0, 0.5e-3});
    std::swap(falling.readings[0].fc, falling.readings[1].fc);
    CHECK(field(falling) == "readings");
    BottlesMeasurement low = withBottles(3e-3, 65, 10e-3, {0, 0.5e-3});
    low.readings[1].fc = 60;
    CHECK(field(low) == "readings/1/fc_hz");
    low.readings[1].fc = std::nan("");
    CHECK(field(low) == "readings/1/fc_hz");
    BottlesMeasurement odd = withBottles(3e-3, 65, 10e-3, {0, 0.5e-3});
    odd.readings[0].bottle = -1e-3;
    CHECK(field(odd) == "readings/0/bottle_l");
    odd = withBottles(3e-3, 65, 10e-3, {0, 0.5e-3});
    odd.uncertainty = 0;
    CHECK(field(odd) == "uncertainty_hz");
    odd.uncertainty = {}, odd.freeResonance = 0;
    CHECK(field(odd) == "free_resonance_hz");
}

TEST_CASE("the guided page has something to say at every stage")
{
    const Bench bench;
    BottlesMeasurement m;
    CHECK(nextBottleStep(m, bench.context()).find("nothing inside") != std::string::npos);
    m.readings.push_back({0, 89.848310, {}});
    const std::string one = nextBottleStep(m, bench.context());
    CHECK(one.find("8.0") != std::string::npos);  // what the driver's data say of the volume
    CHECK(one.find("3.0") != std::string::npos);  // the usual bottle nearest to a third of it
    m.readings.push_back({3e-3, 80, {}});
    CHECK(nextBottleStep(m, bench.context()).find("no volume") != std::string::npos);
}

TEST_CASE("random readings end in a finite volume or in a sentence")
{
    rc::prop("any readings", [] {
        BottlesMeasurement m;
        const int n = *rc::gen::inRange(0, 6);
        for (int i = 0; i < n; ++i)
            m.readings.push_back({coin() ? 0.0 : logUniform(1e-6, 5), logUniform(1, 1e4), {}});
        const auto fit = fitBottles(m, logUniform(1, 1000), 0.1);
        if (fit) {
            RC_ASSERT(std::isfinite(fit->volume) && fit->volume > 0);
            RC_ASSERT(std::isfinite(fit->uncertainty) && fit->uncertainty > 0);
            RC_ASSERT(std::isfinite(fit->springUncertainty));
            RC_ASSERT(!fit->next.empty());
        } else {
            RC_ASSERT(!fit.error().message.empty());
        }
    });
}
