// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/frequency_chart.h"

#include "plots/chart/line_clip.h"
#include "tests/plots/synthetic.h"

#include <QContextMenuEvent>
#include <QSignalSpy>
#include <QTest>
#include <QWheelEvent>
#include <catch2/catch.hpp>

#include <limits>

using namespace portwright;

namespace {

void fill(FrequencyChart& chart, int housings = 2)
{
    chart.setQuantity("Cone travel", "mm, peak", "Cone travel over frequency");
    chart.setRangePolicy(RangePolicy::travelTwiceLimit);
    std::vector<Curve> curves;
    for (int slot = 0; slot < housings; ++slot)
        curves.push_back(synthetic::curve(slot, [slot](double f) {
            return slot % 2 ? synthetic::portedTravel(f * (1 + 0.1 * slot))
                            : synthetic::closedTravel(f * (1 + 0.1 * slot));
        }));
    chart.setLimit(LimitLine{4.0, "cone limit 4.0 mm"});
    chart.setCurves(curves);
    chart.setCursorFrequency(80);
    chart.resize(360, 250);
    chart.grab();
}

}  // namespace

TEST_CASE("arrow keys move the cursor by a twenty-fourth and by a third of an octave")
{
    FrequencyChart chart;
    fill(chart);
    QSignalSpy moved(&chart, &FrequencyChart::cursorFrequencyMoved);
    QTest::keyClick(&chart, Qt::Key_Right);
    REQUIRE(moved.size() == 1);
    CHECK(moved[0][0].toDouble() == Approx(80 * std::exp2(1 / 24.0)));
    QTest::keyClick(&chart, Qt::Key_Left);
    CHECK(chart.cursorFrequency() == Approx(80));
    QTest::keyClick(&chart, Qt::Key_Left, Qt::ShiftModifier);
    CHECK(chart.cursorFrequency() == Approx(80 * std::exp2(-1 / 3.0)));
    for (int i = 0; i < 50; ++i)
        QTest::keyClick(&chart, Qt::Key_Left, Qt::ShiftModifier);
    CHECK(chart.cursorFrequency() == 20);
}

TEST_CASE("home, end, digits and the menu key are told, not acted on")
{
    FrequencyChart chart;
    fill(chart);
    QSignalSpy home(&chart, &FrequencyChart::homeRequested), end(&chart, &FrequencyChart::endRequested);
    QSignalSpy digit(&chart, &FrequencyChart::digitTyped), menu(&chart, &FrequencyChart::contextMenuWanted);
    QTest::keyClick(&chart, Qt::Key_Home);
    QTest::keyClick(&chart, Qt::Key_End);
    QTest::keyClick(&chart, Qt::Key_6);
    QContextMenuEvent wanted(QContextMenuEvent::Mouse, QPoint(50, 50), QPoint(60, 70));
    QApplication::sendEvent(&chart, &wanted);
    CHECK(home.size() == 1);
    CHECK(end.size() == 1);
    REQUIRE(digit.size() == 1);
    CHECK(digit[0][0].toString() == "6");
    REQUIRE(menu.size() == 1);
    CHECK(menu[0][0].toPoint() == QPoint(60, 70));
    CHECK(chart.cursorFrequency() == 80);
}

TEST_CASE("setting the cursor tells nobody, moving the mouse over the plot does")
{
    FrequencyChart chart;
    fill(chart);
    chart.show();
    QSignalSpy moved(&chart, &FrequencyChart::cursorFrequencyMoved);
    chart.setCursorFrequency(123);
    CHECK(moved.isEmpty());
    QTest::mouseMove(&chart, chart.plotBox().center().toPoint() + QPoint(1, 0));
    QTest::mouseMove(&chart, chart.plotBox().center().toPoint());
    REQUIRE(moved.size() >= 1);
    CHECK(moved.last()[0].toDouble() == Approx(std::sqrt(20.0 * 1000)).epsilon(0.03));  // 0.03: two pixels
}

TEST_CASE("a chart tells before the hand moves a range, asks to go back, and takes a former view")
{
    FrequencyChart chart;
    fill(chart);
    const ChartView before = chart.view();
    std::vector<std::pair<bool, ChartView>> told;
    QObject::connect(&chart, &FrequencyChart::viewAboutToChange,
                     [&](bool stepwise) { told.emplace_back(stepwise, chart.view()); });
    QSignalSpy back(&chart, &FrequencyChart::backRequested), values(&chart, &FrequencyChart::valueRangeMoved);
    QTest::keyClicks(&chart, "+");
    REQUIRE(told.size() == 1);
    CHECK(told[0] == std::pair(true, before));
    chart.setValueRange(1, 3);
    CHECK(values.size() == 1);
    QTest::mouseDClick(&chart, Qt::LeftButton, {}, chart.plotBox().center().toPoint());
    REQUIRE(told.size() == 2);
    CHECK_FALSE(told[1].first);
    CHECK(told[1].second.value == AxisRange{1, 3});
    QTest::keyClick(&chart, Qt::Key_Backspace);
    CHECK(back.size() == 1);
    chart.setView(told[1].second);
    CHECK(chart.view() == told[1].second);
    chart.setView(before);
    CHECK(chart.view() == before);
}

TEST_CASE("the wheel zooms frequency about the mouse, shift and wheel the value from zero")
{
    FrequencyChart chart;
    fill(chart);
    QSignalSpy ranged(&chart, &FrequencyChart::frequencyRangeMoved);
    const auto wheel = [&](Qt::KeyboardModifiers keys, int delta) {
        QWheelEvent e(chart.plotBox().center(), chart.plotBox().center(), {}, {0, delta}, Qt::NoButton, keys,
                      Qt::NoScrollPhase, false);
        QApplication::sendEvent(&chart, &e);
    };
    wheel(Qt::NoModifier, 120);
    CHECK(ranged.size() == 1);
    CHECK(chart.frequencyRange().lower > 20);
    CHECK(chart.frequencyRange().upper < 1000);
    for (int i = 0; i < 100; ++i)
        wheel(Qt::NoModifier, -120);
    CHECK(chart.frequencyRange().lower >= frequencyBounds.lower);
    for (int i = 0; i < 300; ++i)
        wheel(Qt::NoModifier, 120);
    CHECK(chart.frequencyRange().upper / chart.frequencyRange().lower >= 1.07);
    wheel(Qt::ShiftModifier, 120);
    CHECK(chart.valueRange().lower == 0);
    CHECK(chart.valueRange().upper == Approx(8 * 0.85));
    chart.fit();
    CHECK(chart.frequencyRange() == AxisRange{20, 1000});
    CHECK(chart.valueRange() == AxisRange{0, 8});
}

TEST_CASE("linked charts settle: a range set again tells nobody")
{
    FrequencyChart a, b;
    fill(a), fill(b);
    QObject::connect(&a, &FrequencyChart::frequencyRangeMoved, &b, &FrequencyChart::setFrequencyRange);
    QObject::connect(&b, &FrequencyChart::frequencyRangeMoved, &a, &FrequencyChart::setFrequencyRange);
    QSignalSpy first(&a, &FrequencyChart::frequencyRangeMoved), second(&b, &FrequencyChart::frequencyRangeMoved);
    a.setFrequencyRange(30, 300);
    CHECK(b.frequencyRange() == a.frequencyRange());
    CHECK(first.size() == 1);
    CHECK(second.size() == 1);
}

TEST_CASE("dragging pans, and a double click fits again")
{
    FrequencyChart chart;
    fill(chart);
    const QPoint middle = chart.plotBox().center().toPoint();
    QTest::mousePress(&chart, Qt::LeftButton, {}, middle);
    QMouseEvent move(QEvent::MouseMove, middle + QPoint(40, 2), chart.mapToGlobal(middle), Qt::NoButton, Qt::LeftButton,
                     {});
    QApplication::sendEvent(&chart, &move);
    QTest::mouseRelease(&chart, Qt::LeftButton, {}, middle + QPoint(40, 2));
    CHECK(chart.frequencyRange().lower < 20);
    CHECK(chart.frequencyRange().upper / chart.frequencyRange().lower == Approx(50));
    CHECK(chart.valueRange() == AxisRange{0, 8});
    QTest::mouseDClick(&chart, Qt::LeftButton, {}, middle);
    CHECK(chart.frequencyRange() == AxisRange{20, 1000});
}

TEST_CASE("the mark of a tuning is dragged along the axis, dropped, or given up by Esc")
{
    FrequencyChart chart;
    fill(chart);
    CHECK(chart.tuningHandle().isNull());
    chart.setTuningMark(80, 1, "Tuning of B");
    REQUIRE_FALSE(chart.tuningHandle().isNull());
    QSignalSpy dragged(&chart, &FrequencyChart::tuningDragged), dropped(&chart, &FrequencyChart::tuningDropped),
        given(&chart, &FrequencyChart::tuningDragGivenUp), cursor(&chart, &FrequencyChart::cursorFrequencyMoved);
    const AxisRange before = chart.frequencyRange();
    const QPoint at = chart.tuningHandle().center().toPoint();
    const int octave = int(chart.plotBox().width() * std::log(2.0) / std::log(before.upper / before.lower) + 0.5);
    QTest::mousePress(&chart, Qt::LeftButton, {}, at);
    QTest::mouseMove(&chart, at + QPoint(octave, 0));
    REQUIRE(dragged.size() == 1);
    CHECK(dragged[0][0].toDouble() == Approx(160).epsilon(0.02));  // a pixel is 1.3 %
    QTest::mouseRelease(&chart, Qt::LeftButton, {}, at + QPoint(octave, 0));
    REQUIRE(dropped.size() == 1);
    CHECK(dropped[0][0].toDouble() == Approx(160).epsilon(0.02));
    CHECK(chart.frequencyRange() == before);  // the picture was not panned
    CHECK(cursor.empty());
    QTest::mousePress(&chart, Qt::LeftButton, {}, at);
    QTest::mouseMove(&chart, at - QPoint(10, 0));
    QTest::keyClick(&chart, Qt::Key_Escape);
    CHECK(given.size() == 1);
    QTest::mouseRelease(&chart, Qt::LeftButton, {}, at - QPoint(10, 0));
    CHECK(dropped.size() == 1);
    chart.setTuningMark({}, 1);
    CHECK(chart.tuningHandle().isNull());
    chart.setTuningMark(5, 1);  // beside the picture
    CHECK(chart.tuningHandle().isNull());
}

TEST_CASE("a click on an end tag asks to toggle that housing")
{
    FrequencyChart chart;
    fill(chart, 6);
    const std::vector<QRectF> boxes = chart.endTagBoxes();
    REQUIRE(boxes.size() == 6);
    QSignalSpy toggled(&chart, &FrequencyChart::slotToggled);
    QTest::mouseClick(&chart, Qt::LeftButton, {}, boxes[2].center().toPoint());
    REQUIRE(toggled.size() == 1);
    CHECK(toggled[0][0].toInt() == 2);
}

TEST_CASE("end tags of six housings never overlap and stay in the chart")
{
    FrequencyChart chart;
    fill(chart, 6);
    const std::vector<QRectF> boxes = chart.endTagBoxes();
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        CHECK(QRectF(chart.rect()).contains(boxes[i]));
        for (std::size_t k = 0; k < i; ++k)
            CHECK_FALSE(boxes[i].intersects(boxes[k]));
    }
}

TEST_CASE("an over-bar spans the frequencies past the limit, above the plot, even when the curve leaves it")
{
    FrequencyChart chart;
    chart.resize(400, 300);
    chart.setRangePolicy(RangePolicy::airTwiceLimit);
    chart.setLimit(LimitLine{17, "air limit 17 m/s"});
    chart.setCurves({synthetic::curve(1, [](double f) { return f > 50 && f < 200 ? 400.0 : 1.0; })});
    chart.grab();
    const std::vector<QRectF> bars = chart.overBarBoxes();
    REQUIRE(bars.size() == 1);
    const QRectF plot = chart.plotBox();
    const auto x = [&](double f) { return plot.left() + plot.width() * std::log(f / 20) / std::log(50); };
    CHECK(bars[0].left() == Approx(x(50)).margin(2));  // the jump lies within one grid step of 1.3 %
    CHECK(bars[0].right() == Approx(x(200)).margin(2));
    CHECK(bars[0].bottom() <= plot.top());
    chart.setFrequencyRange(300, 900);
    CHECK(chart.overBarBoxes().empty());
}

TEST_CASE("readouts are exact where the caller says so, and interpolated elsewhere")
{
    FrequencyChart chart;
    fill(chart);
    chart.setCursorReadouts(80, {{0, 1.25}, {1, 7.77}});
    CHECK(chart.readoutOf(1) == "7.8");
    chart.setCursorFrequency(100);
    CHECK(chart.readoutOf(0) == readoutText(valueAt(chart.curves()[0], 100), chart.locale()));
    CHECK(chart.readoutOf(5) == QString(QChar(0x2013)));
}

TEST_CASE("the chart says in words what it shows")
{
    FrequencyChart chart;
    fill(chart);
    chart.setAbsentRemarks({"A has no port"});
    CHECK(chart.accessibleName() == "Cone travel over frequency");
    CHECK(chart.accessibleDescription().contains("At 80.0"));
    CHECK(chart.accessibleDescription().contains("A " + chart.readoutOf(0)));
    CHECK(chart.accessibleDescription().contains("A has no port"));
    CHECK(chart.accessibleDescription().contains("B is past the cone limit 4.0 mm"));
    CHECK(chart.focusPolicy() == Qt::StrongFocus);
}

TEST_CASE("no value, however broken, stops a chart from being painted")
{
    const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
    for (const RangePolicy policy : {RangePolicy::levelWindow50dB, RangePolicy::travelTwiceLimit,
                                     RangePolicy::airTwiceLimit, RangePolicy::fromZero})
        for (const double bad : {nan, inf, -inf, 0.0, 1e9, -1e9, 1e300, -1e300, 1e-300}) {
            FrequencyChart chart;
            chart.resize(320, 240);
            chart.setRangePolicy(policy);
            Curve wild = synthetic::curve(0, [&](double f) { return f > 100 ? bad : 50.0; });
            Curve spikes = synthetic::curve(1, [&](double f) { return int(f) % 2 ? bad : -bad; });
            Curve empty, shorter = synthetic::curve(3, [](double f) { return f; });
            empty.slot = 2;
            shorter.y.resize(10);
            chart.setLimit(LimitLine{bad, "limit"});
            chart.setCurves({wild, spikes, empty, shorter});
            chart.setCursorFrequency(bad);
            const QImage picture = chart.grab().toImage();
            CHECK(picture.width() == 320);
            chart.setCursorFrequency(100);
            chart.setValueRange(bad, 2 * bad);
            CHECK(std::isfinite(chart.valueRange().upper));
            chart.setFrequencyRange(bad, bad);
            CHECK(chart.frequencyRange().lower >= 1);
            chart.grab();
        }
    FrequencyChart none;
    none.setCurves({});
    none.resize(5, 5);
    CHECK_FALSE(none.grab().isNull());
}

TEST_CASE("a hidden housing has no curve and no end tag, but its strip tag brings it back")
{
    FrequencyChart chart;
    fill(chart);
    std::vector<Curve> curves = chart.curves();
    const QImage both = chart.picture({360, 250});
    curves[1].visible = false;
    chart.setCurves(curves);
    CHECK(chart.endTagBoxes().size() == 1);
    CHECK(chart.picture({360, 250}) != both);
    QSignalSpy toggled(&chart, &FrequencyChart::slotToggled);
    for (int x = 100; x < 360 && toggled.isEmpty(); x += 4)  // its place in the strip depends on the font
        if (QTest::mouseClick(&chart, Qt::LeftButton, {}, QPoint(x, 13));
            !toggled.isEmpty() && toggled[0][0].toInt() != 1)
            toggled.clear();
    REQUIRE(toggled.size() == 1);
    CHECK(toggled[0][0].toInt() == 1);
}

namespace {

/// A curve with a band of some dB about it.
Curve banded(int slot, double half)
{
    Curve c = synthetic::curve(slot, [](double f) { return synthetic::portedLevel(f); });
    for (const double y : c.y) {
        c.lower.push_back(y - half);
        c.upper.push_back(y + half);
    }
    return c;
}

void fillBanded(FrequencyChart& chart, std::vector<Curve> curves)
{
    chart.setQuantity("Level at the rider", "dB", "Level over frequency");
    chart.setRangePolicy(RangePolicy::levelWindow50dB);
    chart.setCurves(std::move(curves));
    chart.setCursorFrequency(80);
    chart.resize(520, 300);
    chart.grab();
}

int differing(const QImage& a, const QImage& b)
{
    int count = 0;
    for (int y = 0; y < a.height(); ++y)
        for (int x = 0; x < a.width(); ++x)
            count += a.pixel(x, y) != b.pixel(x, y);
    return count;
}

}  // namespace

TEST_CASE("a band is drawn about its curve, and leaves the curve and the base to be seen")
{
    FrequencyChart with, without;
    fillBanded(with, {banded(0, 3)});
    Curve plain = banded(0, 3);
    plain.lower.clear(), plain.upper.clear();
    fillBanded(without, {plain});
    const QSize size(520, 300);
    const QImage a = with.picture(size), b = without.picture(size);
    CHECK(differing(a, b) > 3000);  // some 300 px long, 6 of 50 dB high
    const QRect plot = with.plotBox().toRect();
    const QColor base = lightPalette().base, full = housingColour(lightPalette(), 0);
    int onCurve = 0, kept = 0;
    for (int y = plot.top(); y <= plot.bottom(); ++y)
        for (int x = plot.left(); x <= plot.right(); ++x)
            if (b.pixelColor(x, y) == full) {
                ++onCurve;
                kept += a.pixelColor(x, y) == full;
            }
    CHECK(onCurve > 50);
    CHECK(kept == onCurve);
    // Inside the band the base shines through: nearer to it than to the housing's colour.
    const QColor inside = a.pixelColor(plot.left() + plot.width() * 3 / 4, plot.top() + plot.height() / 5 + 8);
    CHECK(contrastRatio(inside, base) < contrastRatio(inside, full));
}

TEST_CASE("a hidden housing and a preview have no band")
{
    FrequencyChart with, without;
    Curve hidden = banded(0, 3), preview = banded(1, 3);
    hidden.visible = false;
    preview.preview = true;
    fillBanded(with, {hidden, preview});
    for (Curve* c : {&hidden, &preview})
        c->lower.clear(), c->upper.clear();
    fillBanded(without, {hidden, preview});
    const QRect plot = with.plotBox().toRect();
    CHECK(differing(with.picture({520, 300}).copy(plot), without.picture({520, 300}).copy(plot)) == 0);
}

TEST_CASE("the band's half height stands behind the figure where there is room")
{
    FrequencyChart chart;
    fillBanded(chart, {banded(0, 0.8)});
    CHECK(spreadAt(chart.curves().front(), 80) == Approx(0.8));
    CHECK(chart.accessibleDescription().contains(QStringLiteral("\u00b10.8")));
    // Six housings with their spreads would not fit one row of a narrow chart: then the figures stand alone, in as
    // many rows as without bands.
    std::vector<Curve> many, plain;
    for (int slot = 0; slot < 6; ++slot) {
        many.push_back(banded(slot, 0.8));
        plain.push_back(synthetic::curve(slot, [](double f) { return synthetic::portedLevel(f); }));
    }
    FrequencyChart narrow, bare;
    fillBanded(narrow, many);
    fillBanded(bare, plain);
    narrow.resize(360, 250), bare.resize(360, 250);
    narrow.grab(), bare.grab();
    CHECK(narrow.plotBox() == bare.plotBox());
}

TEST_CASE("an exported band stays inside the plot")
{
    // SVG files know no clipping: every point of a band's area is inside the box it was cut to.
    FrequencyChart chart;
    fillBanded(chart, {banded(0, 30)});
    chart.setValueRange(90, 100);
    chart.setFrequencyRange(50, 200);
    const QImage image = chart.picture({520, 300});
    const QRect plot = chart.plotBox().toRect();
    FrequencyChart bare;
    Curve plain = banded(0, 30);
    plain.lower.clear(), plain.upper.clear();
    fillBanded(bare, {plain});
    bare.setValueRange(90, 100);
    bare.setFrequencyRange(50, 200);
    const QImage other = bare.picture({520, 300});
    int outside = 0;
    for (int y = 0; y < image.height(); ++y)
        for (int x = 0; x < image.width(); ++x)
            if (!plot.adjusted(-1, -1, 1, 1).contains(x, y) && y > plot.top())  // the strip above holds the figures
                outside += image.pixel(x, y) != other.pixel(x, y);
    CHECK(outside == 0);
}

TEST_CASE("a polygon cut to a box lies in it and keeps what was inside")
{
    const QRectF box(0, 0, 10, 10);
    const QPolygonF square({{2, 2}, {4, 2}, {4, 4}, {2, 4}});
    CHECK(insideBox(square, box) == square);
    CHECK(insideBox(square.translated(20, 0), box).isEmpty());
    const QPolygonF large({{-5, -5}, {15, -5}, {15, 15}, {-5, 15}});
    const QPolygonF cut = insideBox(large, box);
    CHECK(cut.boundingRect() == box);
    const QPolygonF triangle({{5, -5}, {15, 5}, {5, 15}});  // its corner lies outside, at the right
    for (const QPointF& p : insideBox(triangle, box)) {
        CHECK(p.x() >= 0);
        CHECK(p.x() <= 10);
        CHECK(p.y() >= 0);
        CHECK(p.y() <= 10);
    }
}
