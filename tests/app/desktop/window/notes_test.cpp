// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/window/notes_page.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QTest>

using namespace portwright;

namespace {

struct Notes {
    Bench bench;
    NotesPage* page = bench.window->notes();
    Notes()
    {
        QApplication::setActiveWindow(bench.window.get());
        bench.window->showNotes();
        bench.settle();
    }
    void type(const char* words) const
    {
        page->notes()->setFocus();
        page->notes()->selectAll();
        QTest::keyClicks(page->notes(), QLatin1String(words));
    }
};

}  // namespace

TEST_CASE("notes of the job are one undo step each time they are left")
{
    Notes f;
    const std::string before = f.bench.document().project().notes;
    f.type("Measured in the shop.");
    CHECK(f.bench.document().history().count() == 0);
    f.page->titleLine()->setFocus();
    f.bench.settle();
    CHECK(f.bench.document().project().notes == "Measured in the shop.");
    CHECK(f.bench.document().history().count() == 1);
    f.bench.document().history().undo();
    f.bench.settle();
    CHECK(f.bench.document().project().notes == before);
    CHECK(f.page->notes()->toPlainText().toStdString() == before);
}

TEST_CASE("leaving notes as they are makes no step, and saving takes what stands half typed")
{
    Notes f;
    f.page->titleLine()->setFocus();
    f.bench.settle();
    CHECK(f.bench.document().history().count() == 0);
    f.type("Half typed");
    commitTyping();
    CHECK(f.bench.document().project().notes == "Half typed");
    f.page->titleLine()->setFocus();
    f.page->titleLine()->selectAll();
    QTest::keyClicks(f.page->titleLine(), "Left pod");
    commitTyping();
    CHECK(f.bench.document().project().title == "Left pod");
    CHECK(f.bench.document().history().count() == 2);
}

TEST_CASE("a station's button leads back from the notes to its form")
{
    Notes f;
    CHECK(f.page->isVisible());
    f.bench.window->showStation(int(Station::cavity));
    CHECK_FALSE(f.page->isVisible());
    CHECK(f.bench.window->editor(Station::cavity)->isVisible());
}
