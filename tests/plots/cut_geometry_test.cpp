// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cut_geometry.h"

#include "plots/cut.h"

#include <QImage>
#include <QPainter>
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

TEST_CASE("every cut can be painted, in its size, at any scale")
{
    rc::prop("any housing", [] {
        const CutGeometry cut = cutGeometry(arbitraryInput());
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
