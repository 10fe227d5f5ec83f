// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/empty_state.h"
#include "app/desktop/components/hint_slip.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/segment_switch.h"
#include "tests/app/components/bench.h"

#include <QAbstractButton>
#include <QPushButton>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("A hint is a child of the window, points at its target and stays inside")
{
    Bench bench;
    bench.resize(700, 500);
    auto& target = bench.put(new QLineEdit);
    HintSlip slip(&bench);
    slip.setHint("One line, all pictures", "Move over any chart: figures, cuts and the ledger follow.", 1, 3);
    slip.pointAt(&target);
    CHECK_FALSE(slip.isWindow());
    CHECK(bench.rect().contains(slip.geometry()));
    const QRect there(target.mapTo(&bench, QPoint()), target.size());
    CHECK(slip.tip().x() >= there.left());
    CHECK(slip.tip().x() <= there.right());
    CHECK_FALSE(slip.geometry().intersects(there.adjusted(0, 0, 0, -2)));
    bench.resize(500, 400);
    QApplication::processEvents();
    CHECK(bench.rect().contains(slip.geometry()));
    CHECK(slip.isVisible());
    target.hide();  // another page came: the slip would lie over that
    CHECK_FALSE(slip.isVisible());
}

TEST_CASE("Got it takes one hint away, Escape and x all of them")
{
    Bench bench;
    auto& target = bench.put(new QLineEdit);
    HintSlip slip(&bench);
    QSignalSpy got(&slip, &HintSlip::gotIt), dismissed(&slip, &HintSlip::dismissed);
    slip.setHint("A", "B", 1, 3);
    slip.pointAt(&target);
    auto* button = slip.findChild<QPushButton*>();
    CHECK(button->hasFocus());
    QTest::keyClick(button, Qt::Key_Space);
    CHECK(got.count() == 1);
    QTest::keyClick(button, Qt::Key_Escape);
    CHECK(dismissed.count() == 1);
}

TEST_CASE("A question bar answers with the place of the verb and may be asked again")
{
    Bench bench;
    auto& bar = bench.put(new QuestionBar);
    QSignalSpy answered(&bar, &QuestionBar::answered);
    bar.ask("The file was changed outside.", {"Reload", "Keep Mine"});
    bar.ask("Unsaved work was found.", {"Restore", "Save Elsewhere", "Discard"}, 0);
    CHECK(bar.isVisible());
    CHECK(bar.question() == "Unsaved work was found.");
    const QList<QPushButton*> buttons = bar.findChildren<QPushButton*>();
    REQUIRE(buttons.size() == 3);
    buttons[2]->click();
    REQUIRE(answered.count() == 1);
    CHECK(answered[0][0].toInt() == 2);
}

TEST_CASE("The empty state offers the first step and the sample, and ticks what is answered")
{
    Bench bench;
    auto& empty = bench.put(new EmptyState);
    QSignalSpy main(&empty, &EmptyState::mainActionWanted), sample(&empty, &EmptyState::sampleWanted);
    const QImage before = empty.grab().toImage();
    const QList<QPushButton*> buttons = empty.findChildren<QPushButton*>();
    REQUIRE(buttons.size() == 2);
    for (QPushButton* button : buttons)
        button->click();
    CHECK(main.count() == 1);
    CHECK(sample.count() == 1);
    empty.setAnswered(true, false, false);
    CHECK(empty.grab().toImage() != before);
    CHECK(empty.accessibleDescription().contains("answered"));
}

TEST_CASE("A switch says once which segment was chosen, and arrows move it")
{
    Bench bench;
    auto& view = bench.put(new SegmentSwitch("View"));
    view.setSegments({{"Charts", "charts", {}}, {"Table", "table", {}}});
    QSignalSpy chosen(&view, &SegmentSwitch::chosen);
    view.setCurrent(1);
    CHECK(chosen.count() == 0);
    CHECK(view.current() == 1);
    QTest::mouseClick(view.button(0), Qt::LeftButton);
    REQUIRE(chosen.count() == 1);
    CHECK(chosen[0][0].toInt() == 0);
    view.button(0)->setFocus();
    QTest::keyClick(view.button(0), Qt::Key_Right);
    CHECK(view.current() == 1);
    CHECK(chosen.count() == 2);
}
