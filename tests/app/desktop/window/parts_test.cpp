// SPDX-License-Identifier: GPL-3.0-or-later
// The window of parts: by keyboard, what is asked before files are replaced, choices that count for the port at hand.
#include "app/desktop/components/mark.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/window/parts_window.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QComboBox>
#include <QDir>
#include <QFile>
#include <QPushButton>
#include <QTest>

#include <functional>

using namespace portwright;

namespace {

struct PartsBench : Bench {
    PartsBench()
    {
        window->workbench().choose(document().project().housings.at(1).id);
        settle();
        emit window->workbench().partsWanted();
        settle();
    }
    PartsWindow& parts() { return *window->parts(); }
    void change(const std::function<void(PortOpening&)>& how)
    {
        document().edit("port", [&](Project& p) {
            for (Opening& opening : p.housings.at(1).openings)
                if (auto* port = std::get_if<PortOpening>(&opening.kind)) how(*port);
        });
        settle();
    }
    std::vector<QPushButton*> verbs() { return buttonsOf(parts().question()); }
    static std::vector<QPushButton*> buttonsOf(QWidget* of)
    {
        std::vector<QPushButton*> shown;
        for (QPushButton* button : of->findChildren<QPushButton*>())
            shown.push_back(button);
        return shown;
    }
};

}  // namespace

TEST_CASE("parts are written by keyboard alone into a folder named for the housing, and Esc closes the window")
{
    PartsBench bench;
    (void)QTest::qWaitForWindowActive(&bench.parts());
    CHECK(bench.parts().focusWidget() == bench.parts().writeButton());
    CHECK(bench.parts().folderLine()->text().contains(QStringLiteral("B")));
    bench.parts().folderLine()->setText(bench.file("made here"));
    emit bench.parts().folderLine()->textEdited(bench.file("made here"));
    QTest::keyClick(bench.parts().writeButton(), Qt::Key_Return);
    CHECK(bench.parts().state()->mark() == Mark::holds);
    CHECK(QFile::exists(bench.file("made here/parts.txt")));
    QTest::keyClick(bench.parts().writeButton(), Qt::Key_Escape);
    CHECK_FALSE(bench.parts().isVisible());
}

TEST_CASE("before files are replaced it is asked, with their names and what would stay")
{
    PartsBench bench;
    const QString folder = bench.file("parts");
    REQUIRE(bench.parts().writeInto(folder));
    QFile list(folder + "/parts.txt");
    REQUIRE(list.open(QIODevice::WriteOnly));
    list.write("mine");
    list.close();
    bench.parts().folderLine()->setText(folder);
    emit bench.parts().folderLine()->textEdited(folder);
    const auto text = [&] {
        QFile now(folder + "/parts.txt");
        (void)now.open(QIODevice::ReadOnly);
        return now.readAll();
    };
    bench.parts().write();
    REQUIRE_FALSE(bench.parts().question()->isHidden());
    CHECK(bench.parts().question()->question().contains(QStringLiteral("parts.txt")));
    CHECK(text() == "mine");
    QTest::keyClick(bench.parts().focusWidget(), Qt::Key_Escape);  // the question alone
    CHECK(bench.parts().question()->isHidden());
    CHECK(bench.parts().isVisible());
    CHECK(text() == "mine");
    bench.parts().write();
    REQUIRE(bench.verbs().size() == 3);
    bench.verbs()[2]->click();
    bench.settle();
    CHECK(text() == "mine");
    bench.parts().write();
    QTest::keyClick(bench.parts().focusWidget(), Qt::Key_Return);
    bench.settle();
    CHECK(text().contains("Cautions"));
    CHECK(bench.parts().state()->mark() == Mark::holds);
    // Another set of parts in the same folder: what it does not replace is named.
    bench.change([](PortOpening& port) {
        port.shape = PortShape::slot, port.width = 0.1, port.height = 0.03, port.sharedWalls = 1;
    });
    bench.parts().write();
    CHECK(bench.parts().question()->question().contains(QStringLiteral("printed-port")));
}

TEST_CASE("a folder that is not named or cannot be is told, and nothing is asked")
{
    PartsBench bench;
    bench.parts().folderLine()->setText({});
    emit bench.parts().folderLine()->textEdited({});
    bench.parts().write();
    CHECK(bench.parts().state()->mark() == Mark::over);
    CHECK(bench.parts().question()->isHidden());
    bench.parts().folderLine()->setText(bench.file("not/there"));
    bench.parts().write();
    CHECK(bench.parts().state()->mark() == Mark::over);
}

TEST_CASE("the printed wall is the port's own until another is chosen, and both show")
{
    PartsBench bench;
    QuantityBox* wall = bench.parts().wallBox();
    CHECK_FALSE(wall->si());
    CHECK(bench.parts().listText().contains(QStringLiteral("Wall 3")));
    bench.change([](PortOpening& port) { port.wall = 2e-3; });
    CHECK(bench.parts().listText().contains(QStringLiteral("Wall 2")));
    emit wall->committed(4e-3);
    CHECK(bench.parts().listText().contains(QStringLiteral("Wall 4")));
    emit wall->cleared();
    CHECK(bench.parts().listText().contains(QStringLiteral("Wall 2")));
}

TEST_CASE("choices that do nothing for the port at hand are not shown, and why nothing is printed is")
{
    PartsBench bench;
    CHECK(bench.parts().wallBox()->isVisible());
    bench.change([](PortOpening& port) {
        port.shape = PortShape::slot, port.width = 0.1, port.height = 0.03, port.sharedWalls = 1;
    });
    CHECK_FALSE(bench.parts().wallBox()->isVisible());
    bool told = false;
    for (StateLine* line : bench.parts().findChildren<StateLine*>())
        told = told || (line->isVisible() && line->text().contains(QStringLiteral("shares walls")));
    CHECK(told);
    bench.change([](PortOpening& port) { port.sharedWalls.reset(); });
    CHECK(bench.parts().wallBox()->isVisible());
}

TEST_CASE("two tubes side by side as a search takes them are printed on one flange, and its choices are the shop's")
{
    PartsBench bench;
    bench.change([](PortOpening& port) {
        port.shape = PortShape::round, port.diameter = 0.038, port.length = 0.148, port.count = 2;
        port.spacing = 0.047, port.wall = 2e-3, port.bends.clear();
        port.innerFlare.reset(), port.outerFlare.reset();
    });
    PartsWindow& parts = bench.parts();
    CHECK(parts.listText().contains(QStringLiteral("one flange for all tubes")));
    CHECK(parts.listText().contains(QStringLiteral("with 4 screw holes")));
    CHECK(parts.listText().contains(QStringLiteral("Job \"")));
    CHECK_FALSE(parts.listText().contains(QStringLiteral("Not made")));
    const auto pick = [&](QComboBox* box, const QString& words) {
        const int index = box->findText(words);
        REQUIRE(index >= 0);
        box->setCurrentIndex(index);
        emit box->activated(index);
    };
    CHECK(parts.screwChoice()->isVisible());
    pick(parts.screwChoice(), QStringLiteral("6"));
    CHECK(parts.listText().contains(QStringLiteral("with 6 screw holes")));
    emit parts.landBox()->committed(6e-3);
    CHECK(parts.options().land == Approx(6e-3));
    pick(parts.flangeChoice(), QStringLiteral("glued"));
    CHECK(parts.listText().contains(QStringLiteral("without screw holes")));
    CHECK_FALSE(parts.screwChoice()->isVisible());
    CHECK(parts.landBox()->isVisible());
    pick(parts.flangeChoice(), QStringLiteral("none"));
    CHECK(parts.listText().contains(QStringLiteral("No flange")));
    CHECK_FALSE(parts.landBox()->isVisible());
    pick(parts.flangeChoice(), QStringLiteral("screwed"));
    CHECK(parts.listText().contains(QStringLiteral("with 6 screw holes")));
    // Where the usual wall has no room, the thinner one that has can still be typed, and where to set the spacing is
    // told.
    bench.change([](PortOpening& port) { port.spacing = 0.0425, port.wall.reset(); });
    CHECK(parts.listText().contains(QStringLiteral("Opening, Place, Spacing")));
    REQUIRE(parts.wallBox()->isVisible());
    emit parts.wallBox()->committed(1.2e-3);
    CHECK(parts.listText().contains(QStringLiteral("one flange for all tubes")));
}
