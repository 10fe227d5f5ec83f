// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/verdict_list.h"

#include "tests/app/components/bench.h"

#include <QPushButton>

using namespace portwright;
using namespace portwright::test;

namespace {

QList<VerdictLine> five()
{
    return {{Mark::over, "below 67 Hz the cone passes its 4.0 mm.", "High-pass at 63 Hz", "given limit"},
            {Mark::over, "port air reaches 24.7 m/s.", "68 mm bore", "common practice, no source"},
            {Mark::near, "the amplifier.", {}, {}},
            {Mark::note, "the air spring.", {}, {}},
            {Mark::holds, "power.", {}, {}}};
}

QPushButton* button(VerdictList& list, const QString& words)
{
    for (QPushButton* button : list.findChildren<QPushButton*>())
        if (button->isVisible() && button->text() == words) return button;
    return nullptr;
}

int linesShown(VerdictList& list)
{
    int count = 0;
    for (StateLine* line : list.findChildren<StateLine*>())
        count += line->isVisible();
    return count;
}

}  // namespace

TEST_CASE("Three verdicts are shown, the rest unfolds")
{
    Bench bench;
    auto& list = bench.put(new VerdictList);
    list.setVerdicts(five());
    QApplication::processEvents();
    CHECK(linesShown(list) == 3);
    QPushButton* more = button(list, "and 2 more");
    REQUIRE(more);
    more->click();
    QApplication::processEvents();
    CHECK(linesShown(list) == 5);
    REQUIRE(button(list, "show fewer"));
    button(list, "show fewer")->click();
    QApplication::processEvents();
    CHECK(linesShown(list) == 3);
    list.setVerdicts(five().mid(0, 3));
    QApplication::processEvents();
    CHECK_FALSE(button(list, "and 0 more"));
    CHECK(linesShown(list) == 3);
}

TEST_CASE("The button of a verdict asks to apply that one")
{
    Bench bench;
    auto& list = bench.put(new VerdictList);
    list.setVerdicts(five());
    QApplication::processEvents();
    QSignalSpy apply(&list, &VerdictList::applyWanted), clicked(&list, &VerdictList::verdictClicked);
    REQUIRE(button(list, "68 mm bore"));
    button(list, "68 mm bore")->click();
    REQUIRE(apply.count() == 1);
    CHECK(apply[0][0].toInt() == 1);
    CHECK(clicked.count() == 0);
    QTest::mouseClick(list.findChildren<StateLine*>()[2], Qt::LeftButton);
    REQUIRE(clicked.count() == 1);
    CHECK(clicked[0][0].toInt() == 2);
}

TEST_CASE("A list may be replaced from within the click that applies")
{
    Bench bench;
    auto& list = bench.put(new VerdictList);
    list.setVerdicts(five());
    QApplication::processEvents();
    QObject::connect(&list, &VerdictList::applyWanted, &list, [&list] { list.setVerdicts(five().mid(3)); });
    button(list, "68 mm bore")->click();
    QApplication::processEvents();
    CHECK(linesShown(list) == 2);
}

TEST_CASE("A sentence wraps: narrower is higher, and its name holds mark and words")
{
    StateLine line;
    line.setState(Mark::over,
                  "below 67 Hz the cone passes its 4.0 mm at 14.1 V: high-pass at 63 Hz, 24 dB per octave.");
    CHECK(line.heightForWidth(150) > line.heightForWidth(600));
    CHECK(line.accessibleName().startsWith("Over: below 67 Hz"));
}
