// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/sheet/sheet.h"

#include "plots/sheet/sheet_layout.h"

#include <QImage>
#include <QSvgRenderer>
#include <catch2/catch.hpp>

#include <cmath>

using namespace portwright;

namespace {

const QDate day(2026, 11, 25);

PortOpening tube(double bore)
{
    PortOpening port;
    port.diameter = bore;
    port.length = 0.13;
    return port;
}

/// An invented job with a closed stock pod and ported ones of growing volume.
Project job(int housings)
{
    Project project;
    project.title = "Lower fairing, both sides (invented)";
    DriverSheet driver;
    driver.id = "mid";
    driver.name = "165 mm mid-bass, demo";
    driver.fs = 72, driver.Qes = 0.62, driver.Qms = 5.1, driver.Vas = 9.8e-3, driver.Re = 3.3, driver.Sd = 0.0132;
    driver.Le = 0.25e-3, driver.Xmax = 4e-3, driver.power = 100;
    project.drivers.push_back(driver);
    Feed feed;
    feed.voltage = 14.1;
    project.feed = feed;
    for (int i = 0; i < housings; ++i) {
        Housing h;
        h.id = "h" + std::to_string(i);
        h.name = i == 0 ? "Stock sealed pod" : "Ported, " + std::to_string(50 + 4 * i) + " mm tube";
        h.driver = "mid";
        h.cavity.netVolume = i == 0 ? 1.6e-3 : 5.2e-3 + 0.5e-3 * i;
        h.openings.push_back({LeakByQ{10}, {}, {}});
        if (i > 0) h.openings.push_back({tube(0.05 + 0.004 * i), {}, {}});
        project.housings.push_back(h);
    }
    return project;
}

std::vector<QSize> papers()
{
    return {{1280, 800}, {1600, 1200}, {794, 1123}, {1123, 794}, {816, 1056}, {1920, 1080}};  // A4 and Letter at 96 dpi
}

}  // namespace

TEST_CASE("parts of a sheet never overlap nor leave the page, on screens, A4 and Letter, with one to six housings")
{
    for (int n = 1; n <= 6; ++n) {
        const Result<ComparisonSheet> sheet = comparisonOf(job(n), {}, day);
        REQUIRE(sheet);
        for (const QSize& paper : papers()) {
            INFO(n << " housings on " << paper.width() << "x" << paper.height());
            const SheetLayout at = layOut(paper, *sheet);
            REQUIRE(at.holdsAll);
            CHECK(at.type.em >= 7);
            std::vector<QRectF> parts(at.charts.begin(), at.charts.end());
            parts.insert(parts.end(), at.cards.begin(), at.cards.end());
            parts.push_back(at.title), parts.push_back(at.footer);
            CHECK(at.cards.size() == std::size_t(n));
            for (std::size_t i = 0; i < parts.size(); ++i) {
                CHECK(QRectF(QPointF(0, 0), paper).contains(parts[i]));
                for (std::size_t k = 0; k < i; ++k)
                    CHECK_FALSE(
                        parts[i].adjusted(0.1, 0.1, -0.1, -0.1).intersects(parts[k].adjusted(0.1, 0.1, -0.1, -0.1)));
            }
            for (std::size_t i = 0; i < at.cards.size(); ++i)
                CHECK(cutBox(at.cards[i].width(), at.type, sheet->housings[i]).width() +
                          figuresWidth(at.type, sheet->housings[i]) <
                      at.cards[i].width());
            for (std::size_t i = 0; i < at.cards.size(); ++i)
                CHECK(flowCard(nullptr, at.cards[i], at.type, sheet->housings[i], at.pixelsPerMm,
                               verdictsShown(*sheet)) <= at.cards[i].height() + 0.01);
        }
    }
}

TEST_CASE("a sheet tells figures, verdicts, inputs, cautions, version and date")
{
    const Result<ComparisonSheet> sheet = comparisonOf(job(2), {}, day);
    REQUIRE(sheet);
    REQUIRE(sheet->housings.size() == 2);
    CHECK(sheet->housings[0].figures[0].first == "Resonance");
    CHECK(sheet->housings[1].figures[0].first == "Tuning");
    CHECK(sheet->housings[1].figures[0].second.contains("Hz"));
    CHECK_FALSE(sheet->housings[1].verdicts.empty());
    CHECK(sheet->housings[1].inputs.contains("demo"));
    CHECK(sheet->housings[0].curves.air.x.empty());
    CHECK_FALSE(sheet->housings[1].curves.air.x.empty());
    CHECK(sheet->cautions.size() >= 3);
    CHECK(sheet->colophon.contains("2026-11-25"));
    CHECK(*sheet->travelLimit == Approx(4));
    CHECK(*sheet->airLimit == Approx(17));
}

TEST_CASE("PDF has no images, embeds its fonts, and is the paper asked for")
{
    const Result<QByteArray> pdf = renderComparison(job(3), {}, {794, 1123}, SheetFormat::pdf, day);
    REQUIRE(pdf);
    CHECK(pdf->startsWith("%PDF"));
    CHECK(pdf->count("/Subtype /Image") == 0);
    CHECK(pdf->count("/Image\n") == 0);
    CHECK((pdf->contains("/FontFile2") || pdf->contains("/FontFile3")));
    CHECK(pdf->contains("/MediaBox [0 0 59"));  // 595 by 842 points, to a rounding
}

TEST_CASE("SVG has text and lines, no pictures and no clipping, and can be read back")
{
    const Result<QByteArray> svg = renderComparison(job(3), {}, {1280, 800}, SheetFormat::svg, day);
    REQUIRE(svg);
    CHECK(svg->contains("<text"));
    CHECK(svg->contains("Ported, 54 mm tube"));
    CHECK_FALSE(svg->contains("<image"));
    CHECK_FALSE(svg->contains("nan,"));  // "resonance" is no such number
    CHECK_FALSE(svg->contains("\"nan"));
    CHECK_FALSE(svg->contains("\"inf"));
    QSvgRenderer reader;
    CHECK(reader.load(*svg));
    CHECK(reader.viewBoxF() == QRectF(0, 0, 1280, 800));
}

TEST_CASE("PNG has the pixels asked for, and ink in each part")
{
    const Result<QByteArray> png = renderComparison(job(2), {}, {1280, 800}, SheetFormat::png, day);
    REQUIRE(png);
    const QImage image = QImage::fromData(*png);
    CHECK(image.size() == QSize(1280, 800));
    const SheetLayout at = layOut(image.size(), *comparisonOf(job(2), {}, day));
    std::vector<QRectF> parts(at.charts.begin(), at.charts.end());
    parts.insert(parts.end(), at.cards.begin(), at.cards.end());
    parts.push_back(at.title), parts.push_back(at.footer);
    for (const QRectF& part : parts) {
        int inked = 0;
        for (int y = int(part.top()); y < int(part.bottom()); ++y)
            for (int x = int(part.left()); x < int(part.right()); ++x)
                inked += qGray(image.pixel(x, y)) < 200;
        CHECK(inked > 50);
    }
}

TEST_CASE("named housings alone are drawn, and keep their letters")
{
    const Result<ComparisonSheet> sheet = comparisonOf(job(4), {"h2"}, day);
    REQUIRE(sheet);
    REQUIRE(sheet->housings.size() == 1);
    CHECK(sheet->housings[0].slot == 2);
}

TEST_CASE("what cannot be drawn is said: unknown housing, none at all, no room, absurd size")
{
    CHECK(comparisonOf(job(1), {"nobody"}, day).error().message.find("nobody") != std::string::npos);
    CHECK_FALSE(comparisonOf(job(0), {}, day));
    CHECK(renderComparison(job(6), {}, {400, 400}, SheetFormat::png, day).error().field == "size");
    CHECK(renderComparison(job(1), {}, {0, -5}, SheetFormat::png, day).error().field == "size");
    CHECK(renderComparison(job(1), {}, {200000, 800}, SheetFormat::png, day).error().field == "size");
    Project broken = job(1);
    broken.drivers[0].Re.reset();
    CHECK_FALSE(renderComparison(broken, {}, {1280, 800}, SheetFormat::png, day));
}
