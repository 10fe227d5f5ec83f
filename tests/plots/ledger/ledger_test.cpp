// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/ledger/ledger_view.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QPainter>
#include <QSignalSpy>
#include <QTest>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>
#include <limits>

using namespace portwright;

namespace {

LedgerColumn column(int slot, const std::vector<double>& steps, double start = 103.2)
{
    static const char* const names[] = {"Air spring",    "Leak and lining", "Port",
                                        "Second cavity", "Coil inductance", "Source and series parts",
                                        "High-pass",     "Space",           "Distance"};
    LedgerColumn c{slot, QString(QChar(u'A' + slot)) + " housing", {}};
    c.ledger.frequency = 80;
    c.ledger.start = start;
    c.ledger.startSentence = "This driver at 14.1 V in a wall without end, heard at 1 m: the mark to measure from.";
    double running = start;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        running += steps[i];
        c.ledger.entries.push_back({Cause(int(i)), names[i], steps[i] != 0, steps[i], running,
                                    "A sentence on this step, in the user's own numbers."});
    }
    c.ledger.end = running;
    return c;
}

std::vector<LedgerColumn> two()
{
    return {column(0, {-9.9, -0.6, 0, 0, 0.02, 0, 0, 0, 1.9}), column(1, {-2.4, -0.6, 2.0, 0, 0.01, 0, 0, 0, 1.9})};
}

}  // namespace

TEST_CASE("the printed column of every ledger adds up to its printed total")
{
    rc::prop("any steps", [] {
        std::vector<double> steps;
        for (int i = 0; i < causeCount; ++i)
            steps.push_back(*rc::gen::inRange(-400000, 400000) / 1e4);
        const double start = *rc::gen::inRange(400000, 1300000) / 1e4;
        const std::vector<LedgerRow> rows = ledgerRows({column(0, steps, start)});
        long sum = 0;
        for (const LedgerRow& row : rows)
            if (row.kind != LedgerRow::Kind::end) sum += row.cells[0].tenths.value_or(0);
        RC_ASSERT(sum == *rows.back().cells[0].tenths);
        RC_ASSERT(std::abs(double(*rows.back().cells[0].tenths) / 10.0 - rows.back().cells[0].to) <= 0.0501);
    });
}

TEST_CASE("each printed step is within a tenth of the true one")
{
    const std::vector<LedgerRow> rows = ledgerRows(two());
    for (const LedgerRow& row : rows)
        for (const LedgerCell& cell : row.cells)
            if (row.kind == LedgerRow::Kind::step && cell.tenths)
                CHECK(std::abs(double(*cell.tenths) / 10.0 - (cell.to - cell.from)) <= 0.1 + 1e-9);
}

TEST_CASE("causes that no housing has are left out, those one has stand in all as a dash")
{
    const std::vector<LedgerRow> rows = ledgerRows(two());
    QStringList names;
    for (const LedgerRow& row : rows)
        names << row.name;
    CHECK(names.join(", ").toStdString() ==
          "Endless baffle, Air spring, Leak and lining, Port, Coil inductance, Distance, At the rider");
    CHECK(ledgerFigure(rows[3].cells[0], rows[3].kind, QLocale::c()) == QString(QChar(0x2013)));
    CHECK(ledgerFigure(rows[3].cells[1], rows[3].kind, QLocale::c()) == "+2.0");
    CHECK(ledgerFigure(rows[1].cells[0], rows[1].kind, QLocale::c()) == QString(QChar(0x2212)) + "9.9");
    CHECK(ledgerFigure(rows[0].cells[0], rows[0].kind, QLocale::c()) == "103.2");
    CHECK(rows[4].cells[0].small);
    CHECK_FALSE(rows[1].cells[0].small);
}

TEST_CASE("a silent housing has dashes, never infinity")
{
    LedgerColumn silent = column(0, {-1, -2});
    silent.ledger.end = silent.ledger.entries[1].running = -std::numeric_limits<double>::infinity();
    for (const LedgerRow& row : ledgerRows({silent}))
        CHECK_FALSE(ledgerFigure(row.cells[0], row.kind, QLocale::c()).contains("inf"));
    CHECK(ledgerRows({}).empty());
}

TEST_CASE("the total says what it is against another housing, in the figures shown")
{
    const std::vector<LedgerRow> rows = ledgerRows(two());
    CHECK(rows.back().cells[1].sentence == QString("9.5\u00a0dB more than housing A reaches here."));
    CHECK(rows.back().cells[0].sentence == QString("9.5\u00a0dB less than housing B reaches here."));
    CHECK(ledgerRows({column(0, {-1})}).back().cells[0].sentence == "What is left.");
}

TEST_CASE("sentences have the decimal mark of the user's locale, and no other")
{
    const std::vector<LedgerRow> rows = ledgerRows(two(), QLocale(QLocale::German));
    CHECK(rows.back().cells[1].sentence == QString("9,5\u00a0dB more than housing A reaches here."));
    CHECK(rows.front().cells[0].sentence.contains("at 14,1 V in a wall"));
    CHECK(rows.front().cells[0].sentence.endsWith("to measure from."));
    CHECK(ledgerFigure(rows[1].cells[0], rows[1].kind, QLocale(QLocale::German)) == QString(QChar(0x2212)) + "9,9");
}

TEST_CASE("the ledger's table has what the picture has, and copies with tabs")
{
    LedgerView view;
    view.setLedgers(two());
    view.setChosen(1);
    const LedgerModel& model = *view.model();
    CHECK(model.rowCount() == 7);
    CHECK(model.columnCount() == 4);
    CHECK(model.index(0, 0).data().toString() == "Endless baffle");
    CHECK(model.index(6, 3).data().toString().startsWith("9.5"));
    CHECK(model.headerData(2, Qt::Horizontal).toString() == "B, dB");
    view.copy();
    const QStringList lines = QGuiApplication::clipboard()->text().split('\n');
    REQUIRE(lines.size() == 9);
    CHECK(lines[0] == "Cause\tA, dB\tB, dB\tWhy");
    CHECK(lines[1].count('\t') == 3);
    CHECK(view.accessibleDescription().contains("Air spring"));
    CHECK(view.accessibleDescription().contains("80.0"));
}

TEST_CASE("a click on a row names its cause, a click on a letter chooses its housing")
{
    LedgerView view;
    view.setLedgers(two());
    view.setChosen(0);
    view.resize(1000, 180);
    QSignalSpy cause(&view, &LedgerView::causeClicked), slot(&view, &LedgerView::slotChosen);
    const double row = (view.heightFor(7) - view.heightFor(0)) / 7, head = view.heightFor(0) - 4;
    QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(700, int(head + 3.5 * row)));
    REQUIRE(cause.size() == 1);
    CHECK(cause[0][0].toInt() == int(Cause::opening));
    QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(700, int(head + 0.5 * row)));
    CHECK(cause.size() == 1);
    for (int x = 100; x < 500 && slot.isEmpty(); x += 8)
        QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(x, int(head / 2)));
    QTest::keyClick(&view, Qt::Key_Right);
    REQUIRE_FALSE(slot.isEmpty());
    CHECK(view.chosen() == 1);
    view.setFolded(true);
    CHECK(view.sizeHint().height() < 60);
    QTest::keyClick(&view, Qt::Key_Left);
    CHECK(view.chosen() == 0);
}

TEST_CASE("ledgers of nothing, one and six housings can be painted, folded and not")
{
    for (const int n : {0, 1, 6}) {
        LedgerView view;
        std::vector<LedgerColumn> columns;
        for (int i = 0; i < n; ++i)
            columns.push_back(column(i, {-9.0 + i, -1, 2, 0, -std::numeric_limits<double>::infinity()}));
        view.setLedgers(columns);
        for (const bool folded : {false, true}) {
            view.setFolded(folded);
            view.resize(640, 200);
            CHECK(view.grab().width() == 640);
        }
    }
}
