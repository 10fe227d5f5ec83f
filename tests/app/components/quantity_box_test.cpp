// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/quantity_box.h"

#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/step_size.h"
#include "app/desktop/components/workshop_style.h"
#include "tests/app/components/bench.h"

#include <QClipboard>
#include <QLocale>
#include <QWheelEvent>

#include <limits>

using namespace portwright;
using namespace portwright::test;

namespace {

/// A box for a length in mm that holds 130 mm, 10 to 500 mm allowed.
struct LengthBox {
    Bench bench;
    QuantityBox& box = bench.put(new QuantityBox(Dimension::length));
    QWidget& other = bench.put(new QLineEdit);
    QSignalSpy previewed{&box, &QuantityBox::previewed}, committed{&box, &QuantityBox::committed};
    QSignalSpy reverted{&box, &QuantityBox::reverted}, rejected{&box, &QuantityBox::rejected};
    QSignalSpy cleared{&box, &QuantityBox::cleared}, accepted{&box, &QuantityBox::accepted};

    LengthBox()
    {
        box.setRangeSi(0.01, 0.5);
        box.setSi(0.13);
        other.setFocus();
    }
};

void turnWheel(QWidget& widget, Qt::KeyboardModifiers modifiers = Qt::NoModifier)
{
    const QPointF at = widget.rect().center();
    QWheelEvent event(at, widget.mapToGlobal(at), {}, {0, 120}, Qt::NoButton, modifiers, Qt::NoScrollPhase, false);
    QApplication::sendEvent(&widget, &event);
}

}  // namespace

TEST_CASE("12.5 and 12,5 both mean 12.5 in every locale")
{
    const QLocale before;
    for (const char* locale : {"C", "en_US", "de_DE", "fr_FR"}) {
        QLocale::setDefault(QLocale(QLatin1String(locale)));
        for (const char* typed : {"12.5", "12,5"}) {
            LengthBox f;
            type(f.box, QLatin1String(typed));
            QTest::keyClick(&f.box, Qt::Key_Return);
            CHECK(f.box.si() == 0.0125);
        }
    }
    QLocale::setDefault(before);
}

TEST_CASE("A field shows the decimal mark of the locale and its unit")
{
    LengthBox f;
    CHECK(textOf(f.box) == local("130.0"));
}

TEST_CASE("A typed unit is understood")
{
    struct Case {
        Dimension dimension;
        const char* typed;
        double si;
    };
    for (const auto& [dimension, typed, si] :
         {Case{Dimension::length, "2.5 in", 0.0635}, Case{Dimension::length, "6,5cm", 0.065},
          Case{Dimension::volume, "1 ft3", 0.028316846592}, Case{Dimension::volume, "1.6 l", 0.0016},
          Case{Dimension::frequency, "0.2 kHz", 200.0}}) {
        Bench bench;
        auto& box = bench.put(new QuantityBox(dimension));
        type(box, QLatin1String(typed));
        QTest::keyClick(&box, Qt::Key_Return);
        REQUIRE(box.si().has_value());
        CHECK(*box.si() == Approx(si).epsilon(1e-12));
    }
}

TEST_CASE("A thousand switches of the unit system leave the value exact and say nothing")
{
    LengthBox f;
    f.box.setSi(0.1);
    for (int i = 0; i < 1000; ++i)
        f.box.setUnitSystem(i % 2 == 0 ? UnitSystem::us : UnitSystem::metric);
    CHECK(f.box.si() == 0.1);
    f.box.setUnitSystem(UnitSystem::us);
    CHECK(textOf(f.box) == local("3.937"));
    f.box.setFocus();
    f.other.setFocus();
    CHECK(f.box.si() == 0.1);
    CHECK(f.committed.count() + f.previewed.count() + f.reverted.count() + f.rejected.count() == 0);
}

TEST_CASE("Text typed back as it was shown commits nothing, however it was rounded")
{
    LengthBox f;
    f.box.setUnitSystem(UnitSystem::us);
    type(f.box, local("3.9"));
    type(f.box, local("5.1181"));
    QTest::keyClick(&f.box, Qt::Key_Return);
    CHECK(f.box.si() == 0.13);
    CHECK(f.committed.count() == 0);
    CHECK(f.reverted.count() == 1);
}

TEST_CASE("Each valid text is previewed, and leaving the field commits once")
{
    LengthBox f;
    type(f.box, "15");  // "1" is below the range: on the way, so neither previewed nor marked
    CHECK(f.previewed.count() == 1);
    CHECK(f.previewed[0][0].toDouble() == 0.015);
    CHECK(f.rejected.count() == 0);
    CHECK(f.committed.count() == 0);
    CHECK(f.box.si() == 0.13);
    f.other.setFocus();
    CHECK(f.committed.count() == 1);
    CHECK(f.box.si() == 0.015);
    CHECK(f.reverted.count() == 0);
}

TEST_CASE("Return commits, and leaving afterwards commits nothing more")
{
    LengthBox f;
    type(f.box, "140");
    QTest::keyClick(&f.box, Qt::Key_Return);
    f.other.setFocus();
    CHECK(f.committed.count() == 1);
}

TEST_CASE("Walking through a field without typing commits nothing")
{
    LengthBox f;
    f.box.setFocus();
    f.other.setFocus();
    CHECK(f.committed.count() + f.previewed.count() + f.reverted.count() == 0);
}

TEST_CASE("Escape restores the value and ends the preview")
{
    LengthBox f;
    type(f.box, "140");
    QTest::keyClick(&f.box, Qt::Key_Escape);
    CHECK(textOf(f.box) == local("130.0"));
    CHECK(f.reverted.count() == 1);
    f.other.setFocus();
    CHECK(f.committed.count() == 0);
}

TEST_CASE("Escape in a field that was not edited is left to the window")
{
    LengthBox f;
    f.box.setFocus();
    QKeyEvent escape(QEvent::KeyPress, Qt::Key_Escape, Qt::NoModifier);
    QApplication::sendEvent(&f.box, &escape);
    CHECK_FALSE(escape.isAccepted());
}

TEST_CASE("Text out of range stays, is marked, and the sentence names found, allowed and reckoned with")
{
    LengthBox f;
    type(f.box, "99999");
    f.other.setFocus();
    CHECK(textOf(f.box) == "99999");
    CHECK(f.box.si() == 0.13);
    CHECK(isNotTaken(&f.box));
    CHECK(f.committed.count() == 0);
    REQUIRE_FALSE(f.rejected.isEmpty());
    CHECK(f.rejected.last()[0].toString() ==
          local("99999\u00A0mm is outside 10 to 500\u00A0mm. Still reckoned with 130.0\u00A0mm."));
    CHECK(f.box.rejection() == f.rejected.last()[0].toString());
}

TEST_CASE("Text too low is marked when the field is left, not while it may still grow")
{
    LengthBox f;
    type(f.box, "5");
    CHECK_FALSE(isNotTaken(&f.box));
    f.other.setFocus();
    CHECK(isNotTaken(&f.box));
    CHECK(textOf(f.box) == "5");
}

TEST_CASE("When text is not taken, an earlier preview of it ends")
{
    LengthBox f;
    type(f.box, "400000");  // 40 and 400 were previewed on the way
    CHECK(f.previewed.count() == 2);
    CHECK(f.reverted.count() == 1);
    CHECK(f.box.si() == 0.13);
}

TEST_CASE("Two decimal marks are refused with what to write")
{
    LengthBox f;
    type(f.box, "12.5.3");
    f.other.setFocus();
    CHECK(f.box.rejection() ==
          "\"12.5.3\" has two decimal marks. Write 12.5 or 12,5. " + local("Still reckoned with 130.0\u00A0mm."));
}

TEST_CASE("Nothing, letters and not-a-number cannot become a value")
{
    for (const char* typed : {"", " ", "abc", "nan", "inf", "1e999", "-", "12 parsecs"}) {
        LengthBox f;
        type(f.box, QLatin1String(typed));
        QTest::keyClick(&f.box, Qt::Key_Return);
        f.other.setFocus();
        INFO(typed);
        CHECK(f.box.si() == 0.13);
        CHECK(f.committed.count() + f.cleared.count() == 0);
        CHECK(isNotTaken(&f.box));
    }
    LengthBox f;
    f.box.setSi(std::numeric_limits<double>::quiet_NaN());
    CHECK_FALSE(f.box.si().has_value());
    CHECK(textOf(f.box).isEmpty());
}

TEST_CASE("Only an optional field may be emptied")
{
    LengthBox f;
    f.box.setOptional(true);
    type(f.box, "");
    f.other.setFocus();
    CHECK(f.cleared.count() == 1);
    CHECK_FALSE(f.box.si().has_value());
    CHECK_FALSE(isNotTaken(&f.box));
}

TEST_CASE("A rejection ends with the first valid text, with Escape and with a new value")
{
    for (int way = 0; way < 3; ++way) {
        LengthBox f;
        type(f.box, "99999");
        f.other.setFocus();
        REQUIRE(isNotTaken(&f.box));
        if (way == 0) type(f.box, "90");
        f.box.setFocus();
        if (way == 1) QTest::keyClick(&f.box, Qt::Key_Escape);
        if (way == 2) f.box.setSi(0.2);
        CHECK_FALSE(isNotTaken(&f.box));
        CHECK(f.accepted.count() == 1);
    }
}

TEST_CASE("A refresh with the value already held leaves text being typed alone")
{
    LengthBox f;
    type(f.box, "14");
    f.box.setSi(0.13);   // the committed value
    f.box.setSi(0.014);  // the previewed one
    CHECK(textOf(f.box) == "14");
    CHECK(f.box.si() == 0.13);
    f.box.setSi(0.2);  // an undo of another change moved it
    CHECK(textOf(f.box) == local("200.0"));
}

TEST_CASE("Arrow keys step by a unit that suits the quantity, Shift coarser, Ctrl finer, Page keys coarse")
{
    struct Case {
        Dimension dimension;
        double start, up, shift, control;
    };
    for (const Case& c :
         {Case{Dimension::length, 0.13, 0.131, 0.14, 0.1301}, Case{Dimension::frequency, 72, 73, 82, 72.1},
          Case{Dimension::volume, 0.005, 0.0051, 0.006, 0.00501}, Case{Dimension::quality, 0.62, 0.63, 0.72, 0.621},
          Case{Dimension::count, 2, 3, 12, 3}}) {
        const auto after = [&c](Qt::Key key, Qt::KeyboardModifiers modifiers) {
            Bench bench;
            auto& box = bench.put(new QuantityBox(c.dimension));
            box.setSi(c.start);
            box.setFocus();
            QTest::keyClick(&box, key, modifiers);
            QTest::keyClick(&box, Qt::Key_Return);
            return box.si().value_or(-1);
        };
        CHECK(after(Qt::Key_Up, Qt::NoModifier) == Approx(c.up));
        CHECK(after(Qt::Key_Up, Qt::ShiftModifier) == Approx(c.shift));
        CHECK(after(Qt::Key_PageUp, Qt::NoModifier) == Approx(c.shift));
        CHECK(after(Qt::Key_Up, Qt::ControlModifier) == Approx(c.control));
        CHECK(after(Qt::Key_Down, Qt::NoModifier) == Approx(2 * c.start - c.up));
    }
}

TEST_CASE("Steps in US units are one of 1, 2, 5 and near the metric step")
{
    for (int i = 0; i <= static_cast<int>(Dimension::current); ++i) {
        const auto dimension = static_cast<Dimension>(i);
        const Unit &metric = shownUnit(dimension, UnitSystem::metric), &us = shownUnit(dimension, UnitSystem::us);
        const double ratio = stepShown(dimension, UnitSystem::us) * us.times / us.per /
                             (stepShown(dimension, UnitSystem::metric) * metric.times / metric.per);
        INFO("dimension " << i);
        CHECK(ratio > 0.5);
        CHECK(ratio < 2);
    }
    CHECK(stepShown(Dimension::length, UnitSystem::us) == Approx(0.05));
}

TEST_CASE("Twenty steps are previewed one by one and committed once")
{
    LengthBox f;
    f.box.setFocus();
    for (int i = 0; i < 20; ++i)
        QTest::keyClick(&f.box, Qt::Key_Up);
    CHECK(f.previewed.count() == 20);
    CHECK(f.committed.count() == 0);
    CHECK(f.committed.wait(2000));  // the pause after the row of steps
    CHECK(f.committed.count() == 1);
    CHECK(*f.box.si() == Approx(0.15).epsilon(1e-12));
}

TEST_CASE("Steps stop at the ends of the range")
{
    LengthBox f;
    f.box.setSi(0.4995);
    f.box.setFocus();
    QTest::keyClick(&f.box, Qt::Key_Up);
    QTest::keyClick(&f.box, Qt::Key_Up);
    QTest::keyClick(&f.box, Qt::Key_Return);
    CHECK(f.box.si() == 0.5);
}

TEST_CASE("The wheel passes an unfocused field and moves a focused one")
{
    LengthBox f;
    f.other.setFocus();
    turnWheel(f.box);
    CHECK(f.previewed.count() == 0);
    CHECK(textOf(f.box) == local("130.0"));
    f.box.setFocus();
    turnWheel(f.box);
    CHECK(f.previewed.count() == 1);
    CHECK(textOf(f.box) == local("131.0"));
}

TEST_CASE("The wheel passes an unfocused combo box and moves a focused one")
{
    Bench bench;
    auto& combo = bench.put(new QuietComboBox);
    auto& other = bench.put(new QLineEdit);
    combo.addItems({"free", "flush", "other"});
    combo.setCurrentIndex(1);
    other.setFocus();
    turnWheel(combo);
    CHECK(combo.currentIndex() == 1);
    combo.setFocus();
    turnWheel(combo);
    CHECK(combo.currentIndex() == 0);
}

TEST_CASE("Ctrl+Z is the window's, unless text is being typed")
{
    LengthBox f;
    const auto boxWants = [&f](Qt::Key key, Qt::KeyboardModifiers modifiers) {
        QKeyEvent override(QEvent::ShortcutOverride, key, modifiers);
        override.ignore();
        QApplication::sendEvent(&f.box, &override);
        return override.isAccepted();
    };
    f.box.setFocus();
    CHECK_FALSE(boxWants(Qt::Key_Z, Qt::ControlModifier));
    CHECK_FALSE(boxWants(Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier));
    type(f.box, "140");
    CHECK(boxWants(Qt::Key_Z, Qt::ControlModifier));
    QTest::keyClick(&f.box, Qt::Key_Return);
    CHECK_FALSE(boxWants(Qt::Key_Z, Qt::ControlModifier));

    QTest::keyClick(&f.box, Qt::Key_Up);  // a step not yet committed is taken back by the field
    CHECK(boxWants(Qt::Key_Z, Qt::ControlModifier));
    QTest::keyClick(&f.box, Qt::Key_Z, Qt::ControlModifier);
    CHECK(textOf(f.box) == local("140.0"));
}

TEST_CASE("Copying a field takes the unit along, and pasting it elsewhere reads it")
{
    LengthBox f;
    f.box.setFocus();
    f.box.selectAll();
    QTest::keyClick(&f.box, Qt::Key_C, Qt::ControlModifier);
    CHECK(QApplication::clipboard()->text() == local("130.0 mm"));

    auto& inches = f.bench.put(new QuantityBox(Dimension::length));
    inches.setUnitSystem(UnitSystem::us);
    inches.setFocus();
    inches.selectAll();
    QTest::keyClick(&inches, Qt::Key_V, Qt::ControlModifier);
    QTest::keyClick(&inches, Qt::Key_Return);
    CHECK(inches.si() == 0.13);
}

TEST_CASE("A unit switch while typing forgets the half-typed text")
{
    LengthBox f;
    type(f.box, "140");
    f.box.setUnitSystem(UnitSystem::us);
    CHECK(f.reverted.count() == 1);
    CHECK(f.box.si() == 0.13);
    CHECK(textOf(f.box) == local("5.1181"));
}

TEST_CASE("the click that enters a field takes the whole number, and so does a double click")
{
    QWidget window;
    QLineEdit other(&window);
    QuantityBox box(Dimension::frequency, &window);
    other.move(0, 60);
    box.setSi(72.0);
    window.show();
    other.setFocus();
    QApplication::setActiveWindow(&window);
    auto* line = box.findChild<QLineEdit*>();
    REQUIRE(line);
    const QPoint middle = line->rect().center();
    QTest::mouseClick(line, Qt::LeftButton, {}, middle);
    CHECK(line->selectedText() == line->text());
    line->deselect();
    QTest::mouseDClick(line, Qt::LeftButton, {}, middle);
    CHECK(line->selectedText() == line->text());
}
