// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/sheet/sheet.h"

#include "plots/chart/frequency_chart.h"
#include "plots/ledger/ledger_view.h"
#include "plots/sheet/sheet_layout.h"

#include <QBuffer>
#include <QCoreApplication>
#include <QImage>
#include <QPageSize>
#include <QPainter>
#include <QPdfWriter>
#include <QSvgGenerator>

#include <cmath>

namespace portwright {
namespace {

constexpr int smallestSide = 400, largestSide = 10000;  // px

QString words(const char* text) { return QCoreApplication::translate("Sheet", text); }

struct ChartOfSheet {
    QString title, unit;
    RangePolicy policy;
    Curve ShownCurves::* curve;
    std::optional<LimitLine> limit;
};

std::array<ChartOfSheet, 4> chartsOf(const ComparisonSheet& sheet)
{
    const auto unit = [&sheet](Dimension d) { return QString::fromStdString(shownUnit(d, sheet.units).name); };
    std::optional<LimitLine> travel, air;
    if (sheet.travelLimit)
        travel = LimitLine{*sheet.travelLimit, (sheet.travelLimitsDiffer ? words("tightest cone limit %1\u00a0%2")
                                                                         : words("cone limit %1\u00a0%2"))
                                                   .arg(*sheet.travelLimit, 0, 'f', 1)
                                                   .arg(unit(Dimension::travel))};
    if (sheet.airLimit)
        air = LimitLine{
            *sheet.airLimit,
            words("air limit %1\u00a0%2").arg(std::round(*sheet.airLimit * 10) / 10).arg(unit(Dimension::airSpeed))};
    return {
        ChartOfSheet{words("Level at the rider"), words("dB"), RangePolicy::levelWindow50dB, &ShownCurves::level, {}},
        ChartOfSheet{words("Cone travel"), words("%1, peak").arg(unit(Dimension::travel)),
                     RangePolicy::travelTwiceLimit, &ShownCurves::travel, travel},
        ChartOfSheet{words("Port air"), words("%1, peak").arg(unit(Dimension::airSpeed)), RangePolicy::airTwiceLimit,
                     &ShownCurves::air, air},
        ChartOfSheet{words("Impedance"), QStringLiteral("Ω"), RangePolicy::fromZero, &ShownCurves::impedance, {}}};
}

void paintChart(QPainter& painter, const QRectF& box, const SheetType& type, const ComparisonSheet& sheet,
                const ChartOfSheet& what)
{
    FrequencyChart chart;
    chart.setLocale(QLocale::c());
    chart.setFont(type.font());
    chart.resize(box.size().toSize());
    chart.setQuantity(what.title, what.unit, what.title);
    chart.setRangePolicy(what.policy);
    chart.setFrequencyRange(sheet.frequencyFrom, sheet.frequencyTo);
    chart.setLimit(what.limit);
    std::vector<Curve> curves;
    QStringList remarks;
    for (const SheetHousing& h : sheet.housings) {
        curves.push_back(h.curves.*what.curve);
        if (what.curve == &ShownCurves::air && curves.back().x.empty())
            remarks << words("%1 has no port").arg(housingLetter(h.slot));
    }
    if (remarks.size() > 2) remarks = {words("%1 of these have no port").arg(remarks.size())};
    chart.setAbsentRemarks(remarks);
    chart.setCurves(std::move(curves));
    painter.save();
    painter.translate(box.topLeft());
    chart.paintTo(painter, box.size());
    painter.restore();
}

void paintTitle(QPainter& painter, const QRectF& box, const SheetType& type, const ComparisonSheet& sheet)
{
    painter.setFont(type.font(0.92));
    painter.setPen(lightPalette().dim);
    painter.drawText(box, Qt::AlignRight | Qt::AlignTop, sheet.colophon);
    const double room = box.width() - QFontMetricsF(painter.font()).horizontalAdvance(sheet.colophon) - 2 * type.em;
    painter.setFont(type.font(1.5, QFont::DemiBold));
    painter.setPen(lightPalette().text);
    painter.drawText(box, Qt::AlignLeft | Qt::AlignTop,
                     QFontMetricsF(painter.font()).elidedText(sheet.title, Qt::ElideRight, room));
}

QByteArray pngOf(const QSize& size, const ComparisonSheet& sheet)
{
    QImage image(size, QImage::Format_RGB32);
    image.setDotsPerMeterX(3780), image.setDotsPerMeterY(3780);  // 96 dpi
    image.fill(Qt::white);
    QPainter painter(&image);
    paintComparison(painter, size, sheet);
    painter.end();
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    image.save(&buffer, "PNG");
    return buffer.data();
}

QByteArray svgOf(const QSize& size, const ComparisonSheet& sheet)
{
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    QSvgGenerator svg;
    svg.setOutputDevice(&buffer);
    svg.setResolution(96);
    svg.setSize(size);
    svg.setViewBox(QRect(QPoint(0, 0), size));
    svg.setTitle(sheet.title);
    svg.setDescription(sheet.colophon);
    QPainter painter(&svg);
    painter.fillRect(QRect(QPoint(0, 0), size), Qt::white);
    paintComparison(painter, size, sheet);
    painter.end();
    return buffer.data();
}

QByteArray pdfOf(const QSize& size, const ComparisonSheet& sheet)
{
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    {
        QPdfWriter pdf(&buffer);
        pdf.setResolution(96);  // one unit is one px, so letters and lines keep their proportions
        pdf.setPageMargins(QMarginsF(0, 0, 0, 0));
        pdf.setPageSize(QPageSize(QSizeF(size) * 25.4 / 96, QPageSize::Millimeter));
        pdf.setPageMargins(QMarginsF(0, 0, 0, 0));
        pdf.setTitle(sheet.title);
        pdf.setCreator(sheet.colophon);
        QPainter painter(&pdf);
        paintComparison(painter, size, sheet);
    }
    return buffer.data();
}

}  // namespace

void paintComparison(QPainter& painter, const QSizeF& size, const ComparisonSheet& sheet)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    const SheetLayout at = layOut(size, sheet);
    if (!at.holdsAll) {
        painter.setFont(SheetType{}.font());
        painter.setPen(lightPalette().text);
        painter.drawText(QRectF(QPointF(10, 10), size - QSizeF(20, 20)), Qt::TextWordWrap,
                         words("This page is too small for all these housings: take a larger one, or fewer of them."));
        painter.restore();
        return;
    }
    paintTitle(painter, at.title, at.type, sheet);
    const std::array<ChartOfSheet, 4> charts = chartsOf(sheet);
    for (std::size_t i = 0; i < charts.size(); ++i)
        paintChart(painter, at.charts[i], at.type, sheet, charts[i]);
    for (std::size_t i = 0; i < sheet.housings.size(); ++i)
        flowCard(&painter, at.cards[i], at.type, sheet.housings[i], at.pixelsPerMm, verdictsShown(sheet));
    if (!at.ledger.isNull()) {
        LedgerView ledger;
        ledger.setFont(at.type.font());
        ledger.setLocale(QLocale::c());
        ledger.setLedgers(sheet.ledgers);
        ledger.paintTo(painter, at.ledger);
    }
    flowFooter(&painter, at.footer, at.type, sheet);
    painter.restore();
}

Result<QByteArray> renderComparison(const Project& project, const QStringList& housingIds, const QSize& size,
                                    SheetFormat format, const QDate& date, UnitSystem units)
{
    const auto fine = [](int side) { return side >= smallestSide && side <= largestSide; };
    if (!fine(size.width()) || !fine(size.height()))
        return fail("size", "the page is " + std::to_string(size.width()) + "x" + std::to_string(size.height()) +
                                "; each side must be 400 to 10000");
    const Result<ComparisonSheet> sheet = comparisonOf(project, housingIds, date, units);
    if (!sheet) return fail(sheet.error());
    if (!layOut(size, *sheet).holdsAll)
        return fail("size", "a page of " + std::to_string(size.width()) + "x" + std::to_string(size.height()) +
                                " is too small for " + std::to_string(sheet->housings.size()) +
                                " housings; take a larger one, or fewer housings");
    QByteArray bytes;
    switch (format) {
    case SheetFormat::png:
        bytes = pngOf(size, *sheet);
        break;
    case SheetFormat::svg:
        bytes = svgOf(size, *sheet);
        break;
    case SheetFormat::pdf:
        bytes = pdfOf(size, *sheet);
        break;
    }
    if (bytes.isEmpty()) return fail("", "the picture could not be made; memory may be short");
    return bytes;
}

}  // namespace portwright
