// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/value_table.h"
#include "tests/app/components/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QClipboard>
#include <QComboBox>
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
        return openLine();
    }
    /// The line that is open now; others may wait to be deleted.
    QLineEdit* openLine() const
    {
        QTest::qWait(1);  // the view lets an editor have its key first
        for (auto* line : table.viewport()->findChildren<QLineEdit*>())
            if (line->isVisible() && !qobject_cast<QComboBox*>(line->parentWidget())) return line;
        return nullptr;
    }
    QComboBox* openChoice() const
    {
        QTest::qWait(1);
        for (auto* combo : table.viewport()->findChildren<QComboBox*>())
            if (combo->isVisible()) return combo;
        return nullptr;
    }
    void typeHere(const char* text, Qt::Key then)
    {
        QLineEdit* line = openLine();
        REQUIRE(line);
        if (*text) {
            line->selectAll();
            QTest::keyClicks(line, QString::fromUtf8(text));
        }
        QTest::keyClick(line, then);
        QTest::qWait(1);
    }
    std::pair<int, int> place() const { return {table.currentIndex().row(), table.currentIndex().column()}; }
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

TEST_CASE("Return goes from typed cell to typed cell, over choices, and from row to row")
{
    Sheet sheet;
    sheet.openEditor(0, 0);
    sheet.typeHere("10", Qt::Key_Return);
    CHECK(sheet.place() == std::pair(0, 2));
    sheet.typeHere("", Qt::Key_Return);  // left as it is: no step
    CHECK(sheet.place() == std::pair(1, 0));
    CHECK(sheet.steps == QStringList{"Change At"});
    REQUIRE(sheet.openLine());
    QTest::keyClick(sheet.openLine(), Qt::Key_Escape);
    CHECK_FALSE(sheet.openLine());
    CHECK(sheet.rows.size() == 2);
}

TEST_CASE("Tab goes to the next cell of any kind, back with Shift, and opens it")
{
    Sheet sheet;
    sheet.openEditor(0, 0);
    sheet.typeHere("", Qt::Key_Tab);
    CHECK(sheet.place() == std::pair(0, 1));
    QComboBox* choice = sheet.openChoice();
    REQUIRE(choice);
    QTest::keyClick(choice, Qt::Key_Tab);
    REQUIRE(sheet.openLine());
    CHECK(sheet.place() == std::pair(0, 2));
    QTest::keyClick(sheet.openLine(), Qt::Key_Backtab);
    CHECK(sheet.openChoice());
    CHECK(sheet.place() == std::pair(0, 1));
}

TEST_CASE("Return and Tab past the last cell begin a row, which is one step with the first value typed into it")
{
    const Qt::Key key = GENERATE(Qt::Key_Return, Qt::Key_Tab);
    Sheet sheet;
    sheet.openEditor(1, 2);
    sheet.typeHere("90", key);
    CHECK(sheet.steps == QStringList{"Change Width"});
    CHECK(sheet.place() == std::pair(2, 0));
    CHECK(sheet.table.hasBegunRow());
    CHECK(sheet.table.values()->rowCount() == 3);
    CHECK(sheet.rows.size() == 2);    // it does not count yet
    sheet.table.setRows(sheet.rows);  // its owner shows what counts: the row stays
    CHECK(sheet.table.values()->rowCount() == 3);
    sheet.typeHere("300", Qt::Key_Return);
    CHECK(sheet.steps == QStringList{"Change Width", "Add Row"});
    REQUIRE(sheet.rows.size() == 3);
    CHECK_FALSE(sheet.table.hasBegunRow());
    CHECK(sheet.at(2, 0) == Approx(0.3));
    CHECK(sheet.at(2, 2) == Approx(0.09));  // as the row above
    sheet.typeHere("80", Qt::Key_Return);
    CHECK(sheet.steps.last() == "Change Width");
    CHECK(sheet.place() == std::pair(3, 0));
    CHECK(sheet.rows.size() == 3);
}

TEST_CASE("a row only begun is gone when it is left, whatever way, and changes nothing")
{
    Sheet sheet;
    const TableRows before = sheet.rows;
    const auto begin = [&] {
        sheet.openEditor(1, 2);
        sheet.typeHere("", Qt::Key_Return);
        REQUIRE(sheet.table.hasBegunRow());
    };
    const auto gone = [&] {
        QTest::qWait(1);
        CHECK_FALSE(sheet.table.hasBegunRow());
        CHECK(sheet.table.values()->rows() == before);
        CHECK(sheet.steps.isEmpty());
    };
    begin();
    QTest::keyClick(sheet.openLine(), Qt::Key_Escape);
    gone();
    begin();
    sheet.table.setCurrentIndex(sheet.table.model()->index(0, 0));
    gone();
    begin();
    sheet.typeHere("", Qt::Key_Return);
    sheet.typeHere("", Qt::Key_Return);  // past its end with nothing typed
    gone();
    begin();
    sheet.table.removeRows();
    gone();
    QWidget elsewhere;
    QLineEdit other(&elsewhere);
    begin();
    elsewhere.show();
    elsewhere.activateWindow();
    other.setFocus();
    gone();
}

TEST_CASE("a table whose rows are fixed begins none")
{
    Sheet sheet;
    sheet.table.setFreshRow({});
    sheet.openEditor(1, 2);
    sheet.typeHere("90", Qt::Key_Return);
    CHECK(sheet.table.values()->rowCount() == 2);
    CHECK(sheet.steps == QStringList{"Change Width"});
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
