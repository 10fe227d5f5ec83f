// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/path_strip.h"

#include "tests/app/components/bench.h"

using namespace portwright;
using namespace portwright::test;

namespace {

std::array<StationState, stationCount> job()
{
    return {{{"Radio", "not in the chain", Mark::absent, {}, {}},
             {"Amplifier", "14.1 V", Mark::near, {}, {}},
             {"Driver", "Re missing", Mark::missing, {}, {}},
             {"Cavity", "A 1.6 L", Mark::fine, {}, {}},
             {"Opening", "B air past 17 m/s", Mark::over, "Make the port wider.", "B past 17 m/s"},
             {"Rider", "0.8 m, half space", Mark::fine, {}, {}}}};
}

struct Strip {
    Bench bench;
    PathStrip& strip = bench.put(new PathStrip);
    QSignalSpy chosen{&strip, &PathStrip::stationChosen}, marked{&strip, &PathStrip::markClicked};
    Strip()
    {
        bench.resize(1280, 200);
        QApplication::processEvents();
        strip.setStations(job());
    }
};

}  // namespace

TEST_CASE("A station's accessible name says how it stands and what it is")
{
    Strip f;
    const QStringList wanted{"Radio: not in the chain",          "Amplifier, near: 14.1 V",
                             "Driver, missing: Re missing",      "Cavity: A 1.6 L",
                             "Opening, over: B air past 17 m/s", "Rider: 0.8 m, half space"};
    for (int i = 0; i < stationCount; ++i)
        CHECK(f.strip.button(i)->accessibleName() == wanted[i]);
}

TEST_CASE("A click chooses a station; telling the strip which is chosen says nothing")
{
    Strip f;
    f.strip.setChosen(4);
    CHECK(f.chosen.count() == 0);
    CHECK(f.strip.button(4)->isChecked());
    QTest::mouseClick(f.strip.button(1), Qt::LeftButton);
    REQUIRE(f.chosen.count() == 1);
    CHECK(f.chosen[0][0].toInt() == 1);
    CHECK(f.strip.chosen() == 1);
    CHECK_FALSE(f.strip.button(4)->isChecked());
}

TEST_CASE("Arrow keys walk along the way of the sound and stop at its ends")
{
    Strip f;
    f.strip.setChosen(4);
    f.strip.button(4)->setFocus();
    for (int i = 0; i < 3; ++i)
        QTest::keyClick(QApplication::focusWidget(), Qt::Key_Right);
    CHECK(f.strip.chosen() == 5);
    CHECK(f.chosen.count() == 1);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Left);
    CHECK(f.strip.chosen() == 4);
    CHECK(f.strip.button(4)->hasFocus());
}

TEST_CASE("A click on a node, and Ctrl+Return on its station, ask for the value at fault")
{
    Strip f;
    const QRect opening = f.strip.button(4)->geometry();
    const int icon = opening.left() + opening.height() / 2 + (f.strip.height() - 62) / 8;
    QTest::mouseClick(&f.strip, Qt::LeftButton, {},
                      QPoint(icon, opening.bottom() + (f.strip.height() - opening.bottom()) / 3));
    REQUIRE(f.marked.count() == 1);
    CHECK(f.marked[0][0].toInt() == 4);
    CHECK(f.chosen.count() == 0);
    QTest::keyClick(f.strip.button(2), Qt::Key_Return, Qt::ControlModifier);
    REQUIRE(f.marked.count() == 2);
    CHECK(f.marked[1][0].toInt() == 2);
    QTest::mouseClick(&f.strip, Qt::LeftButton, {}, QPoint(f.strip.width() - 3, f.strip.height() - 3));
    CHECK(f.marked.count() == 2);  // past the last node
}

TEST_CASE("What is wrong with a station is never cut: it gets shorter, and the tip has it whole")
{
    Strip f;
    CHECK(f.strip.shownFigure(4) == "B air past 17 m/s");
    const QFont former = QApplication::font();
    QFont large = former;
    if (large.pixelSize() > 0)
        large.setPixelSize(large.pixelSize() * 3 / 2);
    else
        large.setPointSizeF(large.pointSizeF() * 1.5);
    QApplication::setFont(large);
    QApplication::processEvents();
    CHECK(f.strip.shownFigure(4) == "B past 17 m/s");
    f.bench.resize(1120, 200);
    QApplication::processEvents();
    CHECK(f.strip.shownFigure(4) == "B past 17 m/s");
    CHECK(f.strip.shownFigure(5).endsWith(QChar(0x2026)));  // what is fine may be cut
    f.strip.setFixedWidth(760);
    QApplication::processEvents();
    CHECK(f.strip.shownFigure(4) == markWord(Mark::over));  // no half limit: the state, and the rest in the tip
    for (const char* words : {"B air past 17 m/s", "Make the port wider."})
        CHECK(f.strip.button(4)->toolTip().contains(words));
    QApplication::setFont(former);
}

TEST_CASE("Each state of a station is drawn differently")
{
    Strip f;
    QList<QImage> seen;
    for (const Mark mark :
         {Mark::fine, Mark::holds, Mark::near, Mark::over, Mark::cannot, Mark::missing, Mark::note, Mark::absent}) {
        auto states = job();
        for (StationState& state : states)
            state.mark = Mark::fine;
        states[1].mark = mark;
        f.strip.setStations(states);
        const QImage picture = f.strip.grab().toImage();
        for (const QImage& other : seen)
            CHECK(picture != other);
        seen << picture;
    }
}
