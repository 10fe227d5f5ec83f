// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/housing_edits.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QPushButton>
#include <QScrollBar>
#include <QTest>

using namespace portwright;

namespace {
std::vector<std::string> ids(Bench& bench)
{
    std::vector<std::string> all;
    for (const Housing& housing : bench.document().project().housings)
        all.push_back(housing.id);
    return all;
}
}  // namespace

TEST_CASE("housings are copied, moved, renamed and removed, each by one step that undo takes back")
{
    Bench bench;
    const Project before = bench.document().project();
    CardsColumn* cards = bench.window->cards();
    cards->copyChosen();
    bench.settle();
    CHECK(bench.document().project().housings.size() == before.housings.size() + 1);
    CHECK(cards->cards().size() == before.housings.size() + 1);
    const auto order = ids(bench);
    cards->moveChosen(-1);
    CHECK(ids(bench) != order);
    emit cards->card(ids(bench).front())->nameChanged("Another name");
    CHECK(bench.document().project().housings.at(0).name == "Another name");
    cards->removeChosen();
    bench.settle();
    CHECK(cards->cards().size() == before.housings.size());
    CHECK(bench.document().history().count() == 4);
    while (bench.document().history().canUndo())
        bench.document().history().undo();
    CHECK(bench.document().project() == before);
}

TEST_CASE("a housing that is added comes into view, and once it is undone the one chosen before is chosen")
{
    Bench bench;
    Workbench& work = bench.window->workbench();
    const std::string second = ids(bench).at(1);
    work.choose(ids(bench).front());
    work.choose(second);
    Housing fresh = copyOf(bench.document().project(), 1);
    fresh.id = "fresh";
    bench.document().edit("Add", [&](Project& p) { append(p, fresh); });
    work.choose("fresh");
    bench.settle();
    CardsColumn* cards = bench.window->cards();
    const HousingCard* card = cards->card("fresh");
    REQUIRE(card);
    const QPoint head = card->mapTo(cards->viewport(), QPoint(10, 10));
    INFO(head.y() << " of " << cards->viewport()->height() << ", card " << card->height() << ", scroll "
                  << cards->verticalScrollBar()->value() << " of " << cards->verticalScrollBar()->maximum());
    CHECK(cards->viewport()->rect().contains(head));
    bench.document().history().undo();
    bench.settle();
    CHECK(work.chosenHousing()->id == second);
    bench.document().history().redo();
    bench.settle();
    CHECK(work.chosenHousing()->id == "fresh");
}

TEST_CASE("hiding a housing hides it in every chart and changes nothing in the project")
{
    Bench bench;
    const std::string id = ids(bench).front();
    emit bench.window->cards()->card(id)->shownToggled(false);
    bench.settle();
    for (int i = 0; i < 4; ++i)
        CHECK_FALSE(bench.window->centre()->charts()->chart(ChartsPage::Which(i))->curves().at(0).visible);
    CHECK(bench.window->ledger()->model()->columns().size() == ids(bench).size() - 1);
    CHECK(bench.document().history().count() == 0);
    emit bench.window->centre()->charts()->chart(ChartsPage::level)->slotToggled(0);
    bench.settle();
    CHECK(bench.window->centre()->charts()->chart(ChartsPage::air)->curves().at(0).visible);
}

TEST_CASE("another housing is previewed dotted, added by one step, or forgotten")
{
    Bench bench;
    const Project before = bench.document().project();
    auto* fresh = bench.window->cards()->newCard();
    const NewHousing wish{.kind = NewHousing::Kind::ported, .netVolume = 6.4e-3, .tuning = 90, .leakQ = 10};
    emit fresh->previewed(wish);
    bench.settle();
    REQUIRE(bench.window->centre()->charts()->chart(ChartsPage::level)->curves().size() == before.housings.size() + 1);
    CHECK(bench.window->centre()->charts()->chart(ChartsPage::level)->curves().back().preview);
    CHECK(bench.document().project() == before);
    emit fresh->dismissed();
    bench.settle();
    CHECK(bench.window->centre()->charts()->chart(ChartsPage::level)->curves().size() == before.housings.size());
    emit fresh->added(wish);
    bench.settle();
    CHECK(bench.document().history().count() == 1);
    CHECK(bench.window->workbench().chosenHousing()->cavity.netVolume == 6.4e-3);
}

TEST_CASE("a new ported housing has the tuning that was asked for")
{
    Project project = sample();
    for (double fb : {45.0, 70.0, 110.0}) {
        const auto port = startingPort(project, project.drivers.at(0).id, 1, 6e-3, fb);
        REQUIRE(port);
        CHECK(port->length <= 0.3);
        Housing& housing = project.housings.at(0);
        housing.cavity = {};
        housing.cavity.netVolume = 6e-3;
        housing.openings = {{.kind = *port, .cavity = {}, .unknown = {}}};
        const auto model = modelOf(project, 0);
        REQUIRE(model);
        const auto tuning = tuningOf(*model);
        REQUIRE(tuning);
        CHECK(*tuning == Approx(fb).epsilon(2e-3));  // the length is rounded to 0.1 mm
    }
}

TEST_CASE("applying a remedy is one step, and the verdict is gone")
{
    Bench bench;
    bool tried = false;
    for (const HousingResult& result : std::vector<HousingResult>(bench.window->workbench().computation().results())) {
        if (!result.computed) continue;
        for (std::size_t i = 0; i < result.computed->verdicts.size(); ++i) {
            const Verdict verdict = result.computed->verdicts[i];
            if (verdict.state != State::over || !verdict.remedy) continue;
            tried = true;
            INFO(verdict.text);
            const int steps = bench.document().history().count();
            emit bench.window->cards()->card(result.id)->verdicts()->applyWanted(int(i));
            bench.settle();
            CHECK(bench.document().history().count() == steps + 1);
            for (const Verdict& left : bench.window->workbench().computation().find(result.id)->computed->verdicts)
                CHECK_FALSE((left.subject == verdict.subject && left.state == State::over));
            bench.document().history().undo();
            bench.settle();
            break;
        }
    }
    CHECK(tried);
}

TEST_CASE("after a remedy is applied the keyboard stays in the card of its housing")
{
    Bench bench;
    QApplication::setActiveWindow(bench.window.get());
    bench.settle();
    QPushButton* pressed = nullptr;
    HousingCard* card = nullptr;
    for (HousingCard* one : bench.window->cards()->cards())
        for (QPushButton* button : one->verdicts()->findChildren<QPushButton*>())
            if (!pressed && !button->accessibleDescription().isEmpty()) pressed = button, card = one;
    REQUIRE(pressed);
    pressed->setFocus();
    REQUIRE(pressed->hasFocus());
    QTest::keyClick(pressed, Qt::Key_Space);
    bench.settle();
    CHECK(bench.document().history().count() == 1);
    CHECK(QApplication::focusWidget() == card);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Space);  // a second press applies nothing unread
    bench.settle();
    CHECK(bench.document().history().count() == 1);
}

TEST_CASE("a driver without a housing finds the new card open, once, and the focus where it was")
{
    Bench bench(false);
    NewHousingCard* fresh = bench.window->cards()->newCard();
    CHECK_FALSE(fresh->isOpen());
    const DriverSheet driver = sample().drivers.at(0);
    const QWidget* focus = QApplication::focusWidget();
    bench.document().edit("Driver", [&](Project& p) { p.drivers = {driver}; });
    bench.settle();
    CHECK(fresh->isOpen());
    CHECK(QApplication::focusWidget() == focus);
    CHECK_FALSE(bench.document().previewing());
    fresh->close();
    bench.document().edit("Title", [](Project& p) { p.title = "Another"; });
    bench.settle();
    CHECK_FALSE(fresh->isOpen());  // dismissed is dismissed
    Bench full;
    CHECK_FALSE(full.window->cards()->newCard()->isOpen());
}

TEST_CASE("the caution on hearing stands beside the housings")
{
    Bench bench;
    CHECK(bench.window->cards()->cautionLine()->isVisible());
    CHECK(bench.window->cards()->cautionLine()->text().contains("NIOSH"));
    CHECK(bench.window->cards()->cautionLine()->toolTip().contains("Test tones"));
}
