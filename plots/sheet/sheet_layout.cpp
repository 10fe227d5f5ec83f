// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/sheet/sheet_layout.h"

#include "plots/cut/cut.h"
#include "plots/plot_palette.h"
#include "plots/state_mark.h"

#include <QApplication>
#include <QPainter>
#include <QTextLayout>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr double smallestLetters = 6.5, largestLetters = 30;  // px
constexpr double chartWidth = 24, chartHeight = 14;           // em, the least a chart needs

const PlotPalette& colours() { return lightPalette(); }

struct Arrangement {
    bool chartsLeft;  ///< else on top
    int chartColumns, cardColumns;
};

double rowsHeight(const std::vector<double>& heights, int columns, double gap, std::vector<double>& rows)
{
    rows.clear();
    for (std::size_t i = 0; i < heights.size(); ++i) {
        if (i % std::size_t(columns) == 0) rows.push_back(0);
        rows.back() = std::max(rows.back(), heights[i]);
    }
    double sum = gap * double(std::max<std::size_t>(rows.size(), 1) - 1);
    for (const double h : rows)
        sum += h;
    return sum;
}

/// px per mm at which the largest cut of all fills its box.
double sharedScale(double cardWidth, const SheetType& type, const ComparisonSheet& sheet)
{
    double scale = 1e9;
    for (const SheetHousing& h : sheet.housings)
        if (h.cut)
            scale = std::min(scale, fittingPixelsPerMm(*h.cut, cutBox(cardWidth, type, h), CutFace{},
                                                       QFontMetricsF(type.font(0.92))));
    return scale > 1e8 ? 0.5 : scale;
}

/// Lays the page out in one way; false if it does not hold everything.
bool arranged(const QSizeF& size, const ComparisonSheet& sheet, const Arrangement& way, SheetLayout& out)
{
    const double em = out.type.em, margin = 1.5 * em, gap = 0.9 * em;
    const QRectF page = QRectF(QPointF(0, 0), size).adjusted(margin, margin, -margin, -margin);
    out.title = QRectF(page.left(), page.top(), page.width(), 2.4 * em);
    const double footer = flowFooter(nullptr, page, out.type, sheet);
    out.footer = QRectF(page.left(), page.bottom() - footer, page.width(), footer);
    QRectF body(page.left(), out.title.bottom(), page.width(), out.footer.top() - gap - out.title.bottom());
    if (!sheet.ledgers.empty()) {
        const double height = (25 + 19 * 11 + 4) / 12.0 * em;
        out.ledger = QRectF(body.left(), body.bottom() - height, body.width(), height);
        body.setBottom(out.ledger.top() - gap);
    }
    QRectF charts = body, cards = body;
    const int columns = way.cardColumns;
    if (way.chartsLeft) {
        charts.setWidth(std::round(body.width() * 0.63));
        cards.setLeft(charts.right() + gap);
    }
    const double width = (cards.width() - gap * (columns - 1)) / columns;
    for (const SheetHousing& h : sheet.housings)
        if (width < 19 * em || cutBox(width, out.type, h).width() < 6.5 * em) return false;
    out.pixelsPerMm = sharedScale(width, out.type, sheet);
    std::vector<double> heights, rows;
    for (const SheetHousing& h : sheet.housings)
        heights.push_back(
            flowCard(nullptr, QRectF(0, 0, width, 1e6), out.type, h, out.pixelsPerMm, verdictsShown(sheet)));
    const double needed = rowsHeight(heights, columns, gap, rows);
    if (way.chartsLeft ? needed > cards.height() : needed > cards.height() - gap - 2 * em) return false;
    if (!way.chartsLeft) {
        charts.setBottom(body.bottom() - needed - gap);
        cards.setTop(charts.bottom() + gap);
    }
    const int chartRows = 4 / way.chartColumns;
    const QSizeF each(charts.width() / way.chartColumns, charts.height() / chartRows);
    if (each.width() < chartWidth * em || each.height() < chartHeight * em) return false;
    for (int i = 0; i < 4; ++i) {
        const int row = i / way.chartColumns, column = i % way.chartColumns;
        out.charts[std::size_t(i)] = QRectF(charts.left() + column * each.width(), charts.top() + row * each.height(),
                                            each.width(), each.height());
    }
    out.cards.clear();
    double y = cards.top();
    for (std::size_t i = 0; i < heights.size(); ++i) {
        const std::size_t row = i / std::size_t(columns), column = i % std::size_t(columns);
        if (i > 0 && column == 0) y += rows[row - 1] + gap;
        out.cards.push_back(QRectF(cards.left() + double(column) * (width + gap), y, width, rows[row]));
    }
    return true;
}

}  // namespace

std::size_t verdictsShown(const ComparisonSheet& sheet) { return sheet.housings.size() > 2 ? 6 : 12; }

QFont SheetType::font(double factor, QFont::Weight weight) const
{
    QFont f = QApplication::font();
    f.setPixelSize(std::max(int(std::lround(em * factor)), 1));
    f.setWeight(weight);
    f.setHintingPreference(QFont::PreferNoHinting);  // so that letters measure the same on every kind of paper
    return f;
}

double flowText(QPainter* painter, const QPointF& at, double width, const QFont& font, const QColor& colour,
                const QString& lead, const QColor& leadColour, const QString& text)
{
    QTextLayout layout(lead.isEmpty() ? text : lead + QStringLiteral("  ") + text, font);
    QTextOption option;
    option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
    layout.setTextOption(option);
    QTextCharFormat strong;
    QFont demi = font;
    demi.setWeight(QFont::DemiBold);
    strong.setFont(demi);
    strong.setForeground(leadColour);
    if (!lead.isEmpty()) layout.setFormats({{0, int(lead.size()), strong}});
    layout.beginLayout();
    double y = 0;
    for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
        line.setLineWidth(width);
        line.setPosition(QPointF(0, y));
        y += line.height();
    }
    layout.endLayout();
    if (painter) {
        painter->setPen(colour);
        layout.draw(painter, at);
    }
    return y;
}

double figuresWidth(const SheetType& type, const SheetHousing& housing)
{
    const QFontMetricsF label(type.font()), value(type.font(1, QFont::DemiBold));
    double width = 0;
    for (const auto& [name, figure] : housing.figures)
        width = std::max(width, label.horizontalAdvance(name) + value.horizontalAdvance(figure));
    return width + 1.2 * type.em;
}

QSizeF cutBox(double cardWidth, const SheetType& type, const SheetHousing& housing)
{
    const double figures = 1.35 * type.em * double(std::max<std::size_t>(housing.figures.size(), 4));
    const double room = cardWidth - 2.0 * type.em - figuresWidth(type, housing);
    return {std::min(0.46 * cardWidth, room),
            std::max(figures + 2.2 * type.em, std::min(0.3 * cardWidth, 15 * type.em))};
}

double flowCard(QPainter* painter, const QRectF& box, const SheetType& type, const SheetHousing& housing,
                double pixelsPerMm, std::size_t most)
{
    const double em = type.em, pad = 0.7 * em, left = box.left() + pad, width = box.width() - 2 * pad;
    const PlotPalette& p = colours();
    double y = box.top() + 0.5 * em;
    if (painter) {
        painter->setPen(QPen(p.line, 1));
        painter->setBrush(Qt::NoBrush);
        painter->drawRoundedRect(box, 4, 4);
        painter->setFont(type.font(0.92));
        paintHousingTag(*painter, QRectF(left, y, 1.35 * em, 1.35 * em), p, housing.slot, TagFace::filled);
        painter->setPen(housingPen(p, housing.slot, 1.6));
        painter->drawLine(QPointF(left + 1.8 * em, y + 0.68 * em), QPointF(left + 4.3 * em, y + 0.68 * em));
        painter->setFont(type.font(1.08, QFont::DemiBold));
        painter->setPen(p.text);
        const double room = width - 4.8 * em;
        painter->drawText(QRectF(left + 4.8 * em, y, room, 1.4 * em), Qt::AlignLeft | Qt::AlignVCenter,
                          QFontMetricsF(painter->font()).elidedText(housing.name, Qt::ElideRight, room));
    }
    y += 1.8 * em;
    const QSizeF cut = cutBox(box.width(), type, housing);
    if (painter && housing.cut) {
        CutFace face;
        face.pixelsPerMm = pixelsPerMm;
        face.arrows = false;
        face.units = housing.units;
        painter->setFont(type.font(0.92));
        paintCut(*painter, QPointF(left - 4, y), *housing.cut, p, face);
    }
    double row = y;
    for (const auto& [label, value] : housing.figures) {
        if (painter) {
            const QRectF line(left + cut.width() + 0.6 * em, row, width - cut.width() - 0.6 * em, 1.35 * em);
            painter->setFont(type.font());
            painter->setPen(p.dim);
            painter->drawText(line, Qt::AlignLeft | Qt::AlignVCenter, label);
            painter->setFont(type.font(1, QFont::DemiBold));
            painter->setPen(p.text);
            painter->drawText(line, Qt::AlignRight | Qt::AlignVCenter, value);
        }
        row += 1.35 * em;
    }
    y += std::max(housing.cut ? cut.height() : 0.0, row - y) + 0.2 * em;
    y += flowText(painter, {left, y}, width, type.font(0.92), p.dim, {}, p.dim, housing.inputs) + 0.3 * em;
    const std::size_t shown =
        std::max(most, std::size_t(std::count_if(housing.verdicts.begin(), housing.verdicts.end(), [](const auto& v) {
                     return v.state == State::over || v.state == State::near || v.state == State::missing;
                 })));
    for (std::size_t i = 0; i < housing.verdicts.size(); ++i) {
        const SheetVerdict& v = housing.verdicts[i];
        if (i >= shown) {  // worst come first: what is left are notes and limits that hold
            y += flowText(painter, {left + 1.5 * em, y}, width - 1.5 * em, type.font(), p.dim, {}, {},
                          QCoreApplication::translate("Sheet", "and %1 more notes").arg(housing.verdicts.size() - i));
            break;
        }
        if (painter) paintStateMark(*painter, QRectF(left, y + 0.2 * em, 1.1 * em, 1.1 * em), p, v.state);
        y += flowText(painter, {left + 1.5 * em, y}, width - 1.5 * em, type.font(), p.text, stateWord(v.state),
                      stateColour(p, v.state), v.text) +
             0.15 * em;
    }
    return y - box.top() + 0.4 * em;
}

double flowFooter(QPainter* painter, const QRectF& box, const SheetType& type, const ComparisonSheet& sheet)
{
    const double em = type.em;
    double y = box.top();
    if (painter) {
        painter->setPen(QPen(colours().line, 1));
        painter->drawLine(QPointF(box.left(), y), QPointF(box.right(), y));
    }
    y += 0.5 * em;
    const QString assumed = QCoreApplication::translate("Sheet", "Dashed outlines are assumed, their volumes true.");
    y += flowText(painter, {box.left(), y}, box.width(), type.font(0.92), colours().text, {}, {},
                  sheet.inputs + u' ' + assumed) +
         0.2 * em;
    for (const QString& caution : sheet.cautions)
        y += flowText(painter, {box.left(), y}, box.width(), type.font(0.92), colours().dim, {}, {}, caution);
    return y - box.top();
}

SheetLayout layOut(const QSizeF& size, const ComparisonSheet& sheet)
{
    const int n = int(std::max<std::size_t>(sheet.housings.size(), 1));
    std::vector<Arrangement> ways;
    for (int columns = 1; columns <= std::min(n, 2); ++columns)
        ways.push_back({true, 2, columns});
    for (const int chartColumns : {2, 4})
        for (int columns = 1; columns <= n; ++columns)
            ways.push_back({false, chartColumns, columns});
    for (double em = largestLetters; em >= smallestLetters; em -= 0.5) {
        if (em > 0.0135 * (size.width() + size.height()) / 2 && em > smallestLetters)
            continue;  // letters in proportion to the page
        std::optional<SheetLayout> best;
        for (const Arrangement& way : ways) {
            SheetLayout layout;
            layout.type.em = em;
            const auto area = [](const SheetLayout& l) { return l.charts[0].width() * l.charts[0].height(); };
            if (arranged(size, sheet, way, layout) && (!best || area(layout) > area(*best))) best = layout;
        }
        if (best) return *best;
    }
    SheetLayout none;
    none.holdsAll = false;
    return none;
}

}  // namespace portwright
