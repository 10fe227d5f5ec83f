// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/field_row.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/workshop_style.h"
#include "tests/app/components/bench.h"

#include <QAction>
#include <QMenu>
#include <QTimer>

using namespace portwright;
using namespace portwright::test;

namespace {

struct Row {
    Bench bench;
    FieldRow& row = bench.put(new FieldRow("fs", Dimension::frequency));
    QSignalSpy chosen{&row, &FieldRow::originChosen}, taken{&row, &FieldRow::uncertaintyCommitted};
    QSignalSpy uncertaintyCleared{&row, &FieldRow::uncertaintyCleared};

    Row()
    {
        row.box()->setRangeSi(10, 500);
        row.box()->setSi(72);
    }
    QLineEdit& uncertaintyEdit()
    {
        for (QLineEdit* line : row.findChildren<QLineEdit*>())
            if (line->accessibleName().contains("Uncertainty")) return *line;
        FAIL("no field for the uncertainty");
        throw 0;
    }
    QString aside()
    {
        for (const QLabel* label : row.findChildren<QLabel*>())
            if (label->parentWidget() != &row && label->isVisible() && !label->text().isEmpty()) return label->text();
        return {};
    }
    QMenu& menu()
    {
        QMenu* menu = row.findChild<IconButton*>()->menu();
        emit menu->aboutToShow();
        return *menu;
    }
};

}  // namespace

TEST_CASE("A row says below what was not taken, and falls silent when it is mended")
{
    Row f;
    CHECK_FALSE(f.row.messageLine()->isVisible());
    type(*f.row.box(), "99999");
    QTest::keyClick(f.row.box(), Qt::Key_Return);
    CHECK(f.row.messageLine()->isVisible());
    CHECK(f.row.messageLine()->word() == "Not taken");
    CHECK(f.row.messageLine()->text() ==
          local("99999\u00A0Hz is outside 10 to 500\u00A0Hz. Still reckoned with 72.0\u00A0Hz."));
    CHECK(f.row.box()->accessibleDescription() == f.row.messageLine()->text());
    QTest::keyClick(f.row.box(), Qt::Key_Escape);
    CHECK_FALSE(f.row.messageLine()->isVisible());
}

TEST_CASE("A finding from outside comes back after a rejection is mended")
{
    Row f;
    f.row.setMessage(Mark::note, "72 Hz on the sheet, 75 Hz from the others.");
    type(*f.row.box(), "99999");
    CHECK(f.row.messageLine()->word() == "Not taken");
    QTest::keyClick(f.row.box(), Qt::Key_Escape);
    CHECK(f.row.messageLine()->isVisible());
    CHECK(f.row.messageLine()->mark() == Mark::note);
}

TEST_CASE("The mark of origin offers the four, and the uncertainty")
{
    Row f;
    f.row.setOrigin(Origin::guessed);
    f.row.setUncertaintyEditable(true);
    QStringList words;
    for (const QAction* action : f.menu().actions())
        if (!action->isSeparator()) words << action->text();
    CHECK(words == QStringList{"Datasheet", "Measured", "Derived", "Guessed", "Uncertainty\u2026"});
    CHECK(f.menu().actions()[3]->isChecked());
    f.menu().actions()[1]->trigger();
    REQUIRE(f.chosen.count() == 1);
    CHECK(f.chosen[0][0].value<Origin>() == Origin::measured);
    CHECK(f.row.origin() == Origin::guessed);  // the row shows what it is told, no more
}

TEST_CASE("An uncertainty has one digit, two if it starts with 1")
{
    for (const auto& [si, wanted] :
         {std::pair{0.05, "0.05"}, {0.96, "1.0"}, {1.5, "1.5"}, {2.6, "3"}, {13.0, "13"}, {0.149, "0.15"}}) {
        CHECK(uncertaintyText(si, Dimension::resistance, UnitSystem::metric) == local(wanted));
    }
    Row f;
    f.row.setUncertaintySi(1.5);
    CHECK(f.aside() == local("\u00B1 1.5"));
    f.row.setUncertaintySi({});
    f.row.setDefaultShown(true);
    CHECK(f.aside() == "default");
}

TEST_CASE("An uncertainty is typed in place, as a number or in percent")
{
    for (const auto& [typed, si] : {std::pair{"1,5", 1.5}, {"0.002 kHz", 2.0}, {"10 %", 7.2}}) {
        Row f;
        f.row.setOrigin(Origin::measured);
        f.row.editUncertainty();
        type(f.uncertaintyEdit(), typed);
        QTest::keyClick(&f.uncertaintyEdit(), Qt::Key_Return);
        REQUIRE(f.taken.count() == 1);
        CHECK(f.taken[0][0].toDouble() == Approx(si));
        CHECK_FALSE(f.uncertaintyEdit().isVisible());
    }
}

TEST_CASE("An uncertainty that cannot be read stays and is marked, Escape forgets it, emptied it is cleared")
{
    Row f;
    f.row.setUncertaintySi(1.5);
    f.row.editUncertainty();
    type(f.uncertaintyEdit(), "much");
    QTest::keyClick(&f.uncertaintyEdit(), Qt::Key_Return);
    CHECK(f.uncertaintyEdit().isVisible());
    CHECK(isNotTaken(&f.uncertaintyEdit()));
    QTest::keyClick(&f.uncertaintyEdit(), Qt::Key_Escape);
    CHECK_FALSE(f.uncertaintyEdit().isVisible());
    f.row.editUncertainty();
    type(f.uncertaintyEdit(), "");
    QTest::keyClick(&f.uncertaintyEdit(), Qt::Key_Return);
    CHECK(f.taken.count() == 0);
    CHECK(f.uncertaintyCleared.count() == 1);
}

TEST_CASE("A field with a default offers to reset to it")
{
    Row f;
    QSignalSpy reset(&f.row, &FieldRow::resetWanted);
    CHECK(f.row.box()->actions().isEmpty());
    f.row.setDefaultSi(80);
    REQUIRE(f.row.box()->actions().size() == 1);
    f.row.box()->actions()[0]->trigger();
    CHECK(reset.count() == 1);
}

TEST_CASE("A label's tip says meaning, unit and range, and follows the unit system")
{
    Bench bench;
    auto& row = bench.put(new FieldRow("Length", Dimension::length));
    row.box()->setRangeSi(0, 0.254);
    row.setMeaning("length of the tube");
    const auto tip = [&row] { return row.box()->accessibleDescription(); };
    CHECK(tip() == "length of the tube\nin mm; 0 to 254\u00A0mm");
    row.setUnitSystem(UnitSystem::us);
    CHECK(tip() == "length of the tube\nin in; 0 to 10\u00A0in");
}

TEST_CASE("A missing value has the Missing mark, and its name says so")
{
    Row f;
    f.row.setMissing(true);
    CHECK(f.row.box()->accessibleName() == "fs, missing");
    f.row.setMissing(false);
    CHECK(f.row.box()->accessibleName() == "fs");
}

TEST_CASE("Derived values are text with a unit of their own size, and a dash where there is none")
{
    Bench bench;
    auto& row = bench.put(new ValueRow("Tube rings at"));
    row.setValueSi(1020, Dimension::frequency);
    CHECK(row.number() == local("1.02"));
    CHECK(row.unit() == "kHz");
    row.setValueSi({}, Dimension::frequency);
    CHECK(row.number() == "\u2013");
}
