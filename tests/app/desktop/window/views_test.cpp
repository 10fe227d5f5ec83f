// SPDX-License-Identifier: GPL-3.0-or-later
// What the charts show of their plane: going back, and typed limits.
#include "app/desktop/components/quantity_box.h"
#include "app/desktop/window/axis_row.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QAction>
#include <QLineEdit>
#include <QMenu>
#include <QTest>

using namespace portwright;

namespace {

struct Charts {
    Bench bench;
    ChartsPage* page = bench.window->centre()->charts();
    FrequencyChart* level = page->chart(ChartsPage::level);
    FrequencyChart* air = page->chart(ChartsPage::air);

    void type(QuantityBox* box, const char* text) const
    {
        auto* line = box->findChild<QLineEdit*>();
        box->setFocus();
        line->selectAll();
        QTest::keyClicks(line, QLatin1String(text));
        QTest::keyClick(line, Qt::Key_Return);
        bench.settle();
    }
    QAction* action(const char* words) const
    {
        for (QAction* one : bench.window->findChildren<QAction*>())
            if (one->text().remove(QLatin1Char('&')).startsWith(QLatin1String(words))) return one;
        return nullptr;
    }
};

}  // namespace

TEST_CASE("Backspace in any chart goes back zoom by zoom, in all four")
{
    Charts f;
    const ChartView start = f.level->view(), startAir = f.air->view();
    CHECK_FALSE(f.page->canGoBack());
    f.page->setFrequencyLimits(40, 200);
    const ChartView first = f.level->view();
    f.page->setValueLimits(ChartsPage::air, 0, 12);
    f.page->fit();
    QTest::keyClick(f.air, Qt::Key_Backspace);
    CHECK(f.level->view() == first);
    CHECK(f.air->valueRange() == AxisRange{0, 12});
    QTest::keyClick(f.level, Qt::Key_Backspace);
    CHECK(f.air->valueRange() == startAir.value);
    CHECK(f.level->view() == first);
    f.action("Back to Previous View")->trigger();
    CHECK(f.level->view() == start);
    CHECK(f.air->view() == startAir);
    CHECK_FALSE(f.page->canGoBack());
    QTest::keyClick(f.level, Qt::Key_Backspace);
    CHECK(f.level->view() == start);
}

TEST_CASE("a row of small steps is one zoom to go back, and a new project has no views before it")
{
    Charts f;
    const ChartView start = f.level->view();
    for (int i = 0; i < 4; ++i)
        QTest::keyClicks(f.level, "+");
    CHECK(f.level->view() != start);
    QTest::keyClick(f.level, Qt::Key_Backspace);
    CHECK(f.level->view() == start);
    QTest::keyClicks(f.level, "+");
    CHECK(f.page->canGoBack());
    f.bench.window->files().startNew(sample());
    f.bench.settle();
    CHECK_FALSE(f.page->canGoBack());
}

TEST_CASE("the history keeps the last fifty views and forgets none in between")
{
    ViewHistory history;
    const auto at = [](double lower) {
        ChartViews views;
        views[0].frequency = {lower, 1000};
        return views;
    };
    for (int i = 0; i < 60; ++i)
        history.remember(at(20 + i), false);
    for (int i = 59; i >= 10; --i) {
        const auto former = history.back(at(500));
        REQUIRE(former);
        CHECK((*former)[0].frequency.lower == 20 + i);
    }
    CHECK_FALSE(history.back(at(500)));
}

TEST_CASE("limits of the axes are typed in a row above the charts and hold in all of them")
{
    Charts f;
    AxisRow* row = f.bench.window->centre()->axisRow();
    CHECK_FALSE(row->isVisible());
    f.action("Set Axis Limits")->trigger();
    f.bench.settle();
    REQUIRE(row->isVisible());
    f.type(row->from(0), "35");
    f.type(row->to(0), "400");
    for (int i = 0; i < 4; ++i)
        CHECK(f.page->chart(ChartsPage::Which(i))->frequencyRange() == AxisRange{35, 400});
    row->chooseAxis(2);
    f.type(row->to(2), "7.5");
    CHECK(f.page->chart(ChartsPage::travel)->valueRange().upper == Approx(7.5));  // mm typed, mm shown
    row->chooseAxis(1);
    f.type(row->from(1), "62");
    CHECK(f.level->valueRange().lower == Approx(62));
    QTest::keyClick(f.level, Qt::Key_Backspace);
    CHECK(f.level->valueRange().lower != Approx(62));
    CHECK(*row->from(1)->si() == Approx(f.level->valueRange().lower));
    CHECK(f.bench.document().history().count() == 0);  // a view is not of the project
}

TEST_CASE("a lower limit above the upper one is refused in words and moves nothing")
{
    Charts f;
    AxisRow* row = f.bench.window->centre()->axisRow();
    f.bench.window->centre()->openLimits();
    f.type(row->from(0), "2000");
    CHECK_FALSE(row->from(0)->rejection().isEmpty());
    CHECK(f.level->frequencyRange() == AxisRange{20, 1000});
    QTest::keyClick(row, Qt::Key_Escape);
    CHECK_FALSE(row->isVisible());
}
