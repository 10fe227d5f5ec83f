// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

using namespace portwright;

namespace {

/// Everything the window says in words: verdicts, ledger, path strip, chart heads, table.
QStringList wordsOf(Bench& bench)
{
    QStringList all;
    for (const HousingResult& result : bench.window->workbench().computation().results())
        for (const Verdict& verdict : result.computed->verdicts)
            all << QString::fromStdString(verdict.text) << QString::fromStdString(verdict.remedyWords);
    all << bench.window->ledger()->model()->text();
    for (const StationAt& station : stationsOf(bench.window->workbench()))
        all << station.state.keyFigure;
    for (int i = 0; i < 4; ++i)
        all << bench.window->centre()->charts()->chart(ChartsPage::Which(i))->accessibleName()
            << bench.window->centre()->charts()->chart(ChartsPage::Which(i))->accessibleDescription();
    const QAbstractItemModel* table = bench.window->centre()->table()->model();
    for (int column = 0; column < table->columnCount(); ++column)
        all << table->headerData(column, Qt::Horizontal).toString();
    return all;
}

}  // namespace

TEST_CASE("US units change the words everywhere and no number of the project")
{
    Bench bench(true, "everything-wrong");
    bench.window->centre()->showTable(true);
    bench.settle();
    const Project before = bench.document().project();
    const QStringList metric = wordsOf(bench);
    const std::vector<double> air = bench.curve(ChartsPage::air, 1), level = bench.curve(ChartsPage::level, 1);
    REQUIRE(metric.join(u' ').contains("m/s"));
    bench.window->workbench().setUnits(UnitSystem::us);
    bench.settle();
    const QString us = wordsOf(bench).join(u' ');
    for (const char* unit : {"\u00A0m/s", " m/s", "\u00A0L ", "\u00A0cm\u00B2"})
        CHECK_FALSE(us.contains(QString::fromUtf8(unit)));
    CHECK(us.contains(QString::fromUtf8("ft/s")));
    CHECK(us.contains(QString::fromUtf8("ft\u00B3 of air")));
    CHECK(us.contains(QString::fromUtf8("heard at 3.28\u00A0ft").replace(u'.', QLocale().decimalPoint())));
    CHECK(bench.curve(ChartsPage::level, 1) == level);
    const std::vector<double> other = bench.curve(ChartsPage::air, 1);
    REQUIRE(other.size() == air.size());
    for (std::size_t i = 0; i < air.size(); ++i)
        CHECK(other[i] == Approx(air[i] / 0.3048));
    for (int i = 0; i < 19; ++i) {
        bench.window->workbench().setUnits(i % 2 ? UnitSystem::us : UnitSystem::metric);
        bench.settle();
    }
    CHECK(bench.document().project() == before);
    CHECK(bench.document().history().count() == 0);
    bench.window->workbench().setUnits(UnitSystem::metric);
    bench.settle();
    CHECK(wordsOf(bench) == metric);
    CHECK(bench.curve(ChartsPage::air, 1) == air);
}

TEST_CASE("a range set by hand stays where it is when the units change")
{
    Bench bench;
    ChartsPage* charts = bench.window->centre()->charts();
    charts->setValueLimits(ChartsPage::air, 0, 12);
    bench.window->workbench().setUnits(UnitSystem::us);
    bench.settle();
    CHECK(charts->chart(ChartsPage::air)->valueRange().upper == Approx(12 / 0.3048));
    bench.window->workbench().setUnits(UnitSystem::metric);
    bench.settle();
    CHECK(charts->chart(ChartsPage::air)->valueRange().upper == Approx(12));
}
