// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/scatter_view.h"

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
    return {{12.0, 96.0, QStringLiteral("first"), false},
            {18.5, 98.2, QStringLiteral("second"), true},
            {9.4, 93.1, QStringLiteral("third"), false}};
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
        for (const bool fromZero : {true, false}) {
            const AxisRange range = scatterRange(values, fromZero);
            REQUIRE(range.upper > range.lower);
            for (const double v : values) {
                REQUIRE(v >= range.lower);
                REQUIRE(v <= range.upper);
            }
            if (fromZero) REQUIRE(range.lower == 0);
        }
    }
    CHECK(scatterRange({}, false) == AxisRange{0, 1});
    CHECK(scatterRange({std::nan("")}, false) == AxisRange{0, 1});
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
