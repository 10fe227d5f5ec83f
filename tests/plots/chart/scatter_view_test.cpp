// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/scatter_view.h"

#include <catch2/catch.hpp>

#include <QImage>
#include <QPainter>
#include <QSignalSpy>
#include <QTest>

#include <random>

using namespace portwright;

namespace {

std::vector<ScatterPoint> somePoints()
{
    return {{12.0, 96.0, QStringLiteral("first")},
            {18.5, 98.2, QStringLiteral("second"), true},
            {9.4, 93.1, QStringLiteral("third")}};
}

struct Shown {
    ScatterView view{QStringLiteral("level over speed")};
    Shown()
    {
        view.resize(360, 260);
        view.setAxes({QStringLiteral("Air"), QStringLiteral("m/s")}, {QStringLiteral("Level"), QStringLiteral("dB")});
        view.setPoints(somePoints());
        view.show();
    }
};

}  // namespace

TEST_CASE("a scatter's range holds all its values with room about them, whatever they are")
{
    std::mt19937 random(7);
    for (int round = 0; round < 500; ++round) {
        std::vector<double> values;
        const double scale = std::pow(10, std::uniform_real_distribution<>(-3, 4)(random));
        for (int i = 0, n = 1 + int(random() % 9); i < n; ++i)
            values.push_back(scale * std::uniform_real_distribution<>(0.1, 1)(random));
        const AxisRange range = scatterRange({}, values);
        const auto [least, most] = std::minmax_element(values.begin(), values.end());
        const double width = range.upper - range.lower;
        REQUIRE(width > 0);
        CHECK(*least >= range.lower + 0.05 * width);
        CHECK(*most <= range.upper - 0.05 * width);
        if (values.size() > 1) CHECK(*most - *least >= 0.8 * width);  // the picture is theirs
    }
    CHECK(scatterRange({}) == AxisRange{0, 1});
    CHECK(scatterRange({std::nan("")}) == AxisRange{0, 1});
}

TEST_CASE("of values that may leave no more than a quarter does, and only where the rest gains by it")
{
    std::mt19937 random(11);
    for (int round = 0; round < 500; ++round) {
        std::vector<double> values;
        for (int i = 0, n = 1 + int(random() % 16); i < n; ++i)
            values.push_back(std::uniform_real_distribution<>(0, i % 5 == 4 ? 100 : 10)(random));
        const AxisRange range = scatterRange(values);
        std::size_t out = 0;
        double least = 1e9, most = -1e9;
        for (const double v : values)
            if (v < range.lower || v > range.upper)
                ++out;
            else
                least = std::min(least, v), most = std::max(most, v);
        const auto [low, high] = std::minmax_element(values.begin(), values.end());
        CHECK(out <= values.size() / 4);
        if (out > 0) CHECK(most - least < 0.4 * (*high - *low));
    }
    CHECK(scatterRange({10, 11, 12, 13, 90}).upper < 20);
    CHECK(scatterRange({10, 11, 12, 13, 90}, {85}).upper > 90);  // there anyway
    CHECK(scatterRange({10, 11, 12, 90}, {}).upper < 20);
    CHECK(scatterRange({10, 11, 90}).upper > 90);  // too few to call one far
}

TEST_CASE("a point far from the others stands at the edge, and can be chosen there")
{
    Shown shown;
    shown.view.setPoints({{10, 90, {}}, {11, 91, {}}, {12, 92, {}}, {13, 93, {}}, {95, 92.5, QStringLiteral("fast")}});
    REQUIRE(shown.view.isBeyond(4));
    CHECK_FALSE(shown.view.isBeyond(3));
    CHECK(QRectF(shown.view.rect()).contains(shown.view.placeOf(4)));
    CHECK(shown.view.placeOf(4).x() > shown.view.placeOf(3).x());
    QTest::mouseClick(&shown.view, Qt::LeftButton, {}, shown.view.placeOf(4).toPoint());
    CHECK(shown.view.current() == 4);
    CHECK(shown.view.accessibleDescription().contains(QStringLiteral("95.0")));
}

TEST_CASE("points lie inside the picture, more to the right with more x and higher with more y")
{
    Shown shown;
    for (int i = 0; i < 3; ++i)
        CHECK(QRectF(shown.view.rect()).contains(shown.view.placeOf(i)));
    CHECK(shown.view.placeOf(1).x() > shown.view.placeOf(0).x());
    CHECK(shown.view.placeOf(2).x() < shown.view.placeOf(0).x());
    CHECK(shown.view.placeOf(1).y() < shown.view.placeOf(0).y());
}

TEST_CASE("a limit is always in the picture, with what is past it to its right")
{
    Shown shown;
    shown.view.setLimit(ScatterLimit{17, QStringLiteral("limit 17")});
    for (const double x : {2.0, 17.0, 60.0}) {
        shown.view.setLimit(ScatterLimit{x, QStringLiteral("limit")});
        shown.view.setPoints({{17, 90, {}}, {30, 95, {}}});
        const QImage picture = shown.view.grab().toImage();
        int column = -1;  // of the line: over its whole height
        for (int at = 0; at < picture.width() && column < 0; ++at) {
            int red = 0;
            for (int y = 0; y < picture.height(); ++y)
                red += picture.pixelColor(at, y) == lightPalette().over ? 1 : 0;
            if (red > picture.height() / 2) column = at;
        }
        INFO(x);
        REQUIRE(column > 0);
        if (x < 10) CHECK(column < shown.view.placeOf(0).x());
        if (x == 17) CHECK(std::abs(column - shown.view.placeOf(0).x()) <= 2);
        if (x > 50) CHECK(column > shown.view.placeOf(1).x());
    }
    CHECK(shown.view.accessibleDescription().contains(QStringLiteral("limit")));
}

TEST_CASE("what is there already has a square with its own label, and is told by it")
{
    Shown shown;
    auto points = somePoints();
    points[0].standing = true, points[0].label = QStringLiteral("B");
    shown.view.setPoints(points);
    shown.view.setCurrent(0);
    CHECK(shown.view.accessibleDescription().contains(QStringLiteral("Chosen B: first")));
    const auto inked = [&] {
        const QImage picture = shown.view.grab().toImage();
        const QPoint at = shown.view.placeOf(0).toPoint();
        int count = 0;
        for (int x = -9; x <= 9; ++x)
            for (int y = -9; y <= 9; ++y)
                count += picture.pixelColor(at + QPoint(x, y)) == lightPalette().ink ? 1 : 0;
        return count;
    };
    const int square = inked();
    shown.view.setPoints(somePoints());
    CHECK(square > 1.15 * inked());  // 4/pi of a disc, rims apart
}

TEST_CASE("arrows go through the list and along the picture, Return takes the chosen point")
{
    Shown shown;
    QSignalSpy chosen(&shown.view, &ScatterView::chosen), taken(&shown.view, &ScatterView::activated);
    QTest::keyClick(&shown.view, Qt::Key_Down);
    CHECK(shown.view.current() == 0);
    QTest::keyClick(&shown.view, Qt::Key_Right);
    CHECK(shown.view.current() == 1);  // the next faster
    QTest::keyClick(&shown.view, Qt::Key_Left);
    QTest::keyClick(&shown.view, Qt::Key_Left);
    CHECK(shown.view.current() == 2);  // the slowest
    QTest::keyClick(&shown.view, Qt::Key_Left);
    CHECK(shown.view.current() == 2);
    CHECK(chosen.count() == 4);
    QTest::keyClick(&shown.view, Qt::Key_Return);
    REQUIRE(taken.count() == 1);
    CHECK(taken[0][0].toInt() == 2);
    CHECK(shown.view.accessibleDescription().contains(QStringLiteral("third")));
}

TEST_CASE("a point is chosen by a click, taken by a double click, and pointed at")
{
    Shown shown;
    QSignalSpy taken(&shown.view, &ScatterView::activated), hovered(&shown.view, &ScatterView::hoveredChanged);
    QTest::mouseMove(&shown.view, shown.view.placeOf(1).toPoint());
    QTest::mouseClick(&shown.view, Qt::LeftButton, {}, shown.view.placeOf(1).toPoint());
    CHECK(shown.view.current() == 1);
    QTest::mouseClick(&shown.view, Qt::LeftButton, {}, QPoint(5, 5));  // nothing there
    CHECK(shown.view.current() == 1);
    QTest::mouseDClick(&shown.view, Qt::LeftButton, {}, shown.view.placeOf(0).toPoint());
    REQUIRE(taken.count() == 1);
    CHECK(taken[0][0].toInt() == 0);
}

TEST_CASE("the picture has its marks in both themes, and a sentence where there is nothing")
{
    Shown shown;
    for (const PlotPalette& palette : {lightPalette(), darkPalette()}) {
        shown.view.setPlotPalette(palette);
        const QImage picture = shown.view.grab().toImage();
        const auto at = [&](int i) {
            return picture.pixelColor(shown.view.placeOf(i).toPoint() * picture.devicePixelRatio());
        };
        CHECK(at(0) == palette.ink);   // a disc
        CHECK(at(1) == palette.base);  // past its limit: open
        CHECK(picture.pixelColor(2, 2) == palette.base);
    }
    shown.view.setEmptyWords(QStringLiteral("Nothing is found yet."));
    shown.view.setPoints({});
    CHECK(shown.view.accessibleDescription() == QStringLiteral("Nothing is found yet."));
    const QImage picture = shown.view.grab().toImage();
    bool written = false;
    for (int x = 0; x < picture.width(); ++x)
        for (int y = 0; y < picture.height(); ++y)
            written = written || picture.pixelColor(x, y) != darkPalette().base;
    CHECK(written);
}

TEST_CASE("two that lie beyond the same corner have each a mark of their own, and can be chosen each")
{
    Shown shown;
    shown.view.setPoints({{10, 98, {}},
                          {11, 97, {}},
                          {12, 96.5, {}},
                          {13, 96, {}},
                          {12.5, 97.2, {}},
                          {11.7, 96.7, {}},
                          {12.2, 97.7, {}},
                          {10.4, 96.2, {}},
                          {95, 70, QStringLiteral("a")},
                          {90, 71, QStringLiteral("b")}});
    REQUIRE(shown.view.isBeyond(8));
    REQUIRE(shown.view.isBeyond(9));
    const QPointF a = shown.view.placeOf(8), b = shown.view.placeOf(9);
    CHECK(std::hypot(a.x() - b.x(), a.y() - b.y()) > 9);
    for (const int index : {8, 9}) {
        CHECK(QRectF(shown.view.rect()).contains(shown.view.placeOf(index)));
        QTest::mouseClick(&shown.view, Qt::LeftButton, {}, shown.view.placeOf(index).toPoint());
        CHECK(shown.view.current() == index);
    }
}
