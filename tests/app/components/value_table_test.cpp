// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/value_table.h"
#include "tests/app/components/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QClipboard>
#include <QLineEdit>
#include <QSignalSpy>
#include <QTest>

using namespace portwright;

namespace {

/// Two columns of lengths and one of shapes; takes over what it is told, as a page does.
struct Sheet {
    ValueTable table{QStringLiteral("Sections")};
    TableRows rows;
    QStringList steps;
    QString refusal;
    int previews = 0, ended = 0;

    Sheet()
    {
        table.values()->setColumns(
            {{.head = QStringLiteral("At"), .dimension = Dimension::length, .low = 0, .high = 1},
             {.head = QStringLiteral("Shape"),
              .kind = TableColumn::Kind::choice,
              .choices = {QStringLiteral("round"), QStringLiteral("square")}},
             {.head = QStringLiteral("Width"), .dimension = Dimension::length, .low = 0.001, .high = 1}});
        table.setFreshRow([](const TableRows& before) {
            return before.empty() ? TableRow{{.value = 0.0}, {.value = 0}, {.value = 0.1}} : before.back();
        });
        QObject::connect(&table, &ValueTable::edited, &table, [this](const TableRows& now, const QString& step) {
            rows = now;
            steps << step;
            table.setRows(rows);
        });
        QObject::connect(&table, &ValueTable::previewed, &table, [this](const TableRows&) { ++previews; });
        QObject::connect(&table, &ValueTable::previewEnded, &table, [this] { ++ended; });
        QObject::connect(&table, &ValueTable::refused, &table, [this](const QString& words) { refusal = words; });
        rows = {{{.value = 0.0}, {.value = 0}, {.value = 0.1}}, {{.value = 0.2}, {.value = 1}, {.value = 0.1}}};
        table.setRows(rows);
        table.resize(400, 200);
        table.show();
        table.setFocus();
        QTest::qWait(1);
    }
    QLineEdit* openEditor(int row, int column)
    {
        table.setCurrentIndex(table.model()->index(row, column));
        QTest::keyClick(&table, Qt::Key_Return);
        return table.viewport()->findChild<QLineEdit*>();
    }
    double at(int row, int column) const { return std::get<double>(rows[std::size_t(row)][std::size_t(column)].value); }
};

}  // namespace

TEST_CASE("a typed cell is previewed at each key and becomes one step, units and both marks read")
{
    Sheet sheet;
    QLineEdit* line = sheet.openEditor(1, 2);
    REQUIRE(line);
    line->selectAll();
    QTest::keyClicks(line, "2,5 in");
    CHECK(sheet.previews >= 3);
    CHECK(sheet.steps.isEmpty());
    QTest::keyClick(line, Qt::Key_Return);
    QTest::qWait(1);  // the view lets the editor have its key first
    CHECK(sheet.steps == QStringList{"Change Width"});
    CHECK(sheet.at(1, 2) == Approx(0.0635).epsilon(1e-12));
}

TEST_CASE("a cell that cannot be taken stays open and says where, what and what is allowed; Esc gives it up")
{
    Sheet sheet;
    QLineEdit* line = sheet.openEditor(0, 0);
    REQUIRE(line);
    line->selectAll();
    QTest::keyClicks(line, "5000");
    QTest::keyClick(line, Qt::Key_Return);
    CHECK(sheet.steps.isEmpty());
    CHECK(sheet.refusal.contains("row 1, At"));
    CHECK(sheet.refusal.contains("outside"));
    CHECK(sheet.refusal.contains("1000"));
    CHECK(line->isVisible());
    QTest::keyClick(line, Qt::Key_Escape);
    CHECK(sheet.ended == 1);
    CHECK(sheet.at(0, 0) == 0.0);
}

TEST_CASE("a block from a spreadsheet is one step: heads passed over, rows added as needed")
{
    Sheet sheet;
    QApplication::clipboard()->setText("At\tShape\tWidth\n0\tround\t120\n50\tSquare\t90,5\n100\tsquare\t60\n");
    sheet.table.setCurrentIndex(sheet.table.model()->index(0, 0));
    sheet.table.paste();
    REQUIRE(sheet.steps.size() == 1);
    REQUIRE(sheet.rows.size() == 3);
    CHECK(sheet.at(1, 0) == 0.05);
    CHECK(sheet.at(1, 2) == Approx(0.0905).epsilon(1e-12));
    CHECK(std::get<int>(sheet.rows[2][1].value) == 1);
}

TEST_CASE("a block with one bad cell is not pasted at all, and the cell is named")
{
    Sheet sheet;
    const TableRows before = sheet.rows;
    QApplication::clipboard()->setText("0\tround\t120\n50\toval\t90\n");
    sheet.table.setCurrentIndex(sheet.table.model()->index(0, 0));
    sheet.table.paste();
    CHECK(sheet.steps.isEmpty());
    CHECK(sheet.rows == before);
    CHECK(sheet.refusal.contains("row 2, Shape"));
    CHECK(sheet.refusal.contains("round, square"));
}

TEST_CASE("what is copied pastes back to the same")
{
    Sheet sheet;
    sheet.table.selectAll();
    sheet.table.copy();
    const TableRows before = sheet.rows;
    sheet.table.setCurrentIndex(sheet.table.model()->index(0, 0));
    sheet.table.paste();
    CHECK(sheet.rows == before);
}

TEST_CASE("Insert adds a row below, Delete removes it, and never below the least")
{
    Sheet sheet;
    sheet.table.setLeastRows(2);
    sheet.table.setCurrentIndex(sheet.table.model()->index(0, 0));
    QTest::keyClick(&sheet.table, Qt::Key_Insert);
    REQUIRE(sheet.rows.size() == 3);
    CHECK(sheet.table.currentRow() == 1);
    QTest::keyClick(&sheet.table, Qt::Key_Delete);
    CHECK(sheet.rows.size() == 2);
    QTest::keyClick(&sheet.table, Qt::Key_Delete);
    CHECK(sheet.rows.size() == 2);
    CHECK(sheet.refusal.contains("at least 2"));
}

TEST_CASE("other units show other numbers and change none")
{
    Sheet sheet;
    const TableRows before = sheet.table.values()->rows();
    for (int i = 0; i < 20; ++i)
        sheet.table.values()->setUnits(i % 2 ? UnitSystem::metric : UnitSystem::us);
    CHECK(sheet.table.values()->rows() == before);
    CHECK(sheet.steps.isEmpty());
    sheet.table.values()->setUnits(UnitSystem::us);
    CHECK(sheet.table.model()->headerData(0, Qt::Horizontal).toString().contains("in"));
}
