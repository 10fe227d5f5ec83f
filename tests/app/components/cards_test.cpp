// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/card_tag.h"
#include "app/desktop/components/card/housing_card.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/labels.h"
#include "tests/app/components/bench.h"

#include <QMenu>

using namespace portwright;
using namespace portwright::test;

namespace {

struct Card {
    Bench bench;
    HousingCard& card = bench.put(new HousingCard(1));
    QSignalSpy named{&card, &HousingCard::nameChanged}, moved{&card, &HousingCard::moveWanted};
    QSignalSpy chosen{&card, &HousingCard::chosen};
    Card()
    {
        card.setName("Ported");
        card.setFocus();
    }
    QLineEdit& edit() { return *card.findChild<QLineEdit*>(); }
    QAction* action(const QString& words)
    {
        for (QAction* action : card.findChild<QMenu*>()->actions())
            if (action->text() == words) return action;
        return nullptr;
    }
};

}  // namespace

TEST_CASE("F2 and a double click rename a housing in place; Escape keeps the name")
{
    Card f;
    QTest::keyClick(&f.card, Qt::Key_F2);
    REQUIRE(f.edit().isVisible());
    type(f.edit(), "Ported, 54 mm tube");
    QTest::keyClick(&f.edit(), Qt::Key_Return);
    REQUIRE(f.named.count() == 1);
    CHECK(f.named[0][0].toString() == "Ported, 54 mm tube");
    CHECK_FALSE(f.edit().isVisible());
    CHECK(f.card.hasFocus());

    QTest::mouseDClick(f.card.findChild<NameLabel*>(), Qt::LeftButton);
    REQUIRE(f.edit().isVisible());
    type(f.edit(), "Other");
    QTest::keyClick(&f.edit(), Qt::Key_Escape);
    CHECK(f.named.count() == 1);
    CHECK(f.card.name() == "Ported, 54 mm tube");
}

TEST_CASE("Leaving the name takes it; an empty or unchanged one changes nothing")
{
    Card f;
    for (const char* typed : {"", "  ", "Ported"}) {
        f.card.rename();
        type(f.edit(), typed);
        f.card.setFocus();
        CHECK(f.named.count() == 0);
        CHECK(f.card.name() == "Ported");
    }
    f.card.rename();
    type(f.edit(), "Lid");
    f.card.setFocus();
    CHECK(f.named.count() == 1);
}

TEST_CASE("Ctrl+Up and Ctrl+Down reorder where there is room")
{
    Card f;
    QTest::keyClick(&f.card, Qt::Key_Up, Qt::ControlModifier);
    CHECK(f.moved.count() == 0);
    f.card.setMovable(true, true);
    QTest::keyClick(&f.card, Qt::Key_Up, Qt::ControlModifier);
    QTest::keyClick(&f.card, Qt::Key_Down, Qt::ControlModifier);
    REQUIRE(f.moved.count() == 2);
    CHECK(f.moved[0][0].toInt() == -1);
    CHECK(f.moved[1][0].toInt() == 1);
}

TEST_CASE("A card is dragged by its letter, and Escape lets it be")
{
    Card f;
    auto* tag = f.card.findChild<CardTag*>();
    QSignalSpy dragged(&f.card, &HousingCard::dragMoved), ended(&f.card, &HousingCard::dragEnded);
    QSignalSpy cancelled(&f.card, &HousingCard::dragCancelled);
    const auto drag = [tag](Qt::MouseButtons buttons, QEvent::Type type, const QPoint& at) {
        QMouseEvent event(type, at, tag->mapToGlobal(at), Qt::LeftButton, buttons, {});
        QApplication::sendEvent(tag, &event);
    };
    drag(Qt::LeftButton, QEvent::MouseButtonPress, {4, 4});
    drag(Qt::LeftButton, QEvent::MouseMove, {5, 5});
    CHECK(dragged.count() == 0);  // a click is not a drag
    drag(Qt::LeftButton, QEvent::MouseMove, {5, 80});
    REQUIRE(dragged.count() == 1);
    CHECK(dragged[0][0].toPoint() == tag->mapToGlobal(QPoint(5, 80)));
    drag({}, QEvent::MouseButtonRelease, {5, 90});
    REQUIRE(ended.count() == 1);
    CHECK(ended[0][0].toPoint() == tag->mapToGlobal(QPoint(5, 90)));

    drag(Qt::LeftButton, QEvent::MouseButtonPress, {4, 4});
    drag(Qt::LeftButton, QEvent::MouseMove, {5, 80});
    QTest::keyClick(&f.card, Qt::Key_Escape);
    drag({}, QEvent::MouseButtonRelease, {5, 90});
    CHECK(cancelled.count() == 1);
    CHECK(ended.count() == 1);
}

TEST_CASE("The place of a dropped card is counted by the middles of the others")
{
    Bench bench;
    QList<QWidget*> column;
    for (int i = 0; i < 3; ++i)
        column << &bench.put(new HousingCard(i));
    QApplication::processEvents();
    const auto middle = [&](int i) { return column[i]->mapToGlobal(column[i]->rect().center()).y(); };
    CHECK(HousingCard::placeAt(column, middle(0) - 1) == 0);
    CHECK(HousingCard::placeAt(column, middle(1) - 1) == 1);
    CHECK(HousingCard::placeAt(column, middle(2) + 1) == 3);
}

TEST_CASE("A click or Return chooses a card; the eye and the menu ask for what they say")
{
    Card f;
    QTest::mouseClick(&f.card, Qt::LeftButton, {}, QPoint(f.card.width() / 2, f.card.height() - 4));
    CHECK(f.chosen.count() == 1);
    f.card.setChosen(true);
    QTest::mouseClick(&f.card, Qt::LeftButton, {}, QPoint(f.card.width() / 2, f.card.height() - 4));
    CHECK(f.chosen.count() == 1);
    QTest::keyClick(&f.card, Qt::Key_Return);
    CHECK(f.chosen.count() == 2);

    QSignalSpy shown(&f.card, &HousingCard::shownToggled), copy(&f.card, &HousingCard::copyWanted);
    QSignalSpy removed(&f.card, &HousingCard::removeWanted), feed(&f.card, &HousingCard::ownFeedToggled);
    for (IconButton* button : f.card.findChildren<IconButton*>())
        if (button->iconName() == "show") button->click();
    REQUIRE(shown.count() == 1);
    CHECK(shown[0][0].toBool() == false);
    f.card.setHousingShown(false);
    for (IconButton* button : f.card.findChildren<IconButton*>())
        if (button->iconName() == "hide") button->click();
    CHECK(shown[1][0].toBool() == true);
    f.action("Copy")->trigger();
    f.action("Own Feed")->trigger();
    f.action("Remove")->trigger();
    CHECK(copy.count() == 1);
    CHECK(removed.count() == 1);
    REQUIRE(feed.count() == 1);
    CHECK(feed[0][0].toBool());
    QTest::keyClick(&f.card, Qt::Key_Delete);
    CHECK(removed.count() == 2);
    f.card.setRemovable(false);
    QTest::keyClick(&f.card, Qt::Key_Delete);
    CHECK(removed.count() == 2);
}

TEST_CASE("The chosen card and the focused card look different from the others")
{
    Card f;
    f.bench.setFocus();
    f.card.clearFocus();
    const QImage plain = f.card.grab().toImage();
    f.card.setChosen(true);
    const QImage chosen = f.card.grab().toImage();
    f.card.setFocus();
    const QImage focused = f.card.grab().toImage();
    CHECK(plain != chosen);
    CHECK(chosen != focused);
}
