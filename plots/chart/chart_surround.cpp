// SPDX-License-Identifier: GPL-3.0-or-later
// What stands around a chart's plot: title strip with readouts, over-bars, end tags, and the cursor.
#include "plots/chart/chart_items.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

bool counts(const Curve& curve) { return !curve.preview; }

std::vector<const Curve*> bySlot(const ChartState& state)
{
    std::vector<const Curve*> order;
    for (const Curve& c : state.curves)
        if (counts(c)) order.push_back(&c);
    std::stable_sort(order.begin(), order.end(), [](auto a, auto b) { return a->slot < b->slot; });
    return order;
}

double widestReadout(const ChartState& state)
{
    const QFontMetricsF metrics(state.sized(1.08, QFont::DemiBold));
    double width = metrics.horizontalAdvance(readoutText(188.8, state.locale));
    for (const Curve& c : state.curves)
        width = std::max(width, metrics.horizontalAdvance(readoutText(state.readout(c), state.locale)));
    return width;
}

QString spreadText(const ChartState& state, const Curve& curve)
{
    const double spread = spreadAt(curve, state.cursor);
    return std::isfinite(spread) ? QChar(0x00B1) + readoutText(spread, state.locale) : QString();
}

double widestSpread(const ChartState& state)
{
    const QFontMetricsF metrics(state.sized(0.92));
    double width = 0;
    for (const Curve& c : state.curves)
        if (counts(c)) width = std::max(width, metrics.horizontalAdvance(spreadText(state, c)));
    return width > 0 ? width + 3 * state.em() : 0;
}

}  // namespace

int readoutCount(const ChartState& state)
{
    return std::isfinite(state.cursor) ? int(std::count_if(state.curves.begin(), state.curves.end(), counts)) : 0;
}

int overBarCount(const ChartState& state)
{
    return int(std::count_if(state.curves.begin(), state.curves.end(), [&](const Curve& c) {
        return counts(c) && c.visible && !pastItsLimit(c, state.limit).empty();
    }));
}

StripLayout stripLayout(const ChartState& state, double width)
{
    StripLayout strip;
    const double em = state.em();
    strip.tag = 16 * em;
    strip.rowHeight = 19 * em;
    strip.column = strip.tag + 4 * em + widestReadout(state) + 10 * em;
    const double title = QFontMetricsF(state.sized(1, QFont::DemiBold)).horizontalAdvance(state.title) +
                         QFontMetricsF(state.sized(0.92)).horizontalAdvance(state.unit) + 30 * em;
    const int n = readoutCount(state);
    const double room = width - std::max(title, 150 * em);
    if (const double spread = n > 0 ? widestSpread(state) : 0; n * (strip.column + spread) <= room) {
        strip.spread = spread;
        strip.column += spread;
    }
    strip.perRow = std::max(1, int(room / strip.column));
    strip.rows = std::max(1, (n + strip.perRow - 1) / strip.perRow);
    strip.height = 27 * em + (strip.rows - 1) * strip.rowHeight;
    return strip;
}

QMargins chartMargins(const ChartState& state, const QSizeF& size)
{
    const double em = state.em();
    const QFontMetricsF metrics(state.sized(0.92));
    double label = metrics.horizontalAdvance(QStringLiteral("000"));
    const std::vector<double> ticks = valueTicks(state.value, 7);
    for (const double t : ticks)
        label = std::max(label, metrics.horizontalAdvance(valueTickLabel(t, ticks, state.locale)));
    const double left = std::max(label + 10 * em, metrics.horizontalAdvance(QStringLiteral("Hz")) + 20 * em);
    const double bars = std::max(3, overBarCount(state)) * 5 * em + 4 * em;
    const double tag = 24 * em;
    return {int(std::ceil(left)), int(std::ceil(stripLayout(state, size.width()).height + bars)), int(std::ceil(tag)),
            int(std::ceil(metrics.height() + 7 * em))};
}

std::vector<std::pair<int, QRectF>> SurroundItem::endTags() const
{
    const QRectF r = plotRect();
    const double em = state_.em(), side = 16 * em;
    std::vector<int> slots_;
    std::vector<double> wanted;
    for (const Curve* c : bySlot(state_)) {
        if (!c->visible) continue;
        const std::size_t n = std::min(c->x.size(), c->y.size());
        double end = valueAt(*c, state_.frequency.upper);
        for (std::size_t i = n; i-- > 0 && !std::isfinite(end);)
            if (c->x[i] <= state_.frequency.upper) end = c->y[i];
        if (!std::isfinite(end)) continue;
        slots_.push_back(c->slot);
        wanted.push_back(std::clamp(yOf(end), r.top(), r.bottom()));
    }
    // a pixel further apart than they are high, so that two plates never merge into one
    const std::vector<double> centres = pushedApart(wanted, side + 1, r.top() - 4 * em, r.bottom() + 4 * em);
    std::vector<std::pair<int, QRectF>> tags;
    for (std::size_t i = 0; i < centres.size(); ++i)
        tags.emplace_back(slots_[i], QRectF(r.right() + 4 * em, centres[i] - side / 2, side, side));
    return tags;
}

std::vector<SurroundItem::OverBar> SurroundItem::overBars() const
{
    std::vector<OverBar> bars;
    const QRectF r = plotRect();
    int row = 0;
    const int rows = overBarCount(state_);
    for (const Curve* c : bySlot(state_)) {
        const std::vector<AxisRange> spans = c->visible ? pastItsLimit(*c, state_.limit) : std::vector<AxisRange>{};
        if (spans.empty()) continue;
        const double y = r.top() - 4 * state_.em() - (rows - row) * 5 * state_.em() + 2.5 * state_.em();
        for (const AxisRange& span : spans) {
            const double from = std::max(span.lower, state_.frequency.lower);
            const double to = std::min(span.upper, state_.frequency.upper);
            if (from >= to) continue;
            const bool starts = span.lower > state_.frequency.lower && span.lower > c->x.front();
            const bool stops = span.upper < state_.frequency.upper && span.upper < c->x.back();
            bars.push_back({c->slot, xOf(from), xOf(to), y, starts, stops});
        }
        ++row;
    }
    return bars;
}

void SurroundItem::draw(QCPPainter* painter)
{
    const double em = state_.em();
    const QRectF r = plotRect();
    const double baseline = 17 * em;
    const QFont bold = state_.sized(1, QFont::DemiBold), small = state_.sized(0.92);
    painter->setBrush(Qt::NoBrush);
    painter->setFont(bold);
    painter->setPen(state_.palette.text);
    painter->drawText(QPointF(10 * em, baseline), state_.title);
    const double after = 10 * em + QFontMetricsF(bold).horizontalAdvance(state_.title) + 6 * em;
    painter->setFont(small);
    painter->setPen(state_.palette.dim);
    painter->drawText(QPointF(after, baseline), state_.unit);

    const QFontMetricsF metrics(small);
    const QString first = frequencyTickLabel(state_.frequency.lower, state_.locale);
    const double hz = metrics.horizontalAdvance(QStringLiteral("Hz"));
    const double right = r.left() - metrics.horizontalAdvance(first.left(3)) / 2 - 5 * em;
    painter->drawText(QPointF(std::max(2 * em, right - hz), r.bottom() + 4 * em + metrics.ascent()),
                      QStringLiteral("Hz"));

    for (const OverBar& bar : overBars()) {
        QPen pen(housingColour(state_.palette, bar.slot), 3.4 * em);
        pen.setCapStyle(Qt::FlatCap);
        painter->setPen(pen);
        painter->drawLine(QLineF(bar.left, bar.y, std::max(bar.right, bar.left + 2), bar.y));
        pen.setWidthF(1.6 * em);
        painter->setPen(pen);
        const double half = 3.2 * em;
        if (bar.startsHere) painter->drawLine(QLineF(bar.left, bar.y - half, bar.left, bar.y + half));
        if (bar.stopsHere) painter->drawLine(QLineF(bar.right, bar.y - half, bar.right, bar.y + half));
    }
    painter->setFont(small);
    for (const auto& [slot, box] : endTags())
        paintHousingTag(*painter, box, state_.palette, slot, TagFace::filled);
}

std::vector<std::pair<int, QRectF>> CursorItem::stripTags() const
{
    std::vector<std::pair<int, QRectF>> tags;
    if (readoutCount(state_) == 0) return tags;
    const double width = mParentPlot->viewport().width(), em = state_.em();
    const StripLayout strip = stripLayout(state_, width);
    const std::vector<const Curve*> order = bySlot(state_);
    const int n = int(order.size()), columns = std::min(n, strip.perRow);
    for (int i = 0; i < n; ++i) {
        const int row = i / strip.perRow;
        const double left = width - 10 * em - (columns - i % strip.perRow) * strip.column + 10 * em;
        const double middle = 13 * em + row * strip.rowHeight;
        tags.emplace_back(order[std::size_t(i)]->slot, QRectF(left, middle - strip.tag / 2, strip.tag, strip.tag));
    }
    return tags;
}

void CursorItem::drawReadouts(QCPPainter* painter) const
{
    const double em = state_.em();
    const QFont bold = state_.sized(1.08, QFont::DemiBold), small = state_.sized(0.92);
    const QFontMetricsF metrics(bold);
    const double number = widestReadout(state_);
    const StripLayout strip = stripLayout(state_, mParentPlot->viewport().width());
    const std::vector<const Curve*> order = bySlot(state_);
    const std::vector<std::pair<int, QRectF>> tags = stripTags();
    for (std::size_t i = 0; i < tags.size(); ++i) {
        const Curve& c = *order[i];
        const QRectF& box = tags[i].second;
        painter->setFont(small);
        paintHousingTag(*painter, box, state_.palette, c.slot, c.visible ? TagFace::filled : TagFace::outlined);
        painter->setFont(bold);
        painter->setPen(c.visible ? state_.palette.text : state_.palette.dim);
        const QString text = readoutText(state_.readout(c), state_.locale);
        const double right = box.right() + 4 * em + number, base = box.center().y() + metrics.capHeight() / 2;
        painter->drawText(QPointF(right - metrics.horizontalAdvance(text), base), text);
        if (!(strip.spread > 0)) continue;
        painter->setFont(small);
        painter->setPen(state_.palette.dim);
        painter->drawText(QPointF(right + 3 * em, base), spreadText(state_, c));
    }
}

void CursorItem::draw(QCPPainter* painter)
{
    const QRectF r = plotRect();
    const double em = state_.em();
    painter->setBrush(Qt::NoBrush);
    if (std::isfinite(state_.cursor)) {
        const double x = xOf(state_.cursor);
        if (x >= r.left() - 0.5 && x <= r.right() + 0.5) {
            painter->setAntialiasing(false);
            painter->setPen(QPen(state_.palette.accent, 1));
            painter->drawLine(QLineF(std::round(x), r.top(), std::round(x), r.bottom()));
            painter->setAntialiasing(true);
            painter->setBrush(state_.palette.base);
            for (const Curve& c : state_.curves) {
                const double value = c.visible && counts(c) ? state_.readout(c) : std::nan("");
                const double y = std::isfinite(value) ? yOf(value) : -1;
                if (!(y >= r.top() && y <= r.bottom())) continue;
                painter->setPen(QPen(housingColour(state_.palette, c.slot), 1.6 * em));
                painter->drawEllipse(QPointF(std::round(x), y), 3.4 * em, 3.4 * em);
            }
            painter->setBrush(Qt::NoBrush);
        }
        drawReadouts(painter);
    }
    if (state_.focused && !state_.exporting) {
        painter->setPen(QPen(state_.palette.accent, 2));
        painter->drawRect(QRectF(mParentPlot->viewport()).adjusted(1, 1, -1, -1));
    }
}

}  // namespace portwright
