// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/quantity_box.h"
#include "app/desktop/window/card_texts.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QAction>
#include <QSignalSpy>

using namespace portwright;

TEST_CASE("only the housing that was changed is computed again")
{
    Document document;
    Computation computation(document);
    document.replace(sample(), false);
    const auto count = int(computation.results().size());
    REQUIRE(count >= 2);
    CHECK(computation.runs() == count);
    document.edit("v", [](Project& p) { p.housings.at(1).cavity.netVolume *= 1.1; });
    computation.results();
    CHECK(computation.runs() == count + 1);
    document.edit("name", [](Project& p) { p.title = "other"; });
    computation.results();
    CHECK(computation.runs() == count + 1);
}

TEST_CASE("fast edits cost one pass, and what is asked for is never stale")
{
    Document document;
    Computation computation(document);
    document.replace(sample(), false);
    computation.results();
    QCoreApplication::processEvents();
    const int passes = computation.passes();
    QSignalSpy updated(&computation, &Computation::updated);
    for (int i = 1; i <= 30; ++i)
        document.preview([i](Project& p) { p.housings.at(0).cavity.netVolume = 1e-3 * i; });
    QCoreApplication::processEvents();
    CHECK(computation.passes() == passes + 1);
    CHECK(updated.count() == 1);
    document.preview([](Project& p) { p.housings.at(0).cavity.netVolume = 5e-3; });
    CHECK(computation.results().at(0).computed->model.housing.cavity.netVolume == 5e-3);
}

TEST_CASE("a housing that cannot be computed says why and the others go on")
{
    Document document;
    Computation computation(document);
    Project project = sample();
    DriverSheet bare;
    bare.id = "bare";
    project.drivers.push_back(bare);
    project.housings.at(0).driver = "bare";
    document.replace(project, false);
    const auto& results = computation.results();
    CHECK(results.at(0).computed == nullptr);
    CHECK_FALSE(results.at(0).error.message.empty());
    CHECK(results.at(1).computed != nullptr);
}

TEST_CASE("the window shows the core's own numbers")
{
    Bench bench;
    const Project& project = bench.document().project();
    bench.window->workbench().setCursor(63);
    bench.settle();
    const auto* charts = bench.window->centre()->charts();
    for (std::size_t i = 0; i < project.housings.size(); ++i) {
        const auto model = modelOf(project, i);
        REQUIRE(model);
        const auto curves = curvesOf(*model, gridOf(Eigen::ArrayXd::Constant(1, 63.0)));
        REQUIRE(curves);
        const int slot = int(i);
        CHECK(charts->chart(ChartsPage::level)->readoutOf(slot) == readoutText(curves->level[0], QLocale()));
        CHECK(charts->chart(ChartsPage::travel)->readoutOf(slot) ==
              readoutText(curves->coneTravel[0] * 1e3, QLocale()));
        CHECK(charts->chart(ChartsPage::impedance)->readoutOf(slot) == readoutText(curves->impedance[0], QLocale()));
        const auto ledger = ledgerOf(*model, 63);
        REQUIRE(ledger);
        CHECK(ledger->end == Approx(curves->level[0]).margin(1e-9));
    }
    bench.window->centre()->showTable(true);
    bench.settle();
    const auto* table = bench.window->centre()->table();
    CHECK(table->currentIndex().row() == 5);  // 63 Hz
    CHECK(bench.window->centre()->table()->tableModel()->index(5, 1).data().toString() ==
          charts->chart(ChartsPage::level)->readoutOf(0));
}

TEST_CASE("a cursor pointed at stands on a tenth of a hertz, and field, charts and table agree on it")
{
    Bench bench;
    auto* charts = bench.window->centre()->charts();
    emit charts->chart(ChartsPage::travel)->cursorFrequencyMoved(123.895178);
    CHECK(bench.window->workbench().cursor() == Approx(123.9).margin(1e-12));
    CHECK(bench.window->centre()->cursorBox()->si() == bench.window->workbench().cursor());
    for (int i = 0; i < 4; ++i)
        CHECK(charts->chart(ChartsPage::Which(i))->cursorFrequency() == bench.window->workbench().cursor());
}

TEST_CASE("ranges come after the redraw, stay with what they are of, and cost an edit nothing")
{
    Document document;
    Computation computation(document);
    Project project = sample();
    project.housings.at(1).cavity.netUncertainty = 0.1 * project.housings.at(1).cavity.netVolume;
    document.replace(project, false);
    QSignalSpy ready(&computation, &Computation::rangesReady);
    CHECK_FALSE(computation.results().at(1).uncertainty);
    computation.reckonRanges();
    CHECK(ready.count() == 1);
    const auto ranges = computation.results().at(1).uncertainty;
    REQUIRE(ranges);
    REQUIRE(ranges->tuning);
    CHECK(ranges->tuning->uncertainty == Approx(0.05 * ranges->tuning->value).epsilon(0.02));  // fb ~ V^-1/2
    document.edit("other", [](Project& p) { p.housings.at(0).cavity.netVolume *= 1.1; });
    CHECK(computation.results().at(1).uncertainty == ranges);
    CHECK_FALSE(computation.results().at(0).uncertainty);
    document.edit("same", [](Project& p) { p.housings.at(1).cavity.netVolume *= 1.1; });
    CHECK_FALSE(computation.results().at(1).uncertainty);
}

TEST_CASE("bands and ranges are shown where they are known and wanted")
{
    Bench bench;
    bench.document().edit(
        "u", [](Project& p) { p.housings.at(1).cavity.netUncertainty = 0.1 * p.housings.at(1).cavity.netVolume; });
    bench.settle();
    bench.window->workbench().computation().reckonRanges();
    bench.settle();
    const auto* charts = bench.window->centre()->charts();
    CHECK(charts->chart(ChartsPage::level)->curves().at(1).upper.empty());
    QAction* bands = nullptr;
    for (QAction* action : bench.window->findChildren<QAction*>())
        if (action->text() == "U&ncertainty Bands") bands = action;
    REQUIRE(bands);
    bands->trigger();
    for (const auto which : {ChartsPage::level, ChartsPage::travel, ChartsPage::air, ChartsPage::impedance}) {
        const Curve& curve = charts->chart(which)->curves().at(1);
        REQUIRE(curve.lower.size() == curve.x.size());
        for (std::size_t i = 0; i < curve.x.size(); ++i) {
            CHECK(curve.lower[i] <= curve.y[i]);
            CHECK(curve.y[i] <= curve.upper[i]);
        }
    }
    const HousingResult& result = bench.window->workbench().computation().results().at(1);
    const auto figures = cardFigures(&result, std::nullopt, 80, UnitSystem::metric);
    CHECK(figures.figures[0].value.contains(QChar(0x00B1)));
    bands->trigger();
    CHECK(charts->chart(ChartsPage::level)->curves().at(1).upper.empty());
}
