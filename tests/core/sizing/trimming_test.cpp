// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/trimming.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening tube(double bore)
{
    PortOpening p;
    p.diameter = bore, p.wall = 2e-3;
    return p;
}

CavityRoom litres(double volume)
{
    CavityRoom room;
    room.netVolume = volume * 1e-3;
    return room;
}

/// A shop where volume, ends and every reading are off by something.
struct Truth {
    TuningOfCut cut;
    double volume = 1, end = 0;
    double tuningAt(double length) const { return cut.tuning({length, volume, end}).value_or(0); }
    double lengthFor(double tuning) const
    {
        double above = 0.01, below = 0.6;
        for (int i = 0; i < 60; ++i)
            (tuningAt((above + below) / 2) > tuning ? above : below) = (above + below) / 2;
        return (above + below) / 2;
    }
};

std::vector<double> onBall(int dimensions)
{
    std::vector<double> x;
    double sum = 0;
    for (int i = 0; i < dimensions; ++i) {
        x.push_back(*rc::gen::inRange(-1000, 1001) / 1000.0);
        sum += x.back() * x.back();
    }
    for (double& xi : x)
        xi /= std::max(1.0, std::sqrt(sum));
    return x;
}

}  // namespace

TEST_CASE("a port that is just as the model has it is cut to the model's length")
{
    const TuningOfCut cut = tuningOfCut(tube(0.05), litres(6), roundAir());
    const auto plan = trimPlan({cut, {}}, 70, {{0.25, tuningAt(0.25, cut)->tuning, 0.05}}, trimOptions(tube(0.05)));
    REQUIRE(plan);
    CHECK(plan->state == TrimPlan::State::cut);
    CHECK(plan->volume == Approx(1).margin(1e-6));
    CHECK(plan->length == Approx(lengthFor(70, cut)->length).margin(1e-6));
    CHECK(plan->takeOff == Approx(0.25 - plan->length));
    REQUIRE_FALSE(plan->stages.empty());
    CHECK(plan->stages[0].takeOff < plan->takeOff);
    CHECK(plan->stages[0].tuning < 70);
}

TEST_CASE("no cut overshoots as long as the shop is within its stated uncertainties, and the last comes near")
{
    rc::prop("any port, any errors together within three of their uncertainties", [] {
        const double bore = logUniform(0.035, 0.08), target = logUniform(50, 90);
        const PortOpening port = tube(bore);
        const TuningOfCut cut = tuningOfCut(port, litres(logUniform(4, 20)), roundAir());
        const auto ideal = lengthFor(target, cut);
        RC_PRE(ideal.has_value());
        RC_PRE(ideal->length > 0.03 && ideal->length < 0.25 && ideal->tuningPerLength < 0);
        TrimOptions o = trimOptions(port, 0.04);
        o.readingUncertainty = 0.003;
        constexpr int cuts = 6;
        const auto off = onBall(2 + cuts);
        Truth truth{cut, std::exp(o.safety * off[0] * o.volumeUncertainty), o.safety * off[1] * o.endUncertainty};
        double length = 1.5 * ideal->length + 0.08;
        RC_PRE(truth.tuningAt(length) > 0 && truth.tuningAt(length) < 0.97 * target);
        const double right = truth.lengthFor(target);
        std::vector<CutReading> readings;
        TrimPlan::State state = TrimPlan::State::cut;
        for (int i = 0; i < cuts && state == TrimPlan::State::cut; ++i) {
            const double read =
                truth.tuningAt(length) * (1 + o.safety * off[std::size_t(2 + i)] * o.readingUncertainty);
            readings.push_back({length, read, 0});
            const auto plan = trimPlan({cut, {}}, target, readings, o);
            RC_PRE(plan.has_value());
            state = plan->state;
            if (state == TrimPlan::State::cut) {
                RC_ASSERT(plan->stages[0].takeOff > 0);
                length -= plan->stages[0].takeOff;
            }
            // linear least squares of a bent law: a tenth of the saw's tolerance is left for the bend
            RC_ASSERT(length > right - 1.0e-3);
        }
        RC_ASSERT(state != TrimPlan::State::tooShort || truth.tuningAt(length) > 0.98 * target);
        // What is left is what the readings cannot tell.
        RC_ASSERT(truth.tuningAt(length) > target * (1 - 0.05));
    });
}

TEST_CASE("a second reading at another length narrows the target")
{
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(6), roundAir());
    const Truth truth{cut, 1.06, 1e-3};
    const std::vector<CutReading> one{{0.28, truth.tuningAt(0.28), 0.1}};
    std::vector<CutReading> two = one;
    two.push_back({0.20, truth.tuningAt(0.20), 0.1});
    const auto first = trimPlan({cut, {}}, 70, one, trimOptions(port)), second = trimPlan({cut, {}}, 70, two, trimOptions(port));
    REQUIRE(first);
    REQUIRE(second);
    CHECK(second->uncertainty < first->uncertainty);
    CHECK(std::abs(second->length - truth.lengthFor(70)) < 2 * second->uncertainty + 1e-4);
    CHECK(second->volume == Approx(1.06).margin(0.03));
}

TEST_CASE("the error bar is that of linear propagation by hand where the ends are known")
{
    // With the ends known and one reading, ln f = ln f0(L) - v/2 + what the closed form bends: the target's length
    // moves by dlnf/dL^-1 times the reading's share where the prior says little.
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(20), roundAir());
    TrimOptions o = trimOptions(port, 10);  // nothing is known of the volume
    o.endUncertainty = 1e-9;
    const double length = 0.22, u = 0.004;
    const auto at = tuningAt(length, cut);
    const auto plan = trimPlan({cut, {}}, 55, {{length, at->tuning, u * at->tuning}}, o);
    REQUIRE(plan);
    const auto slope = tuningAt(plan->length, cut);
    const double by = u * slope->tuning / std::abs(slope->tuningPerLength);
    CHECK(plan->uncertainty == Approx(by).epsilon(0.05));  // dlnf/dlnV differs a little between the two lengths
}

TEST_CASE("a port at its target is left, one past it is not cut")
{
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(6), roundAir());
    const auto reached = trimPlan({cut, {}}, 70, {{lengthFor(70, cut)->length, 70.3, 0.1}}, trimOptions(port));
    REQUIRE(reached);
    CHECK(reached->state == TrimPlan::State::reached);
    CHECK(trimWords(*reached, 70)[0].find("Leave it") != std::string::npos);
    const auto past = trimPlan({cut, {}}, 60, {{lengthFor(70, cut)->length, 70.3, 0.1}}, trimOptions(port));
    REQUIRE(past);
    CHECK(past->state == TrimPlan::State::tooShort);
    CHECK(past->takeOff < 0);
    CHECK(past->stages.empty());
    CHECK(trimWords(*past, 60).back().find("too short") != std::string::npos);
}

TEST_CASE("coarse readings do not cut what they cannot tell")
{
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(6), roundAir());
    const double length = lengthFor(68.5, cut)->length;
    const auto plan = trimPlan({cut, {}}, 70, {{length, 68.5, 2}}, trimOptions(port));
    REQUIRE(plan);
    CHECK(plan->state == TrimPlan::State::measureBetter);
    CHECK(trimWords(*plan, 70).size() == 2);
}

TEST_CASE("readings that cannot be are refused in a sentence")
{
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(6), roundAir());
    const auto words = [&](double target, const std::vector<CutReading>& readings) {
        const auto plan = trimPlan({cut, {}}, target, readings, trimOptions(port));
        REQUIRE_FALSE(plan);
        return plan.error().message;
    };
    CHECK(words(70, {}).find("at least one") != std::string::npos);
    CHECK(words(0, {{0.2, 60, 0.1}}).find("above 0") != std::string::npos);
    CHECK(words(70, {{0.2, -60, 0.1}}).find("above 0") != std::string::npos);
    CHECK(words(70, {{-0.2, 60, 0.1}}).find("0 mm or more") != std::string::npos);
    CHECK(words(70, {{0.2, 300, 0.1}}).find("expected") != std::string::npos);
    CHECK(words(900, {{0.2, 60, 0.1}}).find("no length") != std::string::npos);
}

TEST_CASE("the readings that a file holds are those swept, each with its own uncertainty or the usual one")
{
    PortOpening port = tube(0.05);
    port.readings = {{0.2, 60, 0.3, {}}, {0.19, 62, {}, {}}, {0.18, 0, {}, {}}};
    const auto readings = cutReadings(port);
    REQUIRE(readings.size() == 2);
    CHECK(readings[0].uncertainty == 0.3);
    CHECK(readings[1].frequency == 62);
    CHECK(readings[1].uncertainty == 0);
}
