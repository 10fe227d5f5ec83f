// SPDX-License-Identifier: GPL-3.0-or-later
// A PDF measured in points, from its own content and by a renderer (poppler).
#include "plots/sheet/template_pdf.h"

#include "core/parts/hole_template.h"
#include "core/parts/svg.h"

#include <QFile>
#include <QImage>
#include <QPainter>
#include <QProcess>
#include <QRegularExpression>
#include <QSvgRenderer>
#include <QTemporaryDir>
#include <QTransform>
#include <QXmlStreamReader>
#include <QtEndian>
#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <set>

using namespace portwright;

namespace {

constexpr double pointsPerMm = 72 / 25.4;
const QString colophon = "Portwright, invented part";

/// Straight strokes of each page in points, from its bottom left corner; curves by the ends of their pieces.
struct PageLines {
    std::vector<QLineF> lines;
    double longest(double least, double most) const
    {
        double length = 0;
        for (const QLineF& line : lines)
            if (line.length() >= least && line.length() <= most) length = std::max(length, line.length());
        return length;
    }
};

std::vector<QByteArray> contentsOf(const QByteArray& pdf)
{
    std::vector<QByteArray> pages;
    for (qsizetype at = pdf.indexOf("stream\n"); at >= 0; at = pdf.indexOf("stream\n", at + 1)) {
        if (at >= 3 && pdf.mid(at - 3, 3) == "end") continue;
        const qsizetype from = at + 7, to = pdf.indexOf("endstream", from);
        if (pdf[from] != 0x78) continue;  // not packed
        QByteArray packed(4, 0);
        qToBigEndian<quint32>(1u << 20, packed.data());  // qUncompress wants an expected size first
        const QByteArray text = qUncompress(packed + pdf.mid(from, to - from));
        if (text.contains(" re\nW") || text.contains(" m\n")) pages.push_back(text);
    }
    return pages;
}

PageLines linesOf(const QByteArray& content)
{
    PageLines page;
    QTransform now;
    std::vector<QTransform> kept;
    std::vector<double> numbers;
    QPointF first, last;
    const auto point = [&](std::size_t from) { return now.map(QPointF(numbers[from], numbers[from + 1])); };
    for (const QByteArray& word : content.simplified().split(' ')) {
        bool isNumber = false;
        const double number = word.toDouble(&isNumber);
        if (isNumber) {
            numbers.push_back(number);
            continue;
        }
        const std::size_t n = numbers.size();
        if (word == "q") kept.push_back(now);
        if (word == "Q" && !kept.empty()) now = kept.back(), kept.pop_back();
        if (word == "cm" && n >= 6)
            now = QTransform(numbers[n - 6], numbers[n - 5], numbers[n - 4], numbers[n - 3], numbers[n - 2],
                             numbers[n - 1]) *
                  now;
        if (word == "m" && n >= 2) first = last = point(n - 2);
        if ((word == "l" && n >= 2) || (word == "c" && n >= 6)) {
            page.lines.push_back({last, point(n - 2)});
            last = point(n - 2);
        }
        if (word == "h") page.lines.push_back({last, first}), last = first;
        numbers.clear();
    }
    return page;
}

Drawing templateOf(double bore)
{
    PortOpening port;
    port.diameter = bore, port.length = 0.163, port.wall = 2.5e-3;
    const auto drawing = holeTemplate(port, PortMaking::printed, {});
    REQUIRE(drawing);
    return *drawing;
}

QByteArray pdfOf(const Drawing& drawing, Paper paper)
{
    const auto pdf = templatePdf(drawing, paper, colophon);
    REQUIRE(pdf);
    return *pdf;
}

int pagesIn(const QByteArray& pdf) { return int(pdf.count("/Type /Page\n")); }

/// Extent of what is dark on a page, mm, as poppler paints it.
QRectF darkPart(const QByteArray& pdf, int page)
{
    constexpr double dpi = 300;
    const QTemporaryDir folder;
    QFile file(folder.filePath("t.pdf"));
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write(pdf), file.close();
    const QString number = QString::number(page);
    REQUIRE(QProcess::execute("pdftoppm", {"-gray", "-r", "300", "-f", number, "-l", number, "-singlefile",
                                           file.fileName(), folder.filePath("p")}) == 0);
    const QImage image = QImage(folder.filePath("p.pgm")).convertToFormat(QImage::Format_Grayscale8);
    QRect dark;
    for (int y = 0; y < image.height() - int(26 / 25.4 * dpi); ++y)  // without the footer
        for (int x = 0; x < image.width(); ++x)
            if (image.constScanLine(y)[x] < 128) dark |= QRect(x, y, 1, 1);
    return QRectF(dark.x(), dark.y(), dark.width(), dark.height()).isEmpty()
               ? QRectF()
               : QRectF(dark.x() / dpi * 25.4, dark.y() / dpi * 25.4, dark.width() / dpi * 25.4,
                        dark.height() / dpi * 25.4);
}

}  // namespace

TEST_CASE("a template is one page, and its rule, square and holes measure in points what they say in mm")
{
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        const QByteArray pdf = pdfOf(templateOf(0.05), paper);
        CHECK(pagesIn(pdf) == 1);
        const auto contents = contentsOf(pdf);
        REQUIRE(contents.size() == 1);
        const PageLines page = linesOf(contents[0]);
        // Qt writes some six digits: 0.001 points are 0.4 um.
        CHECK(page.longest(250, 300) == Approx(100 * pointsPerMm).margin(1e-3));
        int sides = 0;
        for (const QLineF& line : page.lines)
            sides += std::abs(line.length() - 50 * pointsPerMm) < 1e-3;
        CHECK(sides == 4);
    }
}

TEST_CASE("a circle of 80 mm is 80 mm on paper as a renderer paints it")
{
    Drawing drawing;
    draw(drawing, DrawingLayer::cut, DrawnCircle{{12, -7}, 40});
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        const QRectF dark = darkPart(pdfOf(drawing, paper), 1);
        // One pixel is 0.085 mm at each side; the line is 0.2 mm wide.
        CHECK(dark.width() == Approx(80.2).margin(0.18));
        CHECK(dark.height() == Approx(80.2).margin(0.18));
    }
}

TEST_CASE("a drawing larger than paper is split; crosses lie in the same places of the drawing on both neighbours")
{
    Drawing drawing;
    draw(drawing, DrawingLayer::cut, DrawnPolyline{{{0, 0}, {350, 0}, {350, 400}, {0, 400}}, true});
    const PaperTiling tiling = tilingOf(boundsOf(drawing), Paper::a4);
    REQUIRE(tiling.columns * tiling.rows == 4);
    const QByteArray pdf = pdfOf(drawing, Paper::a4);
    CHECK(pagesIn(pdf) == 4);
    const auto contents = contentsOf(pdf);
    REQUIRE(contents.size() == 4);
    std::map<std::pair<long, long>, int> crosses;  // by place in the drawing, tenths of a mm
    for (int page = 0; page < 4; ++page) {
        const PageLines lines = linesOf(contents[std::size_t(page)]);
        CHECK(lines.longest(250, 300) == Approx(100 * pointsPerMm).margin(1e-3));  // its own rule
        const int column = page % tiling.columns, row = page / tiling.columns;
        const double left = tiling.left + column * (tiling.windowWidth - tiling.overlap);
        const double top = tiling.top - row * (tiling.windowHeight - tiling.overlap);
        for (const QLineF& line : lines.lines) {
            if (std::abs(line.length() - 8 * pointsPerMm) > 1e-3 || std::abs(line.dy()) > 1e-3) continue;
            const double x = line.center().x() / pointsPerMm - 10 + left;
            const double y = top - (tiling.pageHeight - line.center().y() / pointsPerMm - 10);
            ++crosses[{std::lround(10 * x), std::lround(10 * y)}];
        }
    }
    CHECK(crosses.size() == 8);  // two on each of four seams
    for (const auto& [place, times] : crosses)
        CHECK(times == 2);
}

TEST_CASE("windows cover any drawing, and one page is enough wherever it fits in either direction")
{
    for (double width = 1; width < 700; width += 37)
        for (double height = 1; height < 700; height += 41)
            for (const Paper paper : {Paper::a4, Paper::letter}) {
                const PaperTiling t = tilingOf({{5, 6}, {5 + width, 6 + height}}, paper);
                INFO(width << " by " << height);
                CHECK(t.left <= 5 + 1e-9);
                CHECK(t.left + t.windowWidth + (t.columns - 1) * (t.windowWidth - t.overlap) >= 5 + width - 1e-9);
                CHECK(t.top >= 6 + height - 1e-9);
                CHECK(t.top - t.windowHeight - (t.rows - 1) * (t.windowHeight - t.overlap) <= 6 + 1e-9);
                const double low = paper == Paper::a4 ? 176 : 181.9, high = paper == Paper::a4 ? 263 : 245.4;
                const double flat = paper == Paper::a4 ? 277 : 259.4, across = paper == Paper::a4 ? 190 : 195.9;
                const bool fits = (width <= across && height <= high) || (width <= flat && height <= low);
                CHECK((t.columns * t.rows == 1) == fits);
            }
}

TEST_CASE("a drawing of hundreds of pages is refused")
{
    Drawing drawing;
    draw(drawing, DrawingLayer::cut, DrawnCircle{{0, 0}, 2000});
    const auto pdf = templatePdf(drawing, Paper::a4, colophon);
    REQUIRE(!pdf);
    CHECK(pdf.error().message == "the drawing takes more than 100 pages; use the SVG or DXF file on a plotter");
}

TEST_CASE("a template's SVG is well formed, and 1:1 for a renderer")
{
    const QByteArray svg = QByteArray::fromStdString(svgText(templateOf(0.05)));
    QXmlStreamReader reader(svg);
    std::set<QString> layers;
    QSizeF size;
    while (!reader.atEnd()) {
        reader.readNext();
        if (!reader.isStartElement()) continue;
        const auto value = [&](const char* name) { return reader.attributes().value(QLatin1String(name)).toString(); };
        if (reader.name() == u"g") layers.insert(value("id"));
        if (reader.name() == u"svg") {
            const QStringList box = value("viewBox").split(' ');
            size = {box[2].toDouble(), box[3].toDouble()};
            CHECK(value("width") == box[2] + "mm");
            CHECK(value("height") == box[3] + "mm");
        }
    }
    CHECK_FALSE(reader.hasError());
    CHECK(layers == std::set<QString>{"cut", "centre", "engrave", "notes"});

    Drawing disc;
    draw(disc, DrawingLayer::cut, DrawnCircle{{3, 4}, 40});
    QSvgRenderer renderer(QByteArray::fromStdString(svgText(disc)));
    REQUIRE(renderer.isValid());
    QImage image(900, 900, QImage::Format_RGB32);  // ten px a mm of the 90 mm picture
    image.fill(Qt::white);
    QPainter painter(&image);
    renderer.render(&painter);
    painter.end();
    QRect dark;
    for (int y = 0; y < 900; ++y)
        for (int x = 0; x < 900; ++x)
            if (image.pixelColor(x, y).green() < 128) dark |= QRect(x, y, 1, 1);
    CHECK(dark.width() == Approx(801).margin(2));  // 80 mm and the line of 0.1 mm
    CHECK(dark.x() == Approx(50).margin(2));
}
