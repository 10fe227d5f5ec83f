// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/frequency_chart.h"

#include "plots/chart/chart_parts.h"

#include <QFontInfo>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

QFont pixelFont(const QFont& font)
{
    QFont sized = font;
    sized.setPixelSize(std::max(QFontInfo(font).pixelSize(), 6));
    return sized;
}

}  // namespace

FrequencyChart::Parts::Parts(FrequencyChart* chart)
{
    state.font = pixelFont(chart->font());
    state.locale = chart->locale();
    plot = new ChartPlot(chart);
    plot->setAttribute(Qt::WA_TransparentForMouseEvents);
    plot->setFocusPolicy(Qt::NoFocus);
    plot->setPlottingHint(QCP::phFastPolylines);
    plot->addLayer(QStringLiteral("limits"), plot->layer(QStringLiteral("grid")), QCustomPlot::limAbove);
    plot->addLayer(QStringLiteral("cursor"), plot->layer(QStringLiteral("overlay")), QCustomPlot::limAbove);
    cursorLayer = plot->layer(QStringLiteral("cursor"));
    cursorLayer->setMode(QCPLayer::lmBuffered);
    plot->axisRect()->setAutoMargins(QCP::msNone);
    plot->xAxis->setScaleType(QCPAxis::stLogarithmic);
    plot->xAxis->setTicker(QSharedPointer<ChartTicker>::create(state, *plot->xAxis));
    plot->yAxis->setTicker(QSharedPointer<ChartTicker>::create(state, *plot->yAxis));
    new LimitItem(plot, state, QStringLiteral("limits"), true);
    curves = new CurvesItem(plot, state, QStringLiteral("main"), true);
    surround = new SurroundItem(plot, state, QStringLiteral("overlay"), false);
    tuning = new TuningItem(plot, state, QStringLiteral("overlay"), false);
    cursor = new CursorItem(plot, state, QStringLiteral("cursor"), false);
    for (QCPAxis* axis : {plot->xAxis, plot->yAxis}) {
        axis->setTickLength(0, 0);
        axis->setSubTickLength(0, 0);
        axis->setTickLabelPadding(5);
        axis->grid()->setZeroLinePen(Qt::NoPen);
        axis->grid()->setSubGridVisible(true);
        axis->grid()->setAntialiased(false);
    }
    settle.setSingleShot(true);
    settle.setInterval(150);
    QObject::connect(&settle, &QTimer::timeout, chart, [this] {
        fast = false;
        plot->setNotAntialiasedElements(QCP::aeNone);
        plot->replot(QCustomPlot::rpQueuedReplot);
    });
    applyPalette();
}

void FrequencyChart::Parts::applyPalette()
{
    const PlotPalette& p = state.palette;
    plot->setBackground(QBrush(p.base));
    for (QCPAxis* axis : {plot->xAxis, plot->yAxis}) {
        axis->setBasePen(QPen(blended(p.text, p.base, 0.35), 1));
        axis->setTickLabelColor(p.dim);
        axis->setTickLabelFont(state.sized(0.92));
        axis->grid()->setPen(QPen(blended(p.text, p.base, p.highContrast ? 0.45 : 0.2), 1));
        axis->grid()->setSubGridPen(QPen(blended(p.text, p.base, p.highContrast ? 0.2 : 0.08), 1));
    }
    plot->yAxis->setBasePen(Qt::NoPen);
    refresh();
}

void FrequencyChart::Parts::applyRanges()
{
    plot->xAxis->setRange(state.frequency.lower, state.frequency.upper);
    plot->yAxis->setRange(state.value.lower, state.value.upper);
}

void FrequencyChart::Parts::refresh()
{
    applyRanges();
    plot->axisRect()->setMargins(chartMargins(state, plot->size()));
    plot->replot(QCustomPlot::rpQueuedReplot);
}

void FrequencyChart::Parts::refreshCursor() { cursorLayer->replot(); }

void FrequencyChart::Parts::keepValueRange()
{
    if (valueSet) return;
    const bool any = std::any_of(state.curves.begin(), state.curves.end(), [](const Curve& c) { return !c.x.empty(); });
    state.value = valueFitted ? keptRange(policy, state.value, state.curves, state.limit, state.frequency)
                              : fittedRange(policy, state.curves, state.limit, state.frequency);
    valueFitted = any;
}

int FrequencyChart::Parts::tagAt(const QPointF& at) const
{
    for (const auto& tags : {surround->endTags(), cursor->stripTags()})
        for (const auto& [slot, box] : tags)
            if (box.adjusted(-3, -1, 3, 1).contains(at)) return slot;
    return -1;
}

double FrequencyChart::Parts::frequencyAt(double x) const
{
    const QRect r = plot->axisRect()->rect();
    const double share = std::clamp((x - r.left()) / std::max(r.width(), 1), 0.0, 1.0);
    return state.frequency.lower * std::pow(state.frequency.upper / state.frequency.lower, share);
}

FrequencyChart::FrequencyChart(QWidget* parent) : QWidget(parent), parts_(std::make_unique<Parts>(this))
{
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(parts_->plot);
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setAttribute(Qt::WA_OpaquePaintEvent);
}

FrequencyChart::~FrequencyChart()
{
    delete parts_->plot;  // its items and tickers refer to the parts' state
    parts_->plot = nullptr;
}

void FrequencyChart::setQuantity(const QString& title, const QString& unit, const QString& accessibleName)
{
    parts_->state.title = title;
    parts_->state.unit = unit;
    setAccessibleName(accessibleName);
    parts_->refresh();
}

void FrequencyChart::setRangePolicy(RangePolicy policy)
{
    parts_->policy = policy;
    parts_->valueFitted = false;
    parts_->keepValueRange();
    parts_->refresh();
    tellValueRange();
}

void FrequencyChart::setPlotPalette(const PlotPalette& palette)
{
    if (parts_->state.palette == palette) return;
    parts_->state.palette = palette;
    parts_->applyPalette();
}

void FrequencyChart::setCurves(std::vector<Curve> newCurves)
{
    parts_->state.curves = std::move(newCurves);
    parts_->keepValueRange();
    if (parts_->fast) parts_->settle.start();
    parts_->refresh();
    tellValueRange();
    tellReadouts();
}

const std::vector<Curve>& FrequencyChart::curves() const { return parts_->state.curves; }

void FrequencyChart::setAbsentRemarks(const QStringList& remarks)
{
    parts_->state.remarks = remarks;
    parts_->refresh();
    tellReadouts();
}

void FrequencyChart::setLimit(const std::optional<LimitLine>& limit)
{
    if (parts_->state.limit == limit) return;
    parts_->state.limit = limit;
    parts_->keepValueRange();
    parts_->refresh();
    tellValueRange();
    tellReadouts();
}

void FrequencyChart::setCursorFrequency(double hertz)
{
    const bool came = std::isfinite(hertz) != std::isfinite(parts_->state.cursor);
    parts_->state.cursor = hertz > 0 ? hertz : std::nan("");
    if (came)
        parts_->refresh();  // the readouts take room
    else
        parts_->refreshCursor();
    tellReadouts();
}

double FrequencyChart::cursorFrequency() const { return parts_->state.cursor; }

void FrequencyChart::setCursorReadouts(double hertz, std::vector<std::pair<int, double>> bySlot)
{
    parts_->state.readoutFrequency = hertz;
    parts_->state.readouts = std::move(bySlot);
    parts_->refreshCursor();
    tellReadouts();
}

QString FrequencyChart::readoutOf(int slot) const
{
    for (const Curve& c : parts_->state.curves)
        if (c.slot == slot && !c.preview) return readoutText(parts_->state.readout(c), parts_->state.locale);
    return QString(QChar(0x2013));
}

void FrequencyChart::setFrequencyRange(double lower, double upper)
{
    const AxisRange range = clampedFrequency({lower, upper});
    const AxisRange old = parts_->state.frequency;
    if (std::abs(range.lower / old.lower - 1) < 1e-9 && std::abs(range.upper / old.upper - 1) < 1e-9) return;
    parts_->state.frequency = range;
    parts_->refresh();
    emit frequencyRangeMoved(range.lower, range.upper);
}

AxisRange FrequencyChart::frequencyRange() const { return parts_->state.frequency; }

void FrequencyChart::setFittedFrequencyRange(double lower, double upper)
{
    parts_->fitted = clampedFrequency({lower, upper});
}

void FrequencyChart::setValueRange(double lower, double upper)
{
    if (!std::isfinite(lower) || !std::isfinite(upper) || !(upper - lower > 1e-9) || std::abs(upper) > 1e12 ||
        std::abs(lower) > 1e12)
        return;
    parts_->state.value = {lower, upper};
    parts_->valueSet = true;
    parts_->refresh();
    tellValueRange();
}

AxisRange FrequencyChart::valueRange() const { return parts_->state.value; }

void FrequencyChart::fit()
{
    parts_->valueSet = false;
    setFrequencyRange(parts_->fitted.lower, parts_->fitted.upper);
    parts_->state.value =
        fittedRange(parts_->policy, parts_->state.curves, parts_->state.limit, parts_->state.frequency);
    parts_->valueFitted = true;
    parts_->refresh();
    tellValueRange();
}

ChartView FrequencyChart::view() const
{
    return {.frequency = parts_->state.frequency, .value = parts_->state.value, .valueByHand = parts_->valueSet};
}

void FrequencyChart::setView(const ChartView& view)
{
    setFrequencyRange(view.frequency.lower, view.frequency.upper);
    setValueRange(view.value.lower, view.value.upper);
    parts_->valueSet = view.valueByHand;
}

void FrequencyChart::tellValueRange()
{
    const AxisRange now = parts_->state.value;
    if (parts_->toldValue == now) return;
    parts_->toldValue = now;
    emit valueRangeMoved(now.lower, now.upper);
}

void FrequencyChart::drawFast(bool fast)
{
    if (fast && !parts_->fast) {
        parts_->fast = true;
        parts_->plot->setNotAntialiasedElements(QCP::aeAll);
    }
    if (parts_->fast) parts_->settle.start();
}

void FrequencyChart::paintTo(QPainter& painter, const QSizeF& size)
{
    const QSize whole = size.toSize();
    ChartState& state = parts_->state;
    state.exporting = true;
    parts_->plot->setNotAntialiasedElements(QCP::aeNone);
    parts_->applyRanges();
    parts_->plot->axisRect()->setMargins(chartMargins(state, whole));
    parts_->plot->drawInto(painter, whole);
    state.exporting = false;
    parts_->refresh();
}

QImage FrequencyChart::picture(const QSize& size, double pixelRatio)
{
    QImage image(size * pixelRatio, QImage::Format_ARGB32_Premultiplied);
    image.setDevicePixelRatio(pixelRatio);
    image.fill(parts_->state.palette.base);
    QPainter painter(&image);
    painter.setRenderHint(QPainter::Antialiasing);
    paintTo(painter, size);
    return image;
}

std::vector<QRectF> FrequencyChart::endTagBoxes() const
{
    std::vector<QRectF> boxes;
    for (const auto& tag : parts_->surround->endTags())
        boxes.push_back(tag.second);
    return boxes;
}

std::vector<QRectF> FrequencyChart::overBarBoxes() const
{
    std::vector<QRectF> boxes;
    for (const SurroundItem::OverBar& bar : parts_->surround->overBars())
        boxes.push_back(QRectF(bar.left, bar.y - 1.7, bar.right - bar.left, 3.4));
    return boxes;
}

QRectF FrequencyChart::plotBox() const { return parts_->plot->axisRect()->rect(); }

QSize FrequencyChart::minimumSizeHint() const
{
    const double em = parts_->state.em();
    return QSizeF(220 * em, 170 * em).toSize();
}

QSize FrequencyChart::sizeHint() const
{
    const double em = parts_->state.em();
    return QSizeF(358 * em, 248 * em).toSize();
}

void FrequencyChart::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    const bool letters = event->type() == QEvent::FontChange || event->type() == QEvent::LocaleChange;
    if (!letters || !parts_) return;
    parts_->state.font = pixelFont(font());
    parts_->state.locale = locale();
    parts_->applyPalette();
    updateGeometry();
}

void FrequencyChart::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    parts_->refresh();
}

void FrequencyChart::moveCursorTo(double hertz)
{
    const AxisRange shown = parts_->state.frequency;
    const double there = std::clamp(hertz, shown.lower, shown.upper);
    if (there == parts_->state.cursor) return;
    setCursorFrequency(there);
    emit cursorFrequencyMoved(there);
}

/// The readouts and what is past the limit, as text, for those who hear the chart.
void FrequencyChart::tellReadouts()
{
    const ChartState& state = parts_->state;
    QStringList words;
    if (std::isfinite(state.cursor)) {
        QStringList figures;
        for (const Curve& c : state.curves)
            if (!c.preview) {
                const double spread = spreadAt(c, state.cursor);
                figures << housingLetter(c.slot) + u' ' + readoutText(state.readout(c), state.locale) +
                               (std::isfinite(spread) ? QStringLiteral(" \u00b1") + readoutText(spread, state.locale)
                                                      : QString());
            }
        words << tr("At %1\u00a0Hz, in %2: %3")
                     .arg(readoutText(state.cursor, state.locale), state.unit, figures.join(u", "));
    }
    words << state.remarks;
    if (state.limit)
        for (const Curve& c : state.curves)
            for (const AxisRange& span : pastItsLimit(c, state.limit))
                words << tr("%1 is past the %2 from %3 to %4\u00a0Hz")
                             .arg(housingLetter(c.slot), state.limit->words, readoutText(span.lower, state.locale),
                                  readoutText(span.upper, state.locale));
    setAccessibleDescription(words.join(u". "));
}

}  // namespace portwright
