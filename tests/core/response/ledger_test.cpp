// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/ledger.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("the ledger's parts sum to the level that the charts show")
{
    rc::prop("any housing, feed, place and frequency", [] {
        Place place;
        if (coin()) place.distance = logUniform(0.1, 20);
        if (coin()) place.space = Space::full;
        const Model m = modelFrom(referenceAir(), completed(arbitraryDriver()),
                                  arbitraryHousing({.computedLosses = coin()}), arbitraryFeed(), place);
        const double f = logUniform(15, 2000);
        const auto ledger = ledgerOf(m, f);
        const auto curves = curvesOf(m, gridOf(Eigen::ArrayXd::Constant(1, f)));
        RC_ASSERT(ledger && curves);
        double sum = ledger->start;
        for (const LedgerEntry& e : ledger->entries)
            sum += e.step;
        RC_ASSERT(std::abs(sum - curves->level[0]) < 1e-9);
        RC_ASSERT(std::abs(ledger->end - curves->level[0]) < 1e-9);
        for (const LedgerEntry& e : ledger->entries) {
            RC_ASSERT(!e.sentence.empty());
            if (!e.present) RC_ASSERT(std::abs(e.step) < 1e-9);  // what is not there takes nothing
        }
    });
}

TEST_CASE("the mark to measure from is the driver in an endless baffle")  // golden value: 89.0997 dB at 100 Hz with
                                                                          // 0.35 mH, here without
{
    const Model m = modelOfReference(closedHousing(8e-3), 2.83, 0);
    const auto ledger = ledgerOf(m, 100);
    REQUIRE(ledger);
    const auto endless =
        curvesOf(modelOfReference(closedHousing(2e6), 2.83, 0), gridOf(Eigen::ArrayXd::Constant(1, 100.0)));
    CHECK(ledger->start == Approx(endless->level[0]).margin(1e-4));
    CHECK(ledger->entries[0].step ==
          Approx(ledger->end - ledger->start).margin(1e-12));  // only the air spring is there
}

TEST_CASE("place takes what geometry says")
{
    Place place;
    place.distance = 2;
    place.space = Space::full;
    const Model m = modelFrom(roundAir(), completed(referenceDriver()), closedHousing(8e-3), Feed{}, place);
    const auto ledger = ledgerOf(m, 80);
    REQUIRE(ledger);
    CHECK(ledger->entries[int(Cause::space)].step == Approx(-6.0206).margin(1e-4));
    CHECK(ledger->entries[int(Cause::distance)].step == Approx(-6.0206).margin(1e-4));
}

TEST_CASE("no voltage, no ledger: a sentence instead of minus infinity")
{
    CHECK_FALSE(ledgerOf(modelOfReference(closedHousing(8e-3), 0), 80));
}

TEST_CASE("US units change the ledger's sentences and none of its numbers")
{
    Housing housing = closedHousing(8e-3);
    housing.openings.push_back({LeakHole{3e-3, 3e-3, {}}, {}, {}});
    Place place;
    place.distance = 0.6096;  // two feet
    const Model m = modelFrom(roundAir(), completed(referenceDriver()), housing, Feed{}, place);
    const auto metric = ledgerOf(m, 80), us = ledgerOf(m, 80, UnitSystem::us);
    REQUIRE(metric);
    REQUIRE(us);
    CHECK(us->start == metric->start);
    CHECK(us->end == metric->end);
    for (std::size_t i = 0; i < us->entries.size(); ++i)
        CHECK(us->entries[i].step == metric->entries[i].step);
    const auto sentence = [](const Ledger& l, Cause cause) { return l.entries[std::size_t(cause)].sentence; };
    CHECK(sentence(*metric, Cause::airSpring).starts_with("8.0\u00A0L of air"));
    CHECK(sentence(*us, Cause::airSpring).starts_with("0.283\u00A0ft\u00B3 of air"));
    CHECK(sentence(*us, Cause::leakAndLining).find("a hole of 0.118\u00A0in") != std::string::npos);
    CHECK(sentence(*us, Cause::distance) == "You sit at 2\u00A0ft, not 3.28\u00A0ft.");
    CHECK(us->startSentence.find("heard at 3.28\u00A0ft") != std::string::npos);
}

TEST_CASE("what a loud port loses at its ends is told with its own step")
{
    Housing h = closedHousing(14e-3);
    PortOpening port;
    port.diameter = 0.06, port.length = 0.2;
    h.openings.push_back({port, {}, {}});
    const auto sentence = [&](double voltage) {
        return ledgerOf(modelOfReference(h, voltage), 50)->entries[std::size_t(Cause::opening)].sentence;
    };
    CHECK(sentence(20).find("Its ends take ") != std::string::npos);
    CHECK(sentence(0.02).find("Its ends") == std::string::npos);
}
