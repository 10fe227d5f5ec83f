// SPDX-License-Identifier: GPL-3.0-or-later
// Find a port: wishes, the ranking as table and picture, a port found as a housing of its own.
#include "app/desktop/components/field_row.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/search/search_form.h"
#include "app/desktop/search/search_page.h"
#include "plots/chart/scatter_view.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QFile>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QTest>

using namespace portwright;

namespace {

struct SearchBench : Bench {
    SearchBench()
    {
        const std::string ported = document().project().housings.at(1).id;
        window->workbench().choose(ported);
        window->centre()->showPage(CentrePage::findPage);
        page().wishes().tuningFrom = 60;  // few candidates are enough here
        page().wishes().tuningTo = 75;
        page().wishes().shapes = SearchWishes::Shapes::tubes;
        page().wishes().mostTubes = 1;
        settle();
    }
    SearchPage& page() { return *window->centre()->search(); }
    void search()
    {
        page().searchButton()->click();
        REQUIRE(QTest::qWaitFor([&] { return !page().task().running(); }, 60000));
        settle();
    }
};

}  // namespace

TEST_CASE("a search fills table and picture with the same ports, pointed at and chosen together")
{
    SearchBench bench;
    CHECK(bench.page().isVisible());
    CHECK_FALSE(bench.page().result());
    bench.search();
    const SearchResult* found = bench.page().result();
    REQUIRE(found);
    REQUIRE(found->ranked.size() > 1);
    REQUIRE(found->present);  // above them, not to be taken
    REQUIRE(bench.page().table()->model()->rowCount() == int(found->ranked.size()) + 1);
    REQUIRE(bench.page().scatter()->points().size() == found->ranked.size() + 1);
    CHECK(bench.page().scatter()->points()[0].standing);
    CHECK(bench.page().scatter()->points()[0].label == QStringLiteral("B"));
    CHECK(bench.page().table()->values()->text(0, 0) == QStringLiteral("B"));
    CHECK(bench.page().table()->values()->text(0, 1).startsWith(SearchPage::tr("What you have: %1").arg(QString())));
    CHECK(bench.page().table()->currentRow() == 1);
    for (std::size_t i = 0; i < found->ranked.size(); ++i) {
        const int row = int(i) + 1;
        CHECK(bench.page().scatter()->points()[i + 1].y == found->ranked[i].loudest);
        CHECK_FALSE(bench.page().scatter()->points()[i + 1].standing);
        CHECK(bench.page().table()->values()->text(row, 0) == QString::number(row));
        CHECK(bench.page().table()->values()->text(row, 1) == localSentence(found->ranked[i].words));
    }
    QTest::keyClick(bench.page().scatter(), Qt::Key_Down);
    CHECK(bench.page().table()->currentRow() == bench.page().scatter()->current());
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(0, 0));
    CHECK(bench.page().scatter()->current() == 0);
    CHECK(bench.page().scatter()->accessibleDescription().contains(localSentence(found->present->words)));
    CHECK_FALSE(bench.page().takeButton()->isEnabled());
    emit bench.page().table()->entered(bench.page().table()->model()->index(1, 0));
    CHECK(bench.page().scatter()->hovered() == 1);
    CHECK(bench.page().leftOut()->count() == int(found->rejected.size()));
    REQUIRE(found->pastTravel > 0);  // 14 V without a high-pass
    CHECK(bench.page().state()->text().endsWith(
        SearchPage::tr(" The cone passes its travel at this feed: high-pass it first.")));
}

TEST_CASE("from Ctrl+F to a port in a new housing no mouse is needed")
{
    SearchBench bench;
    (void)QTest::qWaitForWindowActive(bench.window.get());
    bench.window->centre()->showPage(CentrePage::chartsPage);
    bench.window->centre()->showPage(CentrePage::findPage);
    CHECK(bench.page().searchButton()->hasFocus());
    QTest::keyClick(bench.page().searchButton(), Qt::Key_Return);
    REQUIRE(QTest::qWaitFor([&] { return !bench.page().task().running(); }, 60000));
    bench.settle();
    REQUIRE(bench.page().table()->hasFocus());
    QTest::keyClick(bench.page().table(), Qt::Key_Return);
    bench.settle();
    CHECK(bench.window->workbench().chosenLetter() == QStringLiteral("C"));
    // From a field, too, and the ranking that stands is gone to at once.
    QuantityBox* least = bench.page().form()->row(SearchForm::tr("At least"))->box();
    least->setFocus();
    QTest::keyClick(least, Qt::Key_Return, Qt::ControlModifier);
    CHECK(bench.page().task().running());
    QTest::keyClick(least, Qt::Key_Escape);
    CHECK_FALSE(bench.page().task().running());
    bench.window->centre()->showPage(CentrePage::chartsPage);
    bench.window->workbench().choose(bench.document().project().housings.at(1).id);
    bench.window->centre()->showPage(CentrePage::findPage);
    CHECK(bench.page().table()->hasFocus());
}

TEST_CASE("what the housing has is not taken, and says so")
{
    SearchBench bench;
    bench.search();
    const auto before = bench.document().project();
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(0, 0));
    QTest::keyClick(bench.page().table(), Qt::Key_Return);
    bench.settle();
    CHECK(bench.document().project() == before);
    CHECK(bench.page().state()->text().contains(QStringLiteral("already")));
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(1, 0));
    CHECK(bench.page().takeButton()->isEnabled());
}

TEST_CASE("Return puts the chosen port into a new housing, one undo step, and the ranking stays")
{
    SearchBench bench;
    bench.search();
    REQUIRE(bench.page().result());
    const FoundPort first = bench.page().result()->ranked.at(0);
    const auto before = bench.document().project();
    bench.page().table()->setFocus();
    QTest::keyClick(bench.page().table(), Qt::Key_Return);
    bench.settle();
    const Project& now = bench.document().project();
    REQUIRE(now.housings.size() == before.housings.size() + 1);
    CHECK(bench.document().history().count() == 1);
    const HousingResult* added = bench.window->workbench().computation().find(now.housings.back().id);
    REQUIRE(added);
    REQUIRE(added->computed);
    CHECK(*added->computed->summary.fb == Approx(first.tuning).epsilon(1e-3));  // saved with three decimals of a litre
    CHECK(bench.page().result());
    CHECK(bench.page().state()->text().contains(QStringLiteral("housing C")));
    CHECK(bench.window->workbench().chosenLetter() == QStringLiteral("C"));  // Ctrl+K makes its parts
    QTest::keyClick(bench.page().table(), Qt::Key_Down);
    QTest::keyClick(bench.page().table(), Qt::Key_Return);  // a second one from the same ranking
    bench.settle();
    CHECK(bench.window->workbench().chosenLetter() == QStringLiteral("D"));
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.window->workbench().chosenLetter() == QStringLiteral("B"));
    CHECK(bench.page().result());
    bench.document().history().undo();
    CHECK(bench.document().project() == before);
}

TEST_CASE("a port found for a measured cavity leaves it measured, with the net volume that was found")
{
    SearchBench bench;
    bench.document().edit("measured", [](Project& p) {
        Measurement shell;
        shell.method = StatedVolume{5.6e-3, 0.1e-3};
        Deduction port;
        port.kind = DeductionKind::port;
        Cavity& cavity = p.housings.at(1).cavity;
        cavity.netVolume = 0, cavity.netUncertainty.reset();
        cavity.measurements = {shell}, cavity.deductions = {port};
    });
    bench.settle();
    bench.search();
    REQUIRE(bench.page().result());
    const FoundPort first = bench.page().result()->ranked.at(0);
    bench.page().takeCurrent();
    bench.settle();
    const Housing& added = bench.document().project().housings.back();
    CHECK(added.cavity.netVolume == 0);
    CHECK(added.cavity.measurements == bench.document().project().housings.at(1).cavity.measurements);
    const HousingResult* result = bench.window->workbench().computation().find(added.id);
    REQUIRE(result);
    REQUIRE(result->computed);
    CHECK(result->computed->model.housing.cavity.netVolume == Approx(first.netVolume).epsilon(1e-9));
}

TEST_CASE("bends, wall and run that are allowed unless said otherwise are those of the port there is")
{
    SearchBench bench;
    const auto spaceNow = [&] {
        const Model& model = bench.window->workbench().chosenResult()->computed->model;
        return requestOf(bench.page().wishes(), model, openingToReplace(model.housing)).space;
    };
    CHECK(spaceNow().mostBends == 1);
    CHECK(spaceNow().wall == 0);
    bench.document().edit("bent", [](Project& p) {
        auto& port = std::get<PortOpening>(p.housings.at(1).openings.at(1).kind);
        port.classical = false;
        port.length = 0.3, port.inside = 0.29;
        port.bends.assign(2, Bend{pi / 2, 0.06, {}});
    });
    bench.settle();
    CHECK(spaceNow().mostBends == 2);
    CHECK(spaceNow().wall == Approx(0.01));
    bench.page().wishes().mostBends = 0;
    bench.document().edit("wall", [](Project& p) { p.housings.at(1).cavity.roomForPort.emplace().wall = 0.004; });
    bench.settle();
    CHECK(spaceNow().mostBends == 0);
    CHECK(spaceNow().wall == 0.004);
}

TEST_CASE("what the cavity allows is typed once: the job keeps it, a port found takes it along, undo takes it back")
{
    SearchBench bench;
    FieldRow* run = bench.page().form()->row(SearchForm::tr("Straight run"));
    REQUIRE(run);
    emit run->box()->committed(0.11);
    bench.settle();
    const auto roomOf = [&](std::size_t housing) {
        return bench.document().project().housings.at(housing).cavity.roomForPort;
    };
    REQUIRE(roomOf(1));
    CHECK(*roomOf(1)->straight == Approx(0.11));
    CHECK_FALSE(roomOf(0));
    bench.search();
    REQUIRE(bench.page().result());
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(1, 0));
    bench.page().takeCurrent();
    bench.settle();
    const auto& housings = bench.document().project().housings;
    REQUIRE(housings.size() > 2);
    CHECK(roomOf(housings.size() - 1) == roomOf(1));
    bench.document().history().undo();
    bench.document().history().undo();
    bench.settle();
    CHECK_FALSE(roomOf(1));
}

TEST_CASE("the page says which housing it is about, what becomes of its port, and that its sizes are assumed")
{
    SearchBench bench;
    const auto said = [&](const QString& words) {
        for (const QLabel* label : bench.page().findChildren<QLabel*>())
            if (label->isVisible() && label->text().contains(words)) return true;
        return false;
    };
    CHECK(said(QString::fromStdString(bench.document().project().housings.at(1).name)));
    CHECK(said(SearchPage::tr("Its port is the one replaced.")));
    CHECK(said(SearchPage::tr("a compact box is taken")));
    bench.document().edit("sizes", [](Project& p) {
        p.housings.at(1).cavity.width = 0.15;
        p.housings.at(1).cavity.breadth = 0.15;
    });
    bench.settle();
    CHECK_FALSE(said(SearchPage::tr("a compact box is taken")));
    bench.window->workbench().choose(bench.document().project().housings.at(0).id);
    bench.settle();
    CHECK(said(SearchPage::tr("It has no port yet.")));
}

TEST_CASE("wishes become the request: shared walls, the limit of port air, the first aim")
{
    SearchBench bench;
    const Model& model = bench.window->workbench().chosenResult()->computed->model;
    SearchWishes wishes;
    const auto asked = [&] { return requestOf(wishes, model, openingToReplace(model.housing)); };
    CHECK(asked().sharedWalls == std::vector<int>{0});
    CHECK_FALSE(asked().portAir);  // the job's
    CHECK_FALSE(asked().airByFlares);
    wishes.sharedWalls = SearchWishes::SharedWalls::any;
    CHECK(asked().sharedWalls == std::vector<int>{0, 1, 2, 3});
    wishes.sharedWalls = SearchWishes::SharedWalls::three;
    CHECK(asked().sharedWalls == std::vector<int>{3});
    wishes.sharedWalls = SearchWishes::SharedWalls::one;
    CHECK(asked().sharedWalls == std::vector<int>{1});
    wishes.airByFlares = true;
    CHECK(asked().airByFlares);
    wishes.aim = Aim::flattest;
    REQUIRE(asked().aims.size() == SearchRequest{}.aims.size() + 1);
    CHECK(asked().aims.front() == Aim::flattest);
}

TEST_CASE("what was found goes when housing or wishes are others, and comes back with them")
{
    SearchBench bench;
    bench.search();
    REQUIRE(bench.page().result());
    bench.document().edit("other", [](Project& p) { p.housings.at(1).cavity.netVolume *= 1.3; });
    bench.settle();
    CHECK_FALSE(bench.page().result());
    CHECK(bench.page().table()->model()->rowCount() == 0);
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.page().result());
    CHECK(bench.page().table()->model()->rowCount() > 0);
    FieldRow* least = bench.page().form()->row(SearchForm::tr("At least"));
    REQUIRE(least);
    emit least->box()->committed(90);
    CHECK_FALSE(bench.page().result());
}

TEST_CASE("where nothing fits, the nearest compromises stand with what would do without a port")
{
    SearchBench bench;
    bench.page().wishes().leastLevel = 150;
    bench.search();
    const SearchResult* found = bench.page().result();
    REQUIRE(found);
    CHECK(found->ranked.empty());
    CHECK(bench.page().state()->mark() == Mark::over);
    const int rows = bench.page().table()->model()->rowCount();
    CHECK(rows == 1 + int(found->compromises.size() + found->otherWays.size()));
    REQUIRE(found->otherWays.size() > 0);
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(rows - 1, 0));
    bench.page().takeCurrent();
    bench.settle();
    CHECK(bench.document().project().housings.size() == 3);
    CHECK(bench.window->workbench().computation().find(bench.document().project().housings.back().id)->computed);
}

TEST_CASE("a search can be stopped, and one that runs is not stopped by looking elsewhere")
{
    SearchBench bench;
    bench.page().wishes() = {};
    bench.page().wishes().mostTubes = 16;
    bench.page().searchButton()->click();
    REQUIRE(bench.page().task().running());
    bench.page().task().cancel();
    CHECK_FALSE(bench.page().task().running());
    CHECK_FALSE(bench.page().result());
    CHECK(bench.page().state()->text().contains(QStringLiteral("Stopped")));
    bench.page().wishes() = {};
    bench.page().searchButton()->click();
    bench.window->centre()->showPage(CentrePage::chartsPage);
    REQUIRE(QTest::qWaitFor([&] { return !bench.page().task().running(); }, 60000));
    CHECK(bench.page().result());
}

TEST_CASE("a stock list of the user's own is read, and a faulty one says where")
{
    SearchBench bench;
    const auto write = [&](const char* name, const char* text) {
        QFile file(bench.file(name));
        REQUIRE(file.open(QIODevice::WriteOnly));
        file.write(text);
    };
    write("good.csv", "kind,name,diameter_mm,wall_mm\ntube,hose of the shed,47,2\n");
    write("bad.csv", "kind,name,diameter_mm,wall_mm\ntube,hose of the shed,wide,2\n");
    bench.page().form()->readList(bench.file("bad.csv"));
    CHECK(bench.page().state()->text().contains(QStringLiteral("line 2")));
    CHECK(bench.page().wishes().list == SearchWishes::List::metric);
    bench.page().form()->readList(bench.file("good.csv"));
    REQUIRE(bench.page().wishes().list == SearchWishes::List::own);
    bench.search();
    REQUIRE(bench.page().result());
    for (const FoundPort& port : bench.page().result()->ranked)
        CHECK(port.material == "hose of the shed");
}

TEST_CASE("what the page that finds a port shows has its place in the help")
{
    SearchBench bench;
    bench.search();
    for (QWidget* widget : bench.page().findChildren<QWidget*>()) {
        const QString topic = widget->property("helpTopic").toString();
        if (topic.isEmpty()) continue;
        QFile page(":/help/" + topic.section('#', 0, 0) + ".html");
        INFO(topic.toStdString());
        REQUIRE(page.open(QIODevice::ReadOnly));
        if (topic.contains('#'))
            CHECK(QString::fromUtf8(page.readAll()).contains("name=\"" + topic.section('#', 1) + "\""));
    }
}

TEST_CASE("what was found is told in the units that are shown, and what the present port lacks is told of it")
{
    SearchBench bench;
    FieldRow* run = bench.page().form()->row(SearchForm::tr("Straight run"));
    REQUIRE(run);
    emit run->box()->committed(0.11);  // for which the present 130 mm are too much
    bench.settle();
    bench.search();
    REQUIRE(bench.page().result());
    REQUIRE(bench.page().result()->present);
    REQUIRE_FALSE(bench.page().result()->present->reasons.empty());
    bench.page().table()->setCurrentIndex(bench.page().table()->model()->index(0, 0));
    const auto details = [&](const QString& words) {
        for (const QLabel* label : bench.page().findChildren<QLabel*>())
            if (label->isVisible() && label->text().contains(words)) return true;
        return false;
    };
    CHECK(details(QStringLiteral("is the longest that fits what is asked for")));
    const std::string metric = bench.page().result()->ranked.at(0).words;
    bench.window->workbench().setUnits(UnitSystem::us);
    REQUIRE(QTest::qWaitFor([&] { return !bench.page().task().running(); }, 60000));
    bench.settle();
    REQUIRE(bench.page().result());
    const std::string inches = bench.page().result()->ranked.at(0).words;
    CHECK(inches != metric);
    CHECK(inches.find("\u00A0in") != std::string::npos);
    CHECK(bench.page().table()->values()->text(1, 1) == localSentence(inches));
    CHECK_FALSE(details(QStringLiteral("\u00A0L net")));
    bench.window->workbench().setUnits(UnitSystem::metric);
    REQUIRE(QTest::qWaitFor([&] { return !bench.page().task().running(); }, 60000));
    CHECK(bench.page().result()->ranked.at(0).words == metric);
}
