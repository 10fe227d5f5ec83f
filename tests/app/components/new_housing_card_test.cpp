// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/new_housing_card.h"

#include "app/desktop/components/field_row.h"
#include "app/desktop/components/segment_switch.h"
#include "tests/app/components/bench.h"

#include <QAbstractButton>

using namespace portwright;
using namespace portwright::test;

namespace {

struct Fresh {
    Bench bench;
    NewHousingCard& card = bench.put(new NewHousingCard);
    QSignalSpy previewed{&card, &NewHousingCard::previewed}, added{&card, &NewHousingCard::added};
    QSignalSpy dismissed{&card, &NewHousingCard::dismissed};
    Fresh()
    {
        card.setCopyOf("B");
        card.setStart({.kind = NewHousing::Kind::ported, .netVolume = 6.4e-3, .tuning = 92.5, .leakQ = 10});
    }
    QuantityBox& box(const QString& name)
    {
        for (QuantityBox* box : card.findChildren<QuantityBox*>())
            if (box->accessibleName() == name) return *box;
        FAIL("no such field");
        throw 0;
    }
    SegmentSwitch& kind() { return *card.findChild<SegmentSwitch*>(); }
    NewHousing last(const QSignalSpy& spy) { return spy.last()[0].value<NewHousing>(); }
};

}  // namespace

TEST_CASE("The row opens in place with its start values, focused and previewed")
{
    Fresh f;
    CHECK_FALSE(f.card.isOpen());
    const int closed = f.card.sizeHint().height();
    f.card.open();
    QApplication::processEvents();
    CHECK(f.card.isOpen());
    CHECK(f.card.sizeHint().height() > closed);
    CHECK(f.box("Net volume").hasFocus());
    REQUIRE(f.previewed.count() == 1);
    CHECK(f.last(f.previewed) ==
          NewHousing{.kind = NewHousing::Kind::ported, .netVolume = 6.4e-3, .tuning = 92.5, .leakQ = 10});
}

TEST_CASE("Typing previews each valid text, and Enter adds once")
{
    Fresh f;
    f.card.open();
    type(f.box("Net volume"), "7");
    CHECK(f.last(f.previewed).netVolume == 0.007);
    QTest::keyClick(&f.box("Net volume"), Qt::Key_Return);
    REQUIRE(f.added.count() == 1);
    CHECK(f.last(f.added).netVolume == 0.007);
    CHECK(f.last(f.added).tuning == 92.5);
    CHECK_FALSE(f.card.isOpen());
    CHECK(f.dismissed.count() == 0);
}

TEST_CASE("Escape first takes back what is typed, then forgets the housing")
{
    Fresh f;
    f.card.open();
    type(f.box("Net volume"), "7");
    QTest::keyClick(&f.box("Net volume"), Qt::Key_Escape);
    CHECK(f.card.isOpen());
    CHECK(f.last(f.previewed).netVolume == 6.4e-3);
    QTest::keyClick(&f.box("Net volume"), Qt::Key_Escape);
    CHECK_FALSE(f.card.isOpen());
    CHECK(f.dismissed.count() == 1);
    CHECK(f.added.count() == 0);
}

TEST_CASE("A volume that is not taken is not added")
{
    Fresh f;
    f.card.open();
    type(f.box("Net volume"), "many");
    QTest::keyClick(&f.box("Net volume"), Qt::Key_Return);
    CHECK(f.added.count() == 0);
    CHECK(f.card.isOpen());
    CHECK_FALSE(f.box("Net volume").rejection().isEmpty());
}

TEST_CASE("The kind decides which fields are asked")
{
    Fresh f;
    f.card.open();
    CHECK(f.box("Tune to").isVisible());
    CHECK_FALSE(f.box("Leak Q").isVisible());
    f.kind().button(0)->click();
    CHECK(f.last(f.previewed).kind == NewHousing::Kind::sealed);
    CHECK_FALSE(f.box("Tune to").isVisible());
    CHECK(f.box("Leak Q").isVisible());
    f.kind().button(2)->click();
    CHECK(f.last(f.previewed).kind == NewHousing::Kind::copy);
    CHECK_FALSE(f.box("Net volume").isVisible());
    f.card.setCopyOf({});
    CHECK(f.kind().button(2) == nullptr);
    CHECK(f.card.current().kind == NewHousing::Kind::sealed);
}
