// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/chart_items.h"

#include "plots/chart/line_clip.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

/// As insideBox, in place; false if nothing is left.
bool clipped(QPointF& a, QPointF& b, const QRectF& box)
{
    const auto line = insideBox(QLineF(a, b), box);
    if (line) a = line->p1(), b = line->p2();
    return line.has_value();
}

QPen previewPen(const PlotPalette& palette, int slot)
{
    QPen pen(housingColour(palette, slot), 2);
    pen.setCapStyle(Qt::RoundCap);
    pen.setDashPattern({0.01, 2.5});
    return pen;
}

}  // namespace

void ChartTicker::generate(const QCPRange& range, const QLocale&, QChar, int, QVector<double>& ticks,
                           QVector<double>* subTicks, QVector<QString>* tickLabels)
{
    const AxisRange shown{range.lower, range.upper};
    const bool upright = axis_.orientation() == Qt::Vertical;
    const double length = room(upright);
    const int most = std::clamp(int(length / (22 * state_.em())), 2, 7);
    const std::vector<double> found = upright ? valueTicks(shown, most) : frequencyTicks(shown);
    ticks = QVector<double>(found.begin(), found.end());
    if (subTicks) {
        const std::vector<double> between = upright ? std::vector<double>{} : frequencySubTicks(shown);
        *subTicks = QVector<double>(between.begin(), between.end());
    }
    if (!tickLabels) return;
    tickLabels->clear();
    if (!upright)
        *tickLabels = frequencyLabels(found, range);
    else
        for (const double t : found)
            tickLabels->append(valueTickLabel(t, found, state_.locale));
}

/// Length of the axis to be, px: ticks are asked for before the layout has placed the plot.
double ChartTicker::room(bool upright) const
{
    const QMargins around = axis_.axisRect()->margins();
    const QRect whole = axis_.parentPlot()->viewport();
    return std::max(1, upright ? whole.height() - around.top() - around.bottom()
                               : whole.width() - around.left() - around.right());
}

QVector<QString> ChartTicker::frequencyLabels(const std::vector<double>& ticks, const QCPRange& range) const
{
    const QFontMetricsF metrics(state_.sized(0.92));
    const double width = room(false), decades = std::log(range.upper / range.lower);
    QVector<QString> labels(int(ticks.size()));
    std::vector<std::pair<double, double>> taken;
    for (const bool whole : {true, false})  // decades first, the others where there is room
        for (std::size_t i = 0; i < ticks.size(); ++i) {
            const double exponent = std::log10(ticks[i]);
            if ((std::abs(exponent - std::round(exponent)) < 1e-9) != whole) continue;
            const QString label = frequencyTickLabel(ticks[i], state_.locale);
            const double x = width * std::log(ticks[i] / range.lower) / decades;
            const double half = metrics.horizontalAdvance(label) / 2 + 4 * state_.em();
            const bool free = std::none_of(taken.begin(), taken.end(),
                                           [&](const auto& t) { return x - half < t.second && x + half > t.first; });
            if (free) {
                labels[int(i)] = label;
                taken.emplace_back(x - half, x + half);
            }
        }
    return labels;
}

ChartItem::ChartItem(QCustomPlot* plot, const ChartState& state, const QString& layer, bool isClipped)
    : QCPAbstractItem(plot), state_(state), box_(*plot->axisRect())
{
    setLayer(layer);
    setClipToAxisRect(isClipped);
    setSelectable(false);
}

QRectF ChartItem::plotRect() const { return QRectF(box_.rect()); }

double ChartItem::xOf(double hertz) const
{
    const QRect r = box_.rect();
    return r.left() + r.width() * std::log(hertz / state_.frequency.lower) /
                          std::log(state_.frequency.upper / state_.frequency.lower);
}

double ChartItem::yOf(double value) const
{
    const QRectF r = plotRect();
    return r.bottom() - r.height() * (value - state_.value.lower) / (state_.value.upper - state_.value.lower);
}

void LimitItem::draw(QCPPainter* painter)
{
    if (state_.limit && std::isfinite(state_.limit->value)) {
        const QRectF r = plotRect();
        const double y = std::clamp(yOf(state_.limit->value), r.top() - 2e4, r.bottom() + 2e4);
        drawHatch(painter, y);
        painter->setAntialiasing(false);
        painter->setPen(QPen(state_.palette.over, 1.5));
        if (y >= r.top() && y <= r.bottom()) painter->drawLine(QLineF(r.left(), y, r.right(), y));
        painter->setAntialiasing(true);
        drawWords(painter, y);
    }
    drawRemarks(painter);
}

void LimitItem::drawHatch(QCPPainter* painter, double y) const
{
    QRectF beyond = plotRect();
    beyond.setBottom(std::min(beyond.bottom(), y));
    if (beyond.height() <= 0) return;
    painter->setPen(QPen(blended(state_.palette.over, state_.palette.base, 0.2), 1));
    painter->drawLines(hatchOf(beyond, 7 * state_.em() * std::sqrt(2.0)));
}

/// How much of the visible curves runs through a box, px.
double LimitItem::crowding(const QRectF& box) const
{
    double length = 0;
    for (const Curve& c : state_.curves) {
        const std::size_t n = c.visible ? std::min(c.x.size(), c.y.size()) : 0;
        for (std::size_t i = 1; i < n; ++i) {
            if (!std::isfinite(c.y[i]) || !std::isfinite(c.y[i - 1]) || c.x[i] < state_.frequency.lower ||
                c.x[i - 1] > state_.frequency.upper)
                continue;
            QPointF a(xOf(c.x[i - 1]), yOf(c.y[i - 1])), b(xOf(c.x[i]), yOf(c.y[i]));
            if (clipped(a, b, box)) length += std::hypot(b.x() - a.x(), b.y() - a.y());
        }
    }
    return length;
}

void LimitItem::drawWords(QCPPainter* painter, double y) const
{
    const QFont font = state_.sized(0.92);
    const QFontMetricsF metrics(font);
    const double em = state_.em(), width = metrics.horizontalAdvance(state_.limit->words) + 8 * em;
    const QRectF r = plotRect();
    const double height = metrics.height();
    double top = y - height - 2 * em;
    if (y < r.top() || top < r.top())
        top = y < r.top() ? r.top() + 2 * em : y + 2 * em;  // the limit lies above the picture, or just at its top
    if (y > r.bottom()) top = r.bottom() - height - 2 * em;
    QRectF box(r.right() - width - 3 * em, top, width, height);
    double least = crowding(box);
    for (const double share : {0.0, 0.5})  // the right end, unless curves run there and elsewhere not
        if (QRectF other = box; least > 0) {
            other.moveLeft(r.left() + 3 * em + share * (r.width() - width - 6 * em));
            if (const double length = crowding(other); length < least && other.left() >= r.left())
                box = other, least = length;
        }
    QString words = state_.limit->words;
    if (y < r.top()) words += QStringLiteral(" \u2191");
    painter->setPen(Qt::NoPen);
    painter->setBrush(state_.palette.base);
    painter->drawRect(box.adjusted(0, 0, y < r.top() ? 6 * em : 0, 0));
    painter->setBrush(Qt::NoBrush);
    painter->setFont(font);
    painter->setPen(state_.palette.over);
    painter->drawText(box.adjusted(4 * em, 0, 20 * em, 0), Qt::AlignLeft | Qt::AlignVCenter, words);
}

void LimitItem::drawRemarks(QCPPainter* painter) const
{
    const QFont font = state_.sized(0.92);
    const QFontMetricsF metrics(font);
    const double em = state_.em();
    const QRectF r = plotRect();
    painter->setFont(font);
    double bottom = r.bottom() - 3 * em;
    for (auto remark = state_.remarks.rbegin(); remark != state_.remarks.rend(); ++remark) {
        const double width = metrics.horizontalAdvance(*remark) + 6 * em;
        const QRectF first(r.right() - width - 3 * em, bottom - metrics.height(), width, metrics.height());
        QRectF box = first;
        double least = crowding(box);
        for (int step = 1; step < 40 && least > 0; ++step) {  // up, then at the left: out of the curves' way
            const QRectF other =
                first.translated(step % 2 ? 0 : r.left() + 3 * em - first.left(), -(step / 2) * 0.5 * first.height());
            if (other.top() < r.top()) break;
            if (const double length = crowding(other); length < least) box = other, least = length;
        }
        painter->setPen(Qt::NoPen);
        painter->setBrush(state_.palette.base);
        painter->drawRect(box);
        painter->setBrush(Qt::NoBrush);
        painter->setPen(state_.palette.dim);
        painter->drawText(box, Qt::AlignCenter, *remark);
        bottom = box.top();
        if (bottom - metrics.height() < r.top()) break;
    }
}

std::vector<QPolygonF> CurvesItem::pieces(const std::vector<double>& xs, const std::vector<double>& ys,
                                          const QRectF& box) const
{
    std::vector<QPolygonF> found;
    QPointF before, end;
    bool known = false, running = false;
    const std::size_t n = std::min(xs.size(), ys.size());
    for (std::size_t i = 0; i < n; ++i) {
        if (!(xs[i] > 0) || !std::isfinite(ys[i])) {
            known = running = false;
            continue;
        }
        const QPointF here(xOf(xs[i]), yOf(ys[i]));
        if (!std::isfinite(here.x()) || !std::isfinite(here.y())) {
            known = running = false;
            continue;
        }
        const bool last = i + 1 == n;
        if (known && !last && running && std::abs(here.x() - before.x()) < 0.7 && std::abs(here.y() - before.y()) < 0.7)
            continue;  // nothing a pixel could show
        QPointF a = before, b = here;
        if (known && clipped(a, b, box)) {
            if (!running || a != end) found.push_back(QPolygonF{a});
            found.back().append(b);
            end = b, running = b == here;
        } else {
            running = false;
        }
        before = here, known = true;
    }
    return found;
}

std::vector<QPolygonF> CurvesItem::bandAreas(const Curve& curve, const QRectF& box) const
{
    std::vector<QPolygonF> areas;
    QPolygonF above, below;
    const auto finish = [&] {
        std::reverse(below.begin(), below.end());
        const QPolygonF inside = insideBox(above + below, box);
        if (inside.size() > 2) areas.push_back(inside);
        above.clear();
        below.clear();
    };
    for (std::size_t i = 0; i < std::min({curve.x.size(), curve.lower.size(), curve.upper.size()}); ++i) {
        const QPointF high(xOf(curve.x[i]), yOf(curve.upper[i])), low(xOf(curve.x[i]), yOf(curve.lower[i]));
        if (std::isfinite(high.x()) && std::isfinite(high.y()) && std::isfinite(low.y())) {
            above.append(high);
            below.append(low);
        } else {
            finish();
        }
    }
    finish();
    return areas;
}

// Light enough for the curves of others to be read through several, with dotted edges for grey print.
void CurvesItem::drawBand(QCPPainter* painter, const Curve& curve, const QRectF& box) const
{
    QColor fill = housingColour(state_.palette, curve.slot);
    QPen edge(fill, std::max(1.0, state_.em()));
    edge.setDashPattern({1, 3});
    edge.setCapStyle(Qt::FlatCap);
    fill.setAlphaF(state_.palette.highContrast ? 0.25F : 0.15F);
    painter->setPen(Qt::NoPen);
    painter->setBrush(fill);
    for (const QPolygonF& area : bandAreas(curve, box))
        painter->drawPolygon(area);
    painter->setBrush(Qt::NoBrush);
    painter->setPen(edge);
    for (const std::vector<double>* y : {&curve.lower, &curve.upper})
        for (const QPolygonF& piece : pieces(curve.x, *y, box))
            painter->drawPolyline(piece);
}

void CurvesItem::draw(QCPPainter* painter)
{
    const double over = state_.exporting ? 0 : 4;  // on screen the painter clips; not all files can
    const QRectF box = plotRect().adjusted(-over, -over, over, over);
    std::vector<const Curve*> order;
    for (const Curve& c : state_.curves)
        if (c.visible) order.push_back(&c);
    std::stable_sort(order.begin(), order.end(), [](auto a, auto b) { return a->chosen < b->chosen; });
    for (const Curve* c : order)  // all bands below all curves
        if (!c->preview) drawBand(painter, *c, box);
    painter->setBrush(Qt::NoBrush);
    for (const Curve* c : order) {
        const double width = housingPenWidth(state_.palette, c->chosen) * std::max(1.0, state_.em());
        painter->setPen(c->preview ? previewPen(state_.palette, c->slot) : housingPen(state_.palette, c->slot, width));
        for (const QPolygonF& piece : pieces(c->x, c->y, box))
            painter->drawPolyline(piece);
    }
}

}  // namespace portwright
