// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/fields.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>

#include <QPointer>

using namespace portwright;

TEST_CASE("every field of every station takes both ends of its range without a crash, and undo brings all back")
{
    Bench bench;
    const Project before = bench.document().project();
    for (int station = 0; station < stationCount; ++station) {
        bench.window->showStation(station);
        bench.settle();
        for (bool high : {false, true}) {
            const auto fields = bench.window->editor(Station(station))->form()->findChildren<FieldRow*>();
            QList<QPointer<FieldRow>> rows;
            for (FieldRow* row : fields)
                rows << row;
            for (const QPointer<FieldRow>& row : rows) {
                if (!row || !row->box()) continue;
                emit row->box()->committed(high ? row->box()->highSi() : row->box()->lowSi());
                bench.settle();
            }
        }
        for (const HousingResult& result : bench.window->workbench().computation().results())
            if (result.computed) CHECK_FALSE(result.computed->curves.level.isNaN().any());
        while (bench.document().history().canUndo())
            bench.document().history().undo();
        bench.settle();
        CHECK(bench.document().project() == before);
    }
}

TEST_CASE("no voltage at all leaves gaps, not garbage")
{
    Bench bench;
    bench.document().edit("0 V", [](Project& p) {
        if (!p.feed) p.feed = Feed{};
        p.feed->power.reset();
        p.feed->into.reset();
        p.feed->voltage = 0;
    });
    bench.settle();
    for (const QString& text : {bench.window->centre()->charts()->chart(ChartsPage::level)->readoutOf(0)})
        CHECK(text == QStringLiteral("\u2013"));
    CHECK(bench.window->centre()->charts()->chart(ChartsPage::travel)->readoutOf(0) == readoutText(0, QLocale()));
}

TEST_CASE("twelve housings in a small window are all there")
{
    Bench bench;
    for (int i = 0; i < 10; ++i)
        bench.window->cards()->copyChosen();
    bench.window->resize(1000, 720);
    bench.settle();
    CHECK(bench.window->cards()->cards().size() == bench.document().project().housings.size());
    CHECK(bench.window->ledger()->folded());
    bench.window->resize(1920, 1080);
    bench.settle();
    CHECK_FALSE(bench.window->ledger()->folded());
}
