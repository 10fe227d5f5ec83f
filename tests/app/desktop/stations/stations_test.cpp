// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/help_window.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QFile>
#include <QLabel>
#include <QListWidget>
#include <QMenu>
#include <QTest>
#include <QTextBrowser>

using namespace portwright;

TEST_CASE("a station speaks of the chosen housing by its letter, and its tip of one that fares worse")
{
    Bench bench;  // A sealed, B ported
    Workbench& workbench = bench.window->workbench();
    const Project project = bench.document().project();
    const auto at = [&](Station station) { return stationsOf(workbench)[std::size_t(station)].state; };
    bench.document().edit("Feed", [](Project& p) { p.feed->voltage = 40; });  // the port's air is past its limit
    bench.settle();
    workbench.choose(project.housings.at(1).id);
    CHECK(at(Station::opening).mark == Mark::over);
    CHECK(at(Station::opening).keyFigure.startsWith("B "));
    const QString fault = at(Station::opening).keyFigure;
    CHECK(at(Station::cavity).keyFigure.startsWith(QStringLiteral("B\u00A0")));
    workbench.choose(project.housings.at(0).id);
    CHECK(at(Station::opening).mark == Mark::fine);
    CHECK(at(Station::opening).keyFigure.startsWith(QStringLiteral("A\u00A0closed")));
    CHECK(at(Station::opening).tip.contains(fault));
    CHECK(at(Station::cavity).keyFigure.startsWith(QStringLiteral("A\u00A0")));
    workbench.choose(project.housings.at(1).id);
    CHECK_FALSE(at(Station::opening).tip.contains("Another housing"));
}

TEST_CASE("a station past a limit is over, and a missing value is named")
{
    Bench bench(true, "everything-wrong");
    bool over = false;
    for (const StationAt& at : stationsOf(bench.window->workbench()))
        over = over || at.state.mark == Mark::over;
    CHECK(over);
    bench.document().edit("Re", [](Project& p) {
        for (DriverSheet& driver : p.drivers)
            driver.Re.reset();
    });
    const auto states = stationsOf(bench.window->workbench());
    CHECK(states[std::size_t(Station::driver)].state.mark == Mark::missing);
    CHECK(states[std::size_t(Station::driver)].state.keyFigure == "Re missing");
}

TEST_CASE("a load under the amplifier's is told in ohms, as one letter")
{
    Bench bench(true, "everything-wrong");
    bench.document().edit("Feed", [](Project& p) { p.feed->voltage = 1; });  // the load is the worst that is left
    const auto states = stationsOf(bench.window->workbench());
    const QString figure = states[std::size_t(Station::amplifier)].state.keyFigure;
    CHECK(figure.contains("load under"));
    CHECK(figure.endsWith(QChar(0x03A9)));
    CHECK_FALSE(figure.contains(QChar(0x00CE)));
}

TEST_CASE("an empty project asks its three questions and marks what is missing")
{
    Bench bench(false);
    CHECK(bench.window->centre()->emptyState()->isVisible());
    const auto states = stationsOf(bench.window->workbench());
    CHECK(states[std::size_t(Station::driver)].state.mark == Mark::missing);
    CHECK(states[std::size_t(Station::cavity)].state.mark == Mark::missing);
    for (int station = 0; station < stationCount; ++station)
        bench.window->showStation(station);
    bench.settle();
}

TEST_CASE("the whole task from an empty project: a driver, a housing, and the charts draw themselves")
{
    Bench bench(false);
    const std::pair<const char*, double> values[] = {{"fs_hz", 72},     {"qes", 0.62},   {"qms", 5.1},
                                                     {"vas_l", 9.8e-3}, {"re_ohm", 3.3}, {"sd_cm2", 132e-4}};
    for (const auto& [key, si] : values) {
        FieldRow* row = bench.row(Station::driver, (std::string("driver/") + key).c_str());
        REQUIRE(row);
        emit row->box()->committed(si);
        bench.settle();
    }
    CHECK(bench.document().project().drivers.size() == 1);
    emit bench.window->cards()->newCard()->added(
        {.kind = NewHousing::Kind::sealed, .netVolume = 1.6e-3, .tuning = 0, .leakQ = 10});
    bench.settle();
    CHECK_FALSE(bench.window->centre()->emptyState()->isVisible());
    CHECK(bench.window->centre()->charts()->chart(ChartsPage::level)->curves().size() == 1);
    CHECK(bench.document().history().count() == 7);
    while (bench.document().history().canUndo())
        bench.document().history().undo();
    bench.settle();
    CHECK(bench.document().project() == Project{});
    CHECK(bench.window->centre()->emptyState()->isVisible());
}

TEST_CASE("every cause of the ledger leads to a field that exists")
{
    Bench bench;
    for (const char* name : {"lower-fairing", "fairing-two-coaxials"}) {
        bench.window->files().startNew(sample(name));
        bench.settle();
        for (int cause : {int(Cause::airSpring), int(Cause::inductance), int(Cause::sourceAndSeries),
                          int(Cause::highPass), int(Cause::space), int(Cause::distance)}) {
            const auto [station, field] = placeOf(Cause(cause), *bench.window->workbench().chosenResult()->computed);
            bench.window->showStation(int(station));
            INFO(field.toStdString());
            CHECK(bench.window->editor(station)->jumpTo(field));
        }
    }
}

TEST_CASE("every help topic of a field has its place on a page")
{
    Bench bench;
    for (int station = 0; station < stationCount; ++station) {
        bench.window->showStation(station);
        bench.settle();
        for (QWidget* widget : bench.window->editor(Station(station))->form()->findChildren<QWidget*>()) {
            const QString topic = widget->property("helpTopic").toString();
            if (topic.isEmpty()) continue;
            emit bench.window->workbench().helpWanted(topic.section('#', 0, 0));
            QFile page(":/help/" + topic.section('#', 0, 0) + ".html");
            INFO(topic.toStdString());
            REQUIRE(page.open(QIODevice::ReadOnly));
            if (topic.contains('#'))
                CHECK(QString::fromUtf8(page.readAll()).contains("name=\"" + topic.section('#', 1) + "\""));
        }
    }
    REQUIRE(bench.window->help());
    CHECK(bench.window->help()->browser()->toPlainText().size() > 100);
}

TEST_CASE("Esc closes the help, wherever in it the last click was")
{
    Bench bench;
    emit bench.window->workbench().helpWanted(QStringLiteral("opening#length_mm"));
    HelpWindow* help = bench.window->help();
    REQUIRE(help);
    QApplication::setActiveWindow(help);
    QTest::mouseClick(help->browser()->viewport(), Qt::LeftButton, {}, {40, 40});
    QTest::keyClick(help->browser(), Qt::Key_Escape);
    CHECK_FALSE(help->isVisible());
    help->show();
    QApplication::setActiveWindow(help);
    auto* list = help->findChild<QListWidget*>();
    list->setFocus();
    QTest::keyClick(list, Qt::Key_Escape);
    CHECK_FALSE(help->isVisible());
}

TEST_CASE("a second cavity, openings of every kind and every feed can be added and taken back")
{
    Bench bench;
    const Project before = bench.document().project();
    bench.document().edit("all", [](Project& p) {
        Housing& h = p.housings.at(0);
        h.secondCavity.emplace();
        h.secondCavity->cavity.netVolume = 2e-3;
        h.secondCavity->hole.diameter = 0.05;
        h.secondCavity->hole.depth = 0.003;
        h.openings.push_back({.kind = LeakHole{0.003, 0.003, 2}, .cavity = CavityId::second, .unknown = {}});
        h.openings.push_back({.kind = LeakSlit{0.1, 0.0005, 0.005}, .cavity = {}, .unknown = {}});
        h.openings.push_back({.kind = PassiveRadiator{0.013, 0.04, 1e-3, 1}, .cavity = {}, .unknown = {}});
        h.feed = Feed{};
        h.feed->seriesParts.push_back({SeriesCapacitor{2e-4}, {}});
        h.feed->seriesParts.push_back({SeriesCoil{5e-4, 0.2}, {}});
        h.feed->highPass = HighPass{4, 80, {}};
    });
    for (int station = 0; station < stationCount; ++station) {
        bench.window->showStation(station);
        bench.settle();
    }
    CHECK(bench.row(Station::opening, "openings/0/q"));
    CHECK(bench.row(Station::cavity, "second_cavity/hole/depth_mm"));
    CHECK(bench.row(Station::radio, "feed/high_pass/corner_hz"));
    CHECK(bench.row(Station::amplifier, "feed/series_parts/1/ohm"));
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.document().project() == before);
}

TEST_CASE("Return in the wanted tuning puts its length in, as one step")
{
    Bench bench;
    const auto& housings = bench.document().project().housings;
    const auto ported = std::find_if(housings.begin(), housings.end(), [](const Housing& h) {
        return std::any_of(h.openings.begin(), h.openings.end(),
                           [](const Opening& o) { return std::holds_alternative<PortOpening>(o.kind); });
    });
    REQUIRE(ported != housings.end());
    bench.window->workbench().choose(std::string(ported->id));
    bench.window->showStation(int(Station::opening));
    bench.settle();
    FieldRow* tune = nullptr;
    for (FieldRow* row : bench.window->editor(Station::opening)->form()->findChildren<FieldRow*>())
        if (row->box() && row->box()->accessibleName().startsWith(Form::tr("Tune to"))) tune = row;
    REQUIRE(tune);
    const auto fb = [&] { return *bench.window->workbench().chosenResult()->computed->summary.fb; };
    const double wanted = std::round(fb()) - 6;
    tune->box()->setFocus();
    tune->box()->selectAll();
    QTest::keyClicks(tune->box(), QString::number(wanted));
    QTest::keyClick(tune->box(), Qt::Key_Return);
    bench.settle();
    CHECK(bench.document().history().count() == 1);
    CHECK(fb() == Approx(wanted).epsilon(0.005));  // the length is a tenth of a millimetre
    QTest::keyClick(tune->box(), Qt::Key_Return);  // nothing left to change
    CHECK(bench.document().history().count() == 1);
}

TEST_CASE("the first and the last row of the ledger lead to the driver and to the rider")
{
    Bench bench;
    emit bench.window->ledger()->endClicked();
    CHECK(bench.window->path()->button(int(Station::rider))->isChecked());
    emit bench.window->ledger()->startClicked();
    CHECK(bench.window->path()->button(int(Station::driver))->isChecked());
}

TEST_CASE("a housing that is hidden in the charts is called so where it is edited")
{
    Bench bench;
    bench.window->showStation(int(Station::opening));
    bench.settle();
    const auto remark = [&]() -> QWidget* {
        for (QLabel* label : bench.window->editor(Station::opening)->form()->findChildren<QLabel*>())
            if (label->text() == Form::tr("hidden in the charts")) return label;
        return nullptr;
    };
    REQUIRE(remark());
    CHECK_FALSE(remark()->isVisible());
    bench.window->cards()->toggleChosen();
    bench.settle();
    CHECK(remark()->isVisible());
}

TEST_CASE("a fibre fill becomes fill factor and lining Q in one step, and is told")
{
    Bench bench;
    bench.window->showStation(int(Station::cavity));
    bench.settle();
    auto* menu = bench.window->findChild<QMenu*>("fibres");
    REQUIRE(menu);
    const int steps = bench.document().history().count();
    QMenu* wadding = menu->actions().first()->menu();
    REQUIRE(wadding);
    wadding->actions().last()->trigger();  // all of the cavity, denser
    bench.settle();
    const Cavity& cavity = bench.window->workbench().chosenHousing()->cavity;
    REQUIRE(cavity.fillFactor);
    CHECK(*cavity.fillFactor > 1.05);  // practice: 10 to 25 % apparent volume; 40 % is the isothermal ceiling
    CHECK(*cavity.fillFactor <= 1.4);
    REQUIRE(cavity.absorptionQ);
    CHECK(bench.document().history().count() == steps + 1);
}
