// SPDX-License-Identifier: GPL-3.0-or-later
// The mark of a tuning on a chart's frequency axis: a handle to retune by.
#include "plots/chart/chart_parts.h"

namespace portwright {

QRectF TuningItem::handle() const
{
    if (!state_.tuning || !(*state_.tuning > 0)) return {};
    if (*state_.tuning < state_.frequency.lower || *state_.tuning > state_.frequency.upper) return {};
    const double em = state_.em(), half = 6 * em;
    return {xOf(*state_.tuning) - half, plotRect().bottom() - 11 * em, 2 * half, 12 * em};
}

void TuningItem::draw(QCPPainter* painter)
{
    const QRectF box = handle();
    if (box.isNull() || state_.exporting) return;
    const QColor colour = housingColour(state_.palette, state_.tuningSlot);
    const double x = box.center().x();
    painter->setPen(QPen(state_.palette.base, 1.2));  // told from curves that run behind it
    painter->setBrush(colour);
    painter->drawPolygon(QPolygonF{box.bottomLeft(), QPointF(x, box.top()), box.bottomRight()});
    painter->setBrush(Qt::NoBrush);
}

void FrequencyChart::setTuningMark(std::optional<double> hertz, int slot, const QString& words)
{
    ChartState& state = parts_->state;
    parts_->tuningWords = words;
    if (state.tuning == hertz && state.tuningSlot == slot) return;
    state.tuning = hertz;
    state.tuningSlot = slot;
    parts_->refresh();
}

QRectF FrequencyChart::tuningHandle() const { return parts_->tuning->handle(); }

void FrequencyChart::endTuningDrag()
{
    parts_->tuningDragged = false;
    releaseKeyboard();
}

}  // namespace portwright
