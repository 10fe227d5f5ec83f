// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cut/cut_geometry.h"

#include "plots/cut/cut.h"

#include <QImage>
#include <QPainter>
#include <QSignalSpy>
#include <QTest>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>

using namespace portwright;

namespace {

rc::Gen<double> logBetween(double from, double to)
{
    return rc::gen::map(rc::gen::inRange(0, 1000001), [=](int n) { return from * std::pow(to / from, n / 1e6); });
}

CutInput pod() { return {.Sd = 0.0132, .netVolume = 1.6e-3}; }
CutInput ported()
{
    CutInput input{.Sd = 0.0132, .netVolume = 5.2e-3};
    input.ports.push_back({.bore = 0.054, .length = 0.13});
    return input;
}

CutInput arbitraryInput()
{
    CutInput input;
    input.Sd = *logBetween(1e-3, 0.1);
    input.drivers = *rc::gen::inRange(1, 9);
    input.netVolume = *logBetween(1e-4, 1);
    input.driverDisplacement = *rc::gen::arbitrary<bool>() ? *logBetween(1e-5, 1e-2) : 0;
    input.outline = *rc::gen::element(OutlineFamily::lower, OutlineFamily::fairing, OutlineFamily::lid);
    input.leak = *rc::gen::arbitrary<bool>();
    if (*rc::gen::arbitrary<bool>())
        input.secondVolume = *logBetween(1e-4, 0.5), input.holeDiameter = *logBetween(5e-3, 0.3),
        input.holeDepth = 0.01;
    for (int i = *rc::gen::inRange(0, 4); i > 0; --i) {
        const bool slot = *rc::gen::arbitrary<bool>();
        input.ports.push_back({slot ? PortShape::slot : PortShape::round, *rc::gen::inRange(1, 17),
                               *logBetween(5e-3, 0.3), *logBetween(5e-3, 0.5), *logBetween(2e-3, 0.2),
                               *logBetween(1e-3, 3), input.secondVolume && *rc::gen::arbitrary<bool>()});
    }
    if (*rc::gen::inRange(0, 4) == 0) input.passives.push_back({*logBetween(1e-3, 0.1), false});
    return input;
}

/// A shape of two to nine positions, an end of it perhaps a tip.
Profile arbitraryProfile()
{
    Profile p;
    double at = *rc::gen::element(0.0, 0.2);
    for (int i = *rc::gen::inRange(2, 10); i > 0; --i) {
        p.at.push_back(at);
        p.area.push_back(*logBetween(1e-3, 0.1));
        at += *logBetween(5e-3, 0.3);
    }
    if (*rc::gen::arbitrary<bool>()) p.area.back() = 0;
    return p;
}

CutInput arbitraryMeasured()
{
    CutInput input = arbitraryInput();
    input.profile = arbitraryProfile();
    const double length = input.profile->at.back() - input.profile->at.front();
    const auto place = [length] { return *rc::gen::inRange(0, 101) / 100.0 * length; };
    input.driverAt = place();
    for (CutPort& port : input.ports) {
        if (*rc::gen::arbitrary<bool>()) port.at = place();
        port.wall = *rc::gen::element(0.0, 0.003);
        port.inside = *rc::gen::inRange(0, 101) / 100.0 * port.length;
    }
    return input;
}

/// A straight tube, 0.3 m long, 0.02 m2 wide, with a driver of 0.0132 m2.
CutInput straight()
{
    CutInput input = pod();
    input.netVolume = 6e-3;
    input.profile = Profile{{0, 0.3}, {0.02, 0.02}, {}};
    return input;
}

}  // namespace

TEST_CASE("the section of every assumed outline reproduces the volume")
{
    rc::prop("any housing, all three families", [] {
        const CutInput input = arbitraryInput();
        const CutGeometry cut = cutGeometry(input);
        // 1e-9: bisection ends at the last bits, the rest is the shoelace sum's rounding
        RC_ASSERT(std::abs(polygonArea(cut.outline) * cut.breadth / cut.grossVolume - 1) < 1e-9);
        RC_ASSERT(cut.grossVolume > 1e9 * input.netVolume);
        if (input.secondVolume) {
            RC_ASSERT(std::abs(polygonArea(cut.second) * cut.breadth / cut.secondGrossVolume - 1) < 1e-9);
            RC_ASSERT(cut.secondGrossVolume >= 1e9 * *input.secondVolume);
        }
        for (const QPointF& p : cut.outline)
            RC_ASSERT((std::isfinite(p.x()) && std::isfinite(p.y()) && p.y() >= -1e-6));
        RC_ASSERT(cut.bounds.isValid());
        RC_ASSERT(cut.bounds.contains(cut.outline.boundingRect().adjusted(1, 1, -1, -1)));
    });
}

TEST_CASE("drivers, tubes and passives stand side by side and never overlap")
{
    rc::prop("any housing", [] {
        const CutGeometry cut = cutGeometry(arbitraryInput());
        std::vector<std::pair<double, double>> spans;
        for (const auto& d : cut.drivers)
            spans.emplace_back(d.centre - 0.635 * d.d, d.centre + 0.635 * d.d);
        for (const auto& t : cut.tubes)
            spans.emplace_back(t.left, t.left + t.width);
        for (const auto& p : cut.passives)
            spans.emplace_back(p.centre - 0.635 * p.d, p.centre + 0.635 * p.d);
        for (std::size_t i = 0; i < spans.size(); ++i)
            for (std::size_t k = 0; k < i; ++k)
                RC_ASSERT((spans[i].second <= spans[k].first + 1e-6 || spans[k].second <= spans[i].first + 1e-6));
    });
}

TEST_CASE("a driver is drawn by the shop's proportions of its cone area")
{
    CutInput input = pod();
    input.netVolume = 2.1e-3;
    const CutGeometry cut = cutGeometry(input);
    REQUIRE(cut.drivers.size() == 1);
    const double d = 2e3 * std::sqrt(0.0132 / 3.14159265358979);
    CHECK(cut.drivers[0].d == Approx(d));
    CHECK(cut.breadth == Approx(1.27 * d));
    CHECK(cut.outline.boundingRect().width() == Approx(1.27 * d + 24));
    CHECK(cut.outline.boundingRect().height() == Approx(0.53 * d + 12));
    CHECK(cut.fits);
    CHECK_FALSE(cut.known);
}

TEST_CASE("a tube sets the depth: its length and one bore")
{
    const CutGeometry cut = cutGeometry(ported());
    REQUIRE(cut.tubes.size() == 1);
    CHECK(cut.outline.boundingRect().height() == Approx(130 + 54));
    CHECK(cut.tubes[0].width == Approx(54));
    CHECK(cut.tubes[0].left > cut.drivers[0].centre + 0.635 * cut.drivers[0].d);
    CHECK(cut.outline.boundingRect().right() >= cut.tubes[0].left + 54 + 3);
}

TEST_CASE("more volume than the depth needs makes the cavity deeper, a lid longer")
{
    CutInput big = pod();
    big.netVolume = 5e-3;
    const QRectF small = cutGeometry(pod()).outline.boundingRect(), deep = cutGeometry(big).outline.boundingRect();
    CHECK(deep.height() > small.height() + 10);
    CHECK(deep.width() == Approx(small.width()));
    big.outline = OutlineFamily::lid;
    const QRectF lid = cutGeometry(big).outline.boundingRect();
    CHECK(lid.height() <= small.height() * 1.05);
    CHECK(lid.width() > small.width() + 10);
}

TEST_CASE("what cannot fit is said, and its volume is drawn true")
{
    CutInput tiny = pod();
    tiny.netVolume = 1e-4;
    tiny.driverDisplacement = 1e-5;
    CHECK_FALSE(cutGeometry(tiny).fits);
    CHECK(cutGeometry(pod()).fits);
    CHECK(cutGeometry(ported()).fits);
}

TEST_CASE("a large cavity grows in every direction instead of into a shaft")
{
    for (const OutlineFamily family : {OutlineFamily::lower, OutlineFamily::fairing, OutlineFamily::lid}) {
        CutInput huge = pod();
        huge.netVolume = 1;
        huge.outline = family;
        const QRectF r = cutGeometry(huge).outline.boundingRect();
        CHECK(r.height() < 2.5 * r.width());
        CHECK(r.width() < 4 * r.height());
    }
}

TEST_CASE("two cavities lie side by side with their hole in the wall between")
{
    CutInput two = pod();
    two.secondVolume = 3e-3;
    two.holeDiameter = 0.04;
    two.holeDepth = 0.008;
    two.ports.push_back({.bore = 0.05, .length = 0.05, .second = true});
    const CutGeometry cut = cutGeometry(two);
    CHECK(cut.second.boundingRect().left() > cut.outline.boundingRect().right());
    CHECK(cut.hole.left() == Approx(cut.outline.boundingRect().right()));
    CHECK(cut.hole.right() == Approx(cut.second.boundingRect().left()));
    CHECK(cut.hole.height() == Approx(40));
    CHECK(cut.tubes[0].left > cut.second.boundingRect().left());
}

TEST_CASE("a measured shape is drawn as a round body that holds what it has to hold")
{
    rc::prop("any shape", [] {
        const CutInput input = arbitraryMeasured();
        const CutGeometry cut = cutGeometry(input);
        RC_ASSERT(cut.known);
        // 1e-12: one root and one sum of frustums apart
        RC_ASSERT(std::abs(revolvedVolume(cut.halfWidths) / cut.grossVolume - 1) < 1e-12);
        RC_ASSERT(cut.grossVolume > 1e9 * input.netVolume);
        const double length = 1e3 * (input.profile->at.back() - input.profile->at.front());
        RC_ASSERT(std::abs(cut.halfWidths.back().x() - length) < 1e-9 * length);  // to scale along the axis
        double area = 0;  // of the outline: twice the half widths
        for (qsizetype i = 0; i + 1 < cut.halfWidths.size(); ++i)
            area += (cut.halfWidths[i + 1].x() - cut.halfWidths[i].x()) *
                    (cut.halfWidths[i + 1].y() + cut.halfWidths[i].y());
        RC_ASSERT(std::abs(polygonArea(cut.outline) / area - 1) < 1e-9);
        RC_ASSERT(cut.bounds.contains(cut.outline.boundingRect()));
    });
}

TEST_CASE("widths keep the proportions that were measured")
{
    CutInput input = straight();
    input.profile = Profile{{0.1, 0.2, 0.4}, {0.01, 0.04, 0.09}, {}};
    const QPolygonF half = cutGeometry(input).halfWidths;
    CHECK(half[0].x() == 0);
    CHECK(half[1].x() == Approx(100));
    CHECK(half[1].y() / half[0].y() == Approx(2));
    CHECK(half[2].y() / half[0].y() == Approx(3));
}

TEST_CASE("a driver in an end looks along the axis, upwards; the port of the far end looks down")
{
    CutInput input = straight();
    input.ports.push_back({.bore = 0.05, .length = 0.1, .inside = 0.08});
    CutGeometry cut = cutGeometry(input);
    CHECK(cut.outline.boundingRect().height() == Approx(300));
    REQUIRE(cut.drivers.size() == 1);
    CHECK(cut.drivers[0].place.turn == 0);
    CHECK(cut.drivers[0].place.at == QPointF(0, 0));
    REQUIRE(cut.tubes.size() == 1);
    CHECK(std::abs(cut.tubes[0].place.turn) == 180);
    CHECK(cut.tubes[0].place.at.y() == Approx(300));
    CHECK(cut.tubes[0].length == Approx(80));
    CHECK(cut.tubes[0].outside == Approx(20));
    CHECK(cut.bounds.bottom() == Approx(320));
    input.driverAt = 0.3;  // the other end: turned over, so that the driver looks up all the same
    cut = cutGeometry(input);
    CHECK(cut.drivers[0].place.turn == 0);
    CHECK(cut.drivers[0].place.at.y() == Approx(0).margin(1e-9));
    CHECK(cut.tubes[0].place.at.y() == Approx(0).margin(1e-9));  // beside it
    CHECK(cut.tubes[0].place.at.x() > 0.635 * cut.drivers[0].d);
}

TEST_CASE("a driver in the side lets the shape lie, a port at a place stands in the wall there")
{
    CutInput input = straight();
    input.driverAt = 0.1;
    input.ports.push_back({.bore = 0.03, .length = 0.1, .at = 0.25});
    input.ports.push_back({.bore = 0.03, .length = 0.1, .at = 0.1});
    const CutGeometry cut = cutGeometry(input);
    CHECK(cut.outline.boundingRect().width() == Approx(300));
    CHECK(cut.drivers[0].place.turn == 0);
    CHECK(cut.drivers[0].place.at.x() == Approx(100));
    CHECK(cut.drivers[0].place.at.y() == Approx(0).margin(1e-9));
    REQUIRE(cut.tubes.size() == 2);
    CHECK(cut.tubes[0].place.at.x() == Approx(250));
    CHECK(cut.tubes[0].place.turn == 0);
    CHECK(cut.tubes[0].place.at.y() == Approx(0).margin(1e-9));
    CHECK(cut.tubes[1].place.at.x() == Approx(100));
    CHECK(std::abs(cut.tubes[1].place.turn) == 180);  // the driver is there: the opposite wall
    CHECK(cut.tubes[1].place.at.y() == Approx(cut.outline.boundingRect().bottom()));
}

TEST_CASE("a shape that breaks the rules of a profile is not drawn: the outline is assumed")
{
    CutInput input = straight();
    input.profile->at = {0.3, 0.3};
    CHECK_FALSE(cutGeometry(input).known);
}

TEST_CASE("a housing with measured sections has a cut with its shape and the volume that was measured")
{
    Project project;
    DriverSheet driver;
    driver.id = "mid";
    driver.fs = 72, driver.Qes = 0.62, driver.Qms = 5.1, driver.Vas = 9.8e-3, driver.Re = 3.3, driver.Sd = 0.0132;
    project.drivers.push_back(driver);
    Housing housing;
    housing.driver = "mid";
    SectionsMeasurement sections;
    sections.sections.resize(2);
    for (Section& s : sections.sections)
        s.width = 0.2, s.height = 0.15;
    sections.sections[1].at = 0.25;
    housing.cavity.measurements.push_back({sections, InPlace::everything, {}, false, {}});
    housing.cavity.driverAt = 0.1;
    PortOpening port;
    port.diameter = 0.05, port.length = 0.1, port.at = 0.2, port.wall = 0.002, port.innerEnd = TubeEnd::free;
    housing.openings.push_back({port, {}, {}});
    project.housings.push_back(housing);
    const Result<CutInput> input = cutInputOf(project, 0);
    REQUIRE(input);
    CHECK(input->netVolume == Approx(0.2 * 0.15 * 0.25));
    CHECK(input->driverAt == 0.1);
    CHECK(input->ports[0].at == 0.2);
    CHECK(input->ports[0].inside == 0.1);
    const CutGeometry cut = cutGeometry(*input);
    CHECK(cut.known);
    CHECK(cut.halfWidths.back().x() == Approx(250));
    project.housings[0].cavity.measurements[0].unused = true;
    project.housings[0].cavity.netVolume = 5e-3;
    CHECK_FALSE(cutGeometry(*cutInputOf(project, 0)).known);
}

TEST_CASE("every cut can be painted, in its size, at any scale")
{
    rc::prop("any housing, of assumed and of measured shape", [] {
        const CutGeometry cut = cutGeometry(*rc::gen::arbitrary<bool>() ? arbitraryMeasured() : arbitraryInput());
        QImage image(200, 150, QImage::Format_RGB32);
        image.fill(Qt::white);
        QPainter painter(&image);
        CutFace face{.dimensions = true, .words = true, .travel = true};
        face.pixelsPerMm = fittingPixelsPerMm(cut, image.size(), face, QFontMetricsF(painter.font()));
        const QSizeF size = cutSize(cut, face, QFontMetricsF(painter.font()));
        RC_ASSERT(size.height() <= 150.5);
        paintCut(painter, {0, 0}, cut, lightPalette(), face, {0.004, {20, 5, 1}});
        painter.end();
        int inked = 0;
        for (int y = 0; y < 150; y += 2)
            for (int x = 0; x < 200; x += 2)
                inked += image.pixel(x, y) != qRgb(255, 255, 255);
        RC_ASSERT(inked > 20);
    });
}

TEST_CASE("a straight port is drawn to scale: bore, length and flares within it")
{
    CutInput input = ported();
    input.ports[0].innerFlare = 0.012, input.ports[0].outerFlare = 0.008;
    const CutGeometry cut = cutGeometry(input);
    REQUIRE(cut.tubes.size() == 1);
    const auto& line = cut.tubes[0].line;
    REQUIRE(line.size() > 4);
    CHECK(line.back().at.y() == Approx(130));
    CHECK(line.front().half == Approx(27 + 8));  // a quarter-round widens its end by its radius
    CHECK(line.back().half == Approx(27 + 12));
    double least = 1e9;
    for (std::size_t i = 1; i < line.size(); ++i) {
        CHECK(line[i].at.y() > line[i - 1].at.y());
        CHECK(line[i].at.x() == Approx(line[0].at.x()));
        least = std::min(least, line[i].half);
    }
    CHECK(least == Approx(27));
    for (const auto& station : line)  // on its quarter-round: r - half + bore/2 is the height of the circle
        if (const double s = 130 - station.at.y(); s < 12)
            CHECK(std::hypot(12 - s, 27 + 12 - station.half) == Approx(12));
    CHECK(cut.bounds.contains(cut.tubes[0].box(3)));
}

TEST_CASE("a bent port keeps its length along the centre line and its bends' radius and angle")
{
    rc::prop("any bends", [] {
        CutInput input = ported();
        input.ports[0].length = *logBetween(0.1, 0.6);
        double arcs = 0, turned = 0;
        for (int i = 0, n = *rc::gen::inRange(1, 4); i < n; ++i) {
            input.ports[0].bends.emplace_back(*logBetween(0.1, 1.6), *logBetween(0.02, 0.1));
            arcs += input.ports[0].bends.back().first * input.ports[0].bends.back().second;
            turned += input.ports[0].bends.back().first;
        }
        RC_PRE(arcs < input.ports[0].length);
        const CutGeometry cut = cutGeometry(input);
        RC_ASSERT(cut.tubes.size() == 1u);
        const auto& tube = cut.tubes[0];
        double length = 0;
        for (std::size_t i = 1; i < tube.line.size(); ++i) {
            const QPointF step = tube.line[i].at - tube.line[i - 1].at;
            length += std::hypot(step.x(), step.y());
        }
        const double whole = tube.outside + 1e3 * input.ports[0].length;
        RC_ASSERT(length <= whole * (1 + 1e-9));
        RC_ASSERT(length > whole * 0.999);  // chords of 7.5 degrees are 0.07 % shorter than their arcs
        RC_ASSERT(std::abs(tube.line.back().turn - turned) < 1e-6);
        RC_ASSERT(cut.bounds.contains(tube.box(cut.wall)));
    });
}

TEST_CASE("a port's inner end is dragged to a length, and Esc leaves it")
{
    CutView view;
    view.resize(300, 300);
    view.setFace({.pixelsPerMm = 0, .scaleBar = true, .dimensions = true, .words = true});
    view.setCut(cutGeometry(ported()));
    QSignalSpy dragged(&view, &CutView::lengthDragged), dropped(&view, &CutView::lengthDropped),
        given(&view, &CutView::dragGivenUp);
    REQUIRE(view.innerEndOf(0));
    const QPoint end = view.innerEndOf(0)->toPoint();
    QTest::mousePress(&view, Qt::LeftButton, {}, end);  // not to be dragged: nothing happens
    QTest::mouseMove(&view, end + QPoint(0, 20));
    QTest::mouseRelease(&view, Qt::LeftButton, {}, end + QPoint(0, 20));
    CHECK(dragged.empty());
    view.setLengthsDraggable(true);
    QTest::mousePress(&view, Qt::LeftButton, {}, end);
    QTest::mouseMove(&view, end + QPoint(0, 20));
    REQUIRE(dragged.size() == 1);
    const double longer = dragged[0][1].toDouble();
    CHECK(dragged[0][0].toULongLong() == 0);
    CHECK(longer > 0.13);
    QTest::mouseMove(&view, end - QPoint(0, 20));
    REQUIRE(dragged.size() == 2);
    CHECK(dragged[1][1].toDouble() == Approx(2 * 0.13 - longer).margin(6e-4));  // steps of 0.5 mm
    QTest::mouseRelease(&view, Qt::LeftButton, {}, end - QPoint(0, 20));
    REQUIRE(dropped.size() == 1);
    CHECK(dropped[0][1].toDouble() == dragged[1][1].toDouble());
    QTest::mousePress(&view, Qt::LeftButton, {}, end);
    QTest::mouseMove(&view, end + QPoint(0, 10));
    QTest::keyClick(&view, Qt::Key_Escape);
    CHECK(given.size() == 1);
    QTest::mouseMove(&view, end + QPoint(0, 30));
    QTest::mouseRelease(&view, Qt::LeftButton, {}, end + QPoint(0, 30));
    CHECK(dropped.size() == 1);
}
