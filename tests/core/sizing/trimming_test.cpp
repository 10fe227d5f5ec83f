// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/trimming.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <random>
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
    const auto first = trimPlan({cut, {}}, 70, one, trimOptions(port)),
               second = trimPlan({cut, {}}, 70, two, trimOptions(port));
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

TEST_CASE("readings that contradict each other cut nothing, and one far from the model is doubted")
{
    const PortOpening port = tube(0.05);
    const TuningOfCut cut = tuningOfCut(port, litres(6), roundAir());
    const double now = *cut.tuning({0.2, 1, 0}), longer = *cut.tuning({0.24, 1, 0});
    const auto plan = [&](const std::vector<CutReading>& readings) {
        const auto found = trimPlan({cut, {}}, 1.15 * now, readings, trimOptions(port));
        REQUIRE(found);
        return *found;
    };
    CHECK_FALSE(plan({{0.24, longer, 0.3}, {0.2, now, 0.3}}).doubt);
    const TrimPlan fallen = plan({{0.24, longer, 0.3}, {0.2, 0.99 * longer, 0.3}});  // shorter, and yet lower
    CHECK(fallen.state == TrimPlan::State::doubtful);
    CHECK(fallen.stages.empty());
    CHECK(trimWords(fallen, 1.15 * now).front().find("The readings contradict each other") == 0);
    CHECK(plan({{0.24, longer, 0.3}, {0.2, 1.08 * now, 0.3}}).state == TrimPlan::State::doubtful);
    const TrimPlan far = plan({{0.2, 0.88 * now, 0.3}});
    CHECK(far.state == TrimPlan::State::cut);
    REQUIRE(far.doubt);
    CHECK(far.doubt->expected == Approx(now).epsilon(1e-6));
    CHECK(trimWords(far, 1.15 * now).back().find("check its net volume") != std::string::npos);
    CHECK_FALSE(plan({{0.2, 0.95 * now, 0.3}}).doubt);
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

// --- Readings that are dips of the impedance ---

namespace {

using Random = std::mt19937;

double normal(Random& random, double deviation) { return std::normal_distribution<>(0, deviation)(random); }
double logBetween(Random& random, double low, double high)
{
    return low * std::pow(high / low, std::uniform_real_distribution<>(0, 1)(random));
}

/// A driver and a vented housing as fairings have them; the port is the last opening.
struct Job {
    DriverSheet driver;
    Housing housing;
    Model model() const { return modelFrom(roundAir(), complete(driver).value(), housing, Feed{}, Place{}); }
    int opening() const { return int(housing.openings.size()) - 1; }
    PortOpening& port() { return std::get<PortOpening>(housing.openings.back().kind); }
    TrimmedPort trimmed() const
    {
        const Model m = model();
        return {tuningOfCut(m, opening()), dipOfCut(m, opening())};
    }
};

Job randomJob(Random& random)
{
    const auto between = [&](double low, double high) { return logBetween(random, low, high); };
    Job job;
    job.driver.fs = between(45, 120), job.driver.Qes = between(0.3, 1), job.driver.Qms = between(2.5, 9);
    job.driver.Sd = between(80e-4, 250e-4), job.driver.Vas = between(4e-3, 30e-3);
    job.driver.Re = between(2.8, 6.5), job.driver.Le = between(0.05e-3, 1e-3);
    job.housing = closedHousing(between(3e-3, 20e-3));
    job.housing.cavity.absorptionQ = between(25, 120);
    job.housing.openings.push_back({LeakByQ{between(4, 25)}, {}, {}});
    PortOpening port = tube(between(0.035, 0.08));
    port.length = between(0.05, 0.25), port.classical = true, port.lossQ = between(40, 120);
    job.housing.openings.push_back({port, {}, {}});
    return job;
}

/// What the job is really like, each value off as TrimOptions has it of a known driver and its losses.
Job reallyLike(Job job, Random& random)
{
    const auto off = [&](double deviation) { return std::exp(normal(random, deviation)); };
    *job.driver.fs *= off(0.03), *job.driver.Qes *= off(0.05), *job.driver.Qms *= off(0.1);
    *job.driver.Vas *= off(0.08), *job.driver.Le *= off(0.2);
    *job.housing.cavity.absorptionQ *= off(0.3), *job.port().lossQ *= off(0.3);
    std::get<LeakByQ>(job.housing.openings.front().kind).q *= off(0.3);
    return job;
}

/// 0 where there is none.
double dipOf(const TrimmedPort& port, const Cut& cut)
{
    const auto tuning = port.cut.tuning(cut);
    return tuning ? port.dip.dip(cut, *tuning).value_or(0) : 0;
}

/// The demo's housing: 5.2 L, 54 mm bore.
Job demoJob()
{
    Job job;
    job.driver.fs = 72, job.driver.Qes = 0.62, job.driver.Qms = 5.1, job.driver.Vas = 9.8e-3;
    job.driver.Re = 3.3, job.driver.Le = 0.25e-3, job.driver.Sd = 132e-4;
    job.housing = closedHousing(5.2e-3);
    job.housing.cavity.absorptionQ = 60;
    job.housing.openings.push_back({LeakByQ{7}, {}, {}});
    PortOpening port;
    port.diameter = 0.054, port.length = 0.13, port.classical = true, port.lossQ = 80;
    job.housing.openings.push_back({port, {}, {}});
    return job;
}

}  // namespace

TEST_CASE("dips of the model's own impedance lead to the length of its tuning; taken as tunings they cut too far")
{
    Job job = demoJob();
    const TrimmedPort port = job.trimmed();
    const double right = lengthFor(88, port.cut)->length;
    std::vector<CutReading> readings;
    for (const double length : {0.19, 0.16})
        readings.push_back({length, dipOf(port, {length, 1, 0}), 0.2, ReadAs::impedanceDip});
    const auto plan = trimPlan(port, 88, readings, trimOptions(job.port()));
    REQUIRE(plan);
    CHECK(plan->length == Approx(right).margin(1e-6));
    CHECK(plan->readings[1].tuning == Approx(*port.cut.tuning({0.16, 1, 0})).epsilon(1e-6));
    REQUIRE_FALSE(plan->stages.empty());
    const TrimStage& stage = plan->stages[0];
    CHECK(stage.readAs == ReadAs::impedanceDip);
    CHECK(stage.shown == Approx(dipOf(port, {stage.length, 1, 0})).epsilon(1e-6));
    CHECK(stage.shown < stage.tuning);
    CHECK(stage.length > right);
    for (CutReading& r : readings)
        r.readAs = ReadAs::tuning;
    const auto wrong = trimPlan(port, 88, readings, trimOptions(job.port()));
    REQUIRE(wrong);
    CHECK(wrong->length < right - 5e-3);
}

TEST_CASE("a dip stands for its tuning as surely as is stated, over drivers and losses known as stated")
{
    Random random(4);
    int all = 0, within = 0, withinTwo = 0;
    while (all < 1500) {
        const Job job = randomJob(random), real = reallyLike(job, random);
        const TrimmedPort known = job.trimmed(), truth = real.trimmed();
        const double length = std::get<PortOpening>(job.housing.openings.back().kind).length;
        const Cut cut{length, 1, 0};
        const double dip = dipOf(truth, cut), tuning = truth.cut.tuning(cut).value_or(0);
        if (!(dip > 0) || !(dipOf(known, cut) > 0)) continue;
        const TrimOptions o;
        const double said = dip * *known.cut.tuning(cut) / dipOf(known, cut);
        const double share =
            std::hypot(o.dipLeast, o.dipShare * std::log(dipOf(known, cut) / *known.dip.withoutCoil(cut, tuning)),
                       o.dipShare * std::log(*known.dip.withoutCoil(cut, tuning) / *known.cut.tuning(cut)));
        const double off = std::abs(std::log(said / tuning)) / share;
        ++all, within += off < 1, withinTwo += off < 2;
    }
    CAPTURE(within, withinTwo);
    CHECK(within > 0.683 * all);
    CHECK(withinTwo > 0.945 * all);  // its tail is a little longer than the normal one
}

TEST_CASE("at a bench that sweeps, no more cuts go too far than the stated uncertainty promises")
{
    Random random(11);
    int jobs = 0, cuts = 0, tooFar = 0, within = 0;
    while (jobs < 150) {
        Job job = randomJob(random);
        const TrimmedPort known = job.trimmed();
        const auto ideal = tuningAt(job.port().length, known.cut);
        if (!ideal || !(ideal->tuningPerLength < 0)) continue;
        const double target = ideal->tuning;
        if (target < 45 || target > 130) continue;
        const TrimOptions o = trimOptions(job.port());
        const TrimmedPort truth = reallyLike(job, random).trimmed();
        std::uniform_real_distribution<> even(-1, 1);
        const double volume = 1 + 0.05 * even(random), end = 0.05 * 1.5 * radiusOf(job.port()) * even(random);
        TuningOfCut real = truth.cut;
        real.tuning = [&](const Cut& c) { return truth.cut.tuning({c.length, c.volume * volume, c.end + end}); };
        const auto right = lengthFor(target, real);
        double length = 1.3 * job.port().length + 0.04;
        if (!right || real.tuning({length, 1, 0}).value_or(1e9) > 0.98 * target) continue;
        std::vector<CutReading> readings;
        std::optional<TrimPlan> last;
        for (int i = 0; i < 8; ++i) {
            const double dip = dipOf(truth, {length, volume, end});
            if (!(dip > 0)) break;
            readings.push_back({length, dip * std::exp(normal(random, o.readingUncertainty)), 0, ReadAs::impedanceDip});
            const auto plan = trimPlan(known, target, readings, o);
            if (!plan) break;
            last = *plan;
            if (plan->state != TrimPlan::State::cut) break;
            length = plan->stages[0].length + o.cutTolerance * even(random);
            ++cuts, tooFar += length < right->length;
        }
        if (!last) continue;
        ++jobs;
        within += std::abs(last->length - right->length) < 2 * last->uncertainty + 1e-4;
        CHECK(std::abs(*real.tuning({length, 1, 0}) - last->tuning) < 4 * last->tuningUncertainty);
    }
    REQUIRE(cuts > 150);
    // Each cut stops three uncertainties and the saw's tolerance short: one side of a normal distribution beyond three.
    const double promised = 0.00135 * cuts;
    CAPTURE(cuts, promised);
    CHECK(tooFar <= promised + 4 * std::sqrt(promised));
    CHECK(within > 0.945 * jobs);
}

TEST_CASE("no cut after dips overshoots as long as volume, ends, dip and readings are together within three of theirs")
{
    rc::prop("any job", [] {
        Random random(*rc::gen::arbitrary<std::uint32_t>());
        Job job = randomJob(random);
        const TrimmedPort known = job.trimmed();
        const auto ideal = tuningAt(job.port().length, known.cut);
        RC_PRE(ideal.has_value());
        RC_PRE(ideal->tuningPerLength < 0 && ideal->tuning > 45 && ideal->tuning < 130);
        const TrimOptions o = trimOptions(job.port(), 0.03);
        constexpr int cuts = 4;
        const auto off = onBall(3 + cuts);
        const Cut truly{0, std::exp(o.safety * off[0] * o.volumeUncertainty), o.safety * off[1] * o.endUncertainty};
        const auto at = [&](double length) { return Cut{length, truly.volume, truly.end}; };
        const auto dipOff = [&](double length) {
            const double f = known.cut.tuning({length, 1, 0}).value_or(1), d = dipOf(known, {length, 1, 0});
            const double bare = known.dip.withoutCoil({length, 1, 0}, f).value_or(f);
            return std::hypot(o.dipShare * std::log(d / bare), o.dipShare * std::log(bare / f), o.dipLeast);
        };
        TuningOfCut real = known.cut;
        real.tuning = [&](const Cut& c) { return known.cut.tuning({c.length, truly.volume, truly.end}); };
        const auto right = lengthFor(ideal->tuning, real);
        double length = 1.5 * job.port().length + 0.08;
        RC_PRE(right.has_value() && real.tuning({length, 1, 0}).value_or(1e9) < 0.97 * ideal->tuning);
        std::vector<CutReading> readings;
        TrimPlan::State state = TrimPlan::State::cut;
        for (int i = 0; i < cuts && state == TrimPlan::State::cut; ++i) {
            const double dip = dipOf(known, at(length));
            RC_PRE(dip > 0);
            const double noise = off[std::size_t(3 + i)] * o.readingUncertainty;
            const double read = dip * std::exp(o.safety * (off[2] * dipOff(length) + noise));
            readings.push_back({length, read, 0, ReadAs::impedanceDip});
            const auto plan = trimPlan(known, ideal->tuning, readings, o);
            RC_PRE(plan.has_value());
            state = plan->state;
            if (state == TrimPlan::State::cut) length = plan->stages[0].length;
            RC_ASSERT(length > right->length - 1.5e-3);  // linear least squares of a bent law
        }
    });
}

TEST_CASE("the tuning itself read beside a dip tells what the dip is worth")
{
    Job job = demoJob();
    const TrimmedPort known = job.trimmed();
    *job.driver.Le *= 1.4;
    std::get<LeakByQ>(job.housing.openings.front().kind).q /= 1.4;
    const TrimmedPort truth = job.trimmed();
    const auto dip = [&](double length) {
        return CutReading{length, dipOf(truth, {length, 1, 0}), 0.05, ReadAs::impedanceDip};
    };
    const CutReading itself{0.16, *truth.cut.tuning({0.16, 1, 0}), 0.05, ReadAs::tuning};
    const TrimOptions o = trimOptions(job.port());
    const auto dips = trimPlan(known, 88, {dip(0.16)}, o), both = trimPlan(known, 88, {dip(0.16), itself}, o);
    REQUIRE(dips);
    REQUIRE(both);
    CHECK(both->uncertainty < 0.6 * dips->uncertainty);
    CHECK(both->stages[0].readAs == ReadAs::impedanceDip);
    const double next = both->stages[0].length;
    CHECK(std::abs(both->stages[0].shown - dipOf(truth, {next, 1, 0})) < 2 * both->stages[0].shownUncertainty);
    const auto then = trimPlan(known, 88, {dip(0.16), itself, dip(next)}, o);
    REQUIRE(then);
    CHECK(std::abs(then->length - lengthFor(88, truth.cut)->length) < 2 * then->uncertainty);
}

TEST_CASE("where the impedance has no dip to read, that is said with what to read instead")
{
    Job job = demoJob();
    std::get<LeakByQ>(job.housing.openings.front().kind).q = 0.1;
    const TrimmedPort port = job.trimmed();
    const double tuning = *port.cut.tuning({0.16, 1, 0});
    const auto plan = trimPlan(port, 88, {{0.16, 0.97 * tuning, 0.2, ReadAs::impedanceDip}}, trimOptions(job.port()));
    REQUIRE_FALSE(plan);
    CHECK(plan.error().message.find("no dip between two peaks") != std::string::npos);
    CHECK(plan.error().message.find("where the cone moves least") != std::string::npos);
    CHECK(trimPlan(port, 88, {{0.16, tuning, 0.2, ReadAs::tuning}}, trimOptions(job.port())));
}

TEST_CASE("what the words take off in all is what the stages take and what is left")
{
    Job job = demoJob();
    const TrimmedPort port = job.trimmed();
    for (const double u : {0.05, 0.5}) {
        std::vector<CutReading> readings;
        for (const double length : {0.24, 0.2})
            readings.push_back({length, *port.cut.tuning({length, 1, 0}), u, ReadAs::tuning});
        const auto plan = trimPlan(port, 88, readings, trimOptions(job.port()));
        REQUIRE(plan);
        REQUIRE_FALSE(plan->stages.empty());
        double taken = 0;
        for (const TrimStage& s : plan->stages)
            taken += s.takeOff;
        const double left = plan->stages.back().length - plan->length;
        CHECK(taken + left == Approx(plan->takeOff).margin(1e-9));
        const std::string words = trimWords(*plan, 88).back();
        INFO(words);
        CHECK(words.find("In all " + formatNumber(plan->takeOff, Dimension::length)) != std::string::npos);
        CHECK(words.find(formatQuantity(left, Dimension::length)) != std::string::npos);
        if (plan->stages.size() > 1)
            CHECK(words.find(formatQuantity(taken, Dimension::length) + " of that in " +
                             std::to_string(plan->stages.size()) + " cuts") != std::string::npos);
    }
}
