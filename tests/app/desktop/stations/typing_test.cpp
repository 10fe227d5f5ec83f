// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QLineEdit>
#include <QTest>

using namespace portwright;

namespace {

QLineEdit* lineOf(FieldRow* row) { return row->box()->findChild<QLineEdit*>(); }

void type(FieldRow* row, const char* text)
{
    row->box()->setFocus();
    lineOf(row)->selectAll();
    QTest::keyClicks(lineOf(row), QLatin1String(text));
}

}  // namespace

TEST_CASE("typing previews every curve at once, and Return makes exactly one undo step")
{
    Bench bench;
    FieldRow* row = bench.row(Station::cavity, "cavity/net_volume_l");
    REQUIRE(row);
    const auto before = bench.curve(ChartsPage::level);
    type(row, "3.75");
    bench.settle();
    CHECK(bench.document().history().count() == 0);
    CHECK(bench.curve(ChartsPage::level) != before);
    QTest::keyClick(lineOf(row), Qt::Key_Return);
    bench.settle();
    CHECK(bench.document().history().count() == 1);
    CHECK(bench.document().project().housings.at(0).cavity.netVolume == 3.75e-3);
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.curve(ChartsPage::level) == before);
    CHECK_FALSE(bench.document().unsaved());
}

TEST_CASE("Escape restores what was, without a step")
{
    Bench bench;
    FieldRow* row = bench.row(Station::cavity, "cavity/net_volume_l");
    const auto before = bench.curve(ChartsPage::level);
    type(row, "9");
    bench.settle();
    QTest::keyClick(lineOf(row), Qt::Key_Escape);
    bench.settle();
    CHECK(bench.document().history().count() == 0);
    CHECK(bench.curve(ChartsPage::level) == before);
}

TEST_CASE("typing an out of range value changes nothing and says so")
{
    Bench bench;
    FieldRow* row = bench.row(Station::driver, "driver/fs_hz");
    const Project before = bench.document().project();
    type(row, "99999");
    QTest::keyClick(lineOf(row), Qt::Key_Return);
    bench.settle();
    CHECK(bench.document().project() == before);
    CHECK(lineOf(row)->text().contains("99999"));
    CHECK_FALSE(row->box()->rejection().isEmpty());
}

TEST_CASE("choosing another housing keeps what was typed for the first")
{
    Bench bench;
    FieldRow* row = bench.row(Station::cavity, "cavity/net_volume_l");
    bench.window->activateWindow();
    type(row, "2.5");
    bench.window->workbench().choose(bench.document().project().housings.at(1).id);
    bench.settle();
    CHECK(bench.document().project().housings.at(0).cavity.netVolume == 2.5e-3);
    CHECK(bench.document().project().housings.at(1).cavity.netVolume == sample().housings.at(1).cavity.netVolume);
}

TEST_CASE("switching units twenty times changes no value")
{
    Bench bench;
    const Project before = bench.document().project();
    for (int i = 0; i < 20; ++i) {
        bench.window->workbench().setUnits(i % 2 ? UnitSystem::metric : UnitSystem::us);
        bench.settle();
    }
    CHECK(bench.document().project() == before);
    CHECK(bench.document().history().count() == 0);
}

TEST_CASE("emptying an optional value takes it out, and the default is reckoned with")
{
    Bench bench;
    FieldRow* row = bench.row(Station::driver, "driver/xmax_mm");
    row->box()->setFocus();
    lineOf(row)->selectAll();
    QTest::keyClick(lineOf(row), Qt::Key_Delete);
    QTest::keyClick(lineOf(row), Qt::Key_Return);
    bench.settle();
    CHECK_FALSE(bench.document().project().drivers.at(0).Xmax);
    CHECK(bench.document().history().count() == 1);
}

TEST_CASE("an origin and an uncertainty are kept in the project, each by one step")
{
    Bench bench;
    FieldRow* row = bench.row(Station::driver, "driver/qes");
    emit row->originChosen(Origin::guessed);
    emit row->uncertaintyCommitted(0.07);
    const DriverSheet& driver = bench.document().project().drivers.at(0);
    CHECK(driver.origin.at("qes") == Origin::guessed);
    CHECK(driver.uncertainty.at("qes") == 0.07);
    CHECK(bench.document().history().count() == 2);
}

TEST_CASE("Ctrl+Z reaches the window's history from every kind of field")
{
    Bench bench;
    bench.window->activateWindow();
    const auto undoneFrom = [&](QWidget* field) {
        bench.document().edit("v", [](Project& p) { p.housings.at(0).cavity.netVolume *= 1.01; });
        bench.settle();
        const int before = bench.document().history().index();
        field->setFocus();
        QTest::keyClick(field, Qt::Key_Z, Qt::ControlModifier);
        return bench.document().history().index() == before - 1;
    };
    bench.window->showStation(int(Station::driver));
    for (const char* type : {"portwright::QuantityBox", "QComboBox", "portwright::TextLine"})
        for (QWidget* field : bench.window->editor(Station::driver)->form()->findChildren<QWidget*>())
            if (field->inherits(type) && field->isVisible()) {
                INFO(type << " " << field->accessibleName().toStdString());
                CHECK(undoneFrom(field));  // a box's line hands its keys to the box
                break;
            }
    CHECK(undoneFrom(bench.window->centre()->charts()->chart(ChartsPage::level)));
    CHECK(undoneFrom(bench.window->ledger()));
}
