// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/measures.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QApplication>
#include <QFontMetrics>

using namespace portwright;

TEST_CASE("the mark of a figure past its limit stands beside the figure")
{
    Bench bench;
    bench.window->centre()->showTable(true);
    bench.settle();
    TablePage* table = bench.window->centre()->table();
    const QAbstractItemModel* model = table->model();
    QModelIndex past;
    for (int row = 0; row < model->rowCount() && !past.isValid(); ++row)
        for (int column = 1; column < model->columnCount() && !past.isValid(); ++column)
            if (const QModelIndex at = model->index(row, column);
                !at.data(Qt::DecorationRole).isNull() && table->currentIndex().row() != row)
                past = at;
    REQUIRE(past.isValid());
    const QRect cell = table->visualRect(past);
    const QImage picture = table->viewport()->grab(cell).toImage();
    const QRgb background = picture.pixel(1, 1);
    int leftmost = picture.width(), rightmost = -1;
    for (int y = 2; y < picture.height() - 2; ++y)
        for (int x = 0; x < picture.width(); ++x)
            if (picture.pixel(x, y) != background) {
                leftmost = std::min(leftmost, x);
                rightmost = std::max(rightmost, x);
            }
    REQUIRE(rightmost > leftmost);
    const QFontMetrics letters(past.data(Qt::FontRole).value<QFont>());
    const int figure = letters.horizontalAdvance(past.data().toString());
    const int mark = table->iconSize().width();
    CHECK(rightmost - leftmost > figure);                 // both are there
    CHECK(rightmost - leftmost < figure + mark + px(8));  // and close together
    CHECK(rightmost > picture.width() - px(14));          // at the right
}

TEST_CASE("a head that has no room stands in two lines, or shows its unit: never a piece of a word")
{
    const QFontMetrics font{QApplication::font()};
    const int whole = font.horizontalAdvance("Cone mm"), words = font.horizontalAdvance("Cone");
    CHECK(fittedHead("Cone mm", font, whole) == "Cone mm");
    CHECK(fittedHead("Cone mm", font, whole - 1) == "Cone\nmm");
    CHECK(fittedHead("Cone mm", font, words) == "Cone\nmm");
    CHECK(fittedHead("Cone mm", font, words - 1) == "mm");
}
