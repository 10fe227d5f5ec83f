// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/question_bar.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>

using namespace portwright;

TEST_CASE("preferences and window state come back as written")
{
    QTemporaryDir place;
    const Folders folders{place.path() + "/c", place.path() + "/s"};
    const Preferences p{.units = UnitSystem::us,
                        .theme = ThemeChoice::dark,
                        .reduceMotion = true,
                        .uncertaintyBands = true,
                        .hintsSeen = 2};
    const WindowState s{.geometry = "abc", .columns = {1, 2, 3}, .rows = {4, 5}, .recent = {"/a"}, .station = 4};
    REQUIRE(writePreferences(folders, p));
    REQUIRE(writeWindowState(folders, s));
    CHECK(readPreferences(folders).value == p);
    CHECK(readWindowState(folders).value == s);
    CHECK(readPreferences(folders).damaged.isEmpty());
}

TEST_CASE("absent settings are the defaults, without a word")
{
    QTemporaryDir place;
    const Folders folders{place.path() + "/c", place.path() + "/s"};
    CHECK(readPreferences(folders).value == Preferences{});
    CHECK(readPreferences(folders).damaged.isEmpty());
}

TEST_CASE("damaged settings give the defaults and a sentence, and the window starts")
{
    Bench bench(false);
    bench.window.reset();
    for (const char* garbage : {"\xff\xfe garbage", "{\"theme\": 77, \"hints_seen\": \"x\"}", "[]"}) {
        REQUIRE(writeWholeFile(bench.folders.preferences + "/preferences.json", garbage));
        const auto read = readPreferences(bench.folders);
        CHECK(read.value == Preferences{});
        CHECK(read.damaged.contains("preferences.json"));
    }
    bench.window = std::make_unique<MainWindow>(bench.folders);
    bench.window->show();
    CHECK(bench.window->questionBar()->question().contains("damaged"));
}

TEST_CASE("the desktop's change between light and dark is followed while the program runs")
{
    Bench bench;
    const QColor before = QApplication::palette().color(QPalette::Window);
    const QByteArray former = qgetenv("PORTWRIGHT_TEST_PALETTE");
    qputenv("PORTWRIGHT_TEST_PALETTE", "dark");  // what the desktop says now
    QEvent change(QEvent::ThemeChange);
    QCoreApplication::sendEvent(bench.window.get(), &change);
    bench.settle();
    const QColor dark = QApplication::palette().color(QPalette::Window);
    qputenv("PORTWRIGHT_TEST_PALETTE", former);
    if (former.isEmpty()) qunsetenv("PORTWRIGHT_TEST_PALETTE");
    QCoreApplication::sendEvent(bench.window.get(), &change);
    bench.settle();
    CHECK(before.lightnessF() > 0.5);
    CHECK(dark.lightnessF() < 0.5);
    CHECK(QApplication::palette().color(QPalette::Window) == before);
}
