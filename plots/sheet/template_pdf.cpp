// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/sheet/template_pdf.h"

#include "core/constants.h"

#include <QBuffer>
#include <QCoreApplication>
#include <QFont>
#include <QPageSize>
#include <QPainter>
#include <QPainterPath>
#include <QPdfWriter>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr double margin = 10, footer = 14, overlap = 12;  // mm
constexpr int perMm = 100;                                // units of the page: 2540 to the inch
constexpr int mostPages = 100;
constexpr double capitals = 0.72;  // of a font's size, in ordinary fonts

QString words(const char* text) { return QCoreApplication::translate("TemplatePdf", text); }

QPageSize sizeOf(Paper paper) { return QPageSize(paper == Paper::a4 ? QPageSize::A4 : QPageSize::Letter); }

int tiles(double length, double window)
{
    return length <= window ? 1 : 1 + int(std::ceil((length - window) / (window - overlap) - 1e-9));
}

PaperTiling tilingWay(const DrawingBounds& bounds, Paper paper, bool landscape)
{
    PaperTiling t;
    // Exact mm: Qt rounds pages to whole points.
    const QSizeF size = paper == Paper::a4 ? QSizeF(210, 297) : QSizeF(215.9, 279.4);
    t.landscape = landscape;
    t.pageWidth = landscape ? size.height() : size.width(), t.pageHeight = landscape ? size.width() : size.height();
    t.windowWidth = t.pageWidth - 2 * margin, t.windowHeight = t.pageHeight - 2 * margin - footer;
    t.overlap = overlap;
    const double width = bounds.high[0] - bounds.low[0], height = bounds.high[1] - bounds.low[1];
    t.columns = tiles(width, t.windowWidth), t.rows = tiles(height, t.windowHeight);
    const double spareX = t.windowWidth + (t.columns - 1) * (t.windowWidth - overlap) - width;
    const double spareY = t.windowHeight + (t.rows - 1) * (t.windowHeight - overlap) - height;
    t.left = bounds.low[0] - spareX / 2, t.top = bounds.high[1] + spareY / 2;
    return t;
}

/// Pens by layer, readable on a black printer.
QPen penOf(DrawingLayer layer)
{
    QPen pen(Qt::black, 0.2);
    pen.setCapStyle(Qt::FlatCap);
    if (layer == DrawingLayer::centre) pen.setWidthF(0.12), pen.setDashPattern({40, 10, 6, 10});
    if (layer == DrawingLayer::engrave) pen.setWidthF(0.12), pen.setDashPattern({16, 10});
    if (layer == DrawingLayer::notes) pen.setWidthF(0.15);
    return pen;
}

/// Paints in mm, y up in the drawing and down on the page.
class ShapePainter {
public:
    explicit ShapePainter(QPainter& painter) : painter_(painter) {}

    void operator()(const DrawnLine& line) { painter_.drawLine(at(line.from), at(line.to)); }
    void operator()(const DrawnCircle& circle)
    {
        painter_.drawEllipse(at(circle.centre), circle.radius, circle.radius);
    }
    void operator()(const DrawnArc& arc)
    {
        const QRectF box(at(arc.centre) - QPointF(arc.radius, arc.radius), QSizeF(2 * arc.radius, 2 * arc.radius));
        QPainterPath path;
        path.arcMoveTo(box, arc.from * 180 / pi);
        path.arcTo(box, arc.from * 180 / pi, (arc.to - arc.from) * 180 / pi);
        painter_.drawPath(path);
    }
    void operator()(const DrawnPolyline& line)
    {
        QPolygonF polygon;
        for (const auto& p : line.points)
            polygon << at(p);
        line.closed ? painter_.drawPolygon(polygon) : painter_.drawPolyline(polygon);
    }
    void operator()(const DrawnText& text)
    {
        QFont font;
        font.setPixelSize(std::max(1, int(std::lround(text.height / capitals * perMm))));
        painter_.save();
        painter_.translate(at(text.at));
        painter_.scale(1.0 / perMm, 1.0 / perMm);  // letters are sized in whole units of the page
        painter_.setFont(font);
        const QString shown = QString::fromStdString(text.words);
        const double wide = text.centred ? painter_.fontMetrics().horizontalAdvance(shown) : 0;
        painter_.drawText(QPointF(-wide / 2, 0), shown);
        painter_.restore();
    }

private:
    static QPointF at(const std::array<double, 2>& p) { return {p[0], -p[1]}; }
    QPainter& painter_;
};

struct Page {
    const PaperTiling& tiling;
    int column, row;

    double left() const { return tiling.left + column * (tiling.windowWidth - tiling.overlap); }
    double top() const { return tiling.top - row * (tiling.windowHeight - tiling.overlap); }
    QString name() const { return QChar('A' + row) + QString::number(column + 1); }
};

void paintItem(QPainter& painter, const DrawingItem& item)
{
    painter.setPen(penOf(item.layer));
    std::visit(ShapePainter(painter), item.what);
}

/// Crosses in the middle of the overlaps; both neighbours show them at the same place of the drawing.
void paintSeams(QPainter& painter, const Page& page)
{
    const PaperTiling& t = page.tiling;
    painter.setPen(penOf(DrawingLayer::notes));
    const auto cross = [&](double x, double y) {
        painter.drawLine(QPointF(x - 4, -y), QPointF(x + 4, -y));
        painter.drawLine(QPointF(x, -y - 4), QPointF(x, -y + 4));
    };
    for (const double share : {0.25, 0.75}) {
        const double x = page.left() + share * t.windowWidth, y = page.top() - share * t.windowHeight;
        if (page.column > 0) cross(page.left() + t.overlap / 2, y);
        if (page.column + 1 < t.columns) cross(page.left() + t.windowWidth - t.overlap / 2, y);
        if (page.row > 0) cross(x, page.top() - t.overlap / 2);
        if (page.row + 1 < t.rows) cross(x, page.top() - t.windowHeight + t.overlap / 2);
    }
}

/// Below the window, in mm of the page from its top left corner.
void paintFooter(QPainter& painter, const Page& page, const QString& colophon)
{
    const PaperTiling& t = page.tiling;
    const double y = -(t.pageHeight - margin);
    const bool several = t.columns * t.rows > 1;
    ShapePainter shapes(painter);
    painter.setPen(penOf(DrawingLayer::notes));
    if (several) {
        const double right = t.pageWidth - margin;
        shapes(DrawnLine{{right - 100, y + 4}, {right, y + 4}});
        for (int i = 0; i <= 10; ++i)
            shapes(DrawnLine{{right - 10.0 * i, y + 4}, {right - 10.0 * i, y + (i % 5 == 0 ? 8 : 6)}});
        shapes(DrawnText{{right - 50, y}, 2.2, words("100\u00a0mm, print at 100\u00a0%").toStdString(), true});
        shapes(DrawnText{
            {margin, y + 5},
            2.5,
            words("Page %1 of %2 by %3: lay cross on cross").arg(page.name()).arg(t.rows).arg(t.columns).toStdString(),
            false});
    }
    shapes(DrawnText{{margin, y}, 2.2, colophon.toStdString(), false});
}

void paintPage(QPainter& painter, const Drawing& drawing, const Page& page, const QString& colophon)
{
    painter.save();
    painter.scale(perMm, perMm);
    paintFooter(painter, page, colophon);
    painter.setClipRect(QRectF(margin, margin, page.tiling.windowWidth, page.tiling.windowHeight));
    painter.translate(margin - page.left(), margin + page.top());
    for (const DrawingItem& item : drawing.items)
        paintItem(painter, item);
    if (page.tiling.columns * page.tiling.rows > 1) paintSeams(painter, page);
    painter.restore();
}

}  // namespace

PaperTiling tilingOf(const DrawingBounds& bounds, Paper paper)
{
    const PaperTiling upright = tilingWay(bounds, paper, false), wide = tilingWay(bounds, paper, true);
    return wide.columns * wide.rows < upright.columns * upright.rows ? wide : upright;
}

Result<QByteArray> templatePdf(const Drawing& drawing, Paper paper, const QString& colophon)
{
    const PaperTiling tiling = tilingOf(boundsOf(drawing), paper);
    if (tiling.rows > mostPages || tiling.columns > mostPages || tiling.rows * tiling.columns > mostPages)
        return fail("", "the drawing takes more than 100 pages; use the SVG or DXF file on a plotter");
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    bool painted = false;
    {
        QPdfWriter pdf(&buffer);
        pdf.setResolution(int(std::lround(25.4 * perMm)));
        pdf.setPageSize(sizeOf(paper));
        pdf.setPageOrientation(tiling.landscape ? QPageLayout::Landscape : QPageLayout::Portrait);
        pdf.setPageMargins(QMarginsF(0, 0, 0, 0));
        pdf.setTitle(QString::fromStdString(drawing.title));
        pdf.setCreator(colophon);
        QPainter painter;
        painted = painter.begin(&pdf);
        for (int i = 0; painted && i < tiling.rows * tiling.columns; ++i) {
            if (i > 0) painted = pdf.newPage();
            if (painted) paintPage(painter, drawing, {tiling, i % tiling.columns, i / tiling.columns}, colophon);
        }
    }
    if (!painted || buffer.data().isEmpty()) return fail("", "the drawing could not be made; memory may be short");
    return buffer.data();
}

}  // namespace portwright
