// SPDX-License-Identifier: GPL-3.0-or-later
// Mouse, wheel and keys of a chart.
#include "plots/chart/chart_parts.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QToolTip>

#include <algorithm>
#include <cmath>

namespace portwright {

bool FrequencyChart::event(QEvent* event)
{
    if (event->type() == QEvent::ToolTip) {
        const auto* help = static_cast<QHelpEvent*>(event);
        if (tuningHandle().contains(help->pos()) && !parts_->tuningWords.isEmpty()) {
            QToolTip::showText(help->globalPos(), parts_->tuningWords, this);
            return true;
        }
        const int slot = parts_->tagAt(help->pos());
        for (const Curve& c : parts_->state.curves)
            if (c.slot == slot && !c.preview) {
                QToolTip::showText(
                    help->globalPos(),
                    c.visible ? tr("%1: click to hide").arg(c.name) : tr("%1: click to show").arg(c.name), this);
                return true;
            }
        QToolTip::hideText();
        return true;
    }
    return QWidget::event(event);
}

void FrequencyChart::keyPressEvent(QKeyEvent* event)
{
    if (parts_->tuningDragged) {
        if (event->key() != Qt::Key_Escape) return;
        endTuningDrag();
        emit tuningDragGivenUp();
        return;
    }
    const double octaves = event->modifiers() & Qt::ShiftModifier ? 1.0 / 3 : 1.0 / 24;
    const double here = std::isfinite(parts_->state.cursor)
                            ? parts_->state.cursor
                            : std::sqrt(parts_->state.frequency.lower * parts_->state.frequency.upper);
    const bool plain = !(event->modifiers() & (Qt::ControlModifier | Qt::AltModifier | Qt::MetaModifier));
    const QString text = event->text();
    const bool number = plain && text.size() == 1 && (text[0].isDigit() || text[0] == u'.' || text[0] == u',');
    const AxisRange shown = parts_->state.frequency;
    if (plain && event->key() == Qt::Key_Left)
        moveCursorTo(here * std::exp2(-octaves));
    else if (plain && event->key() == Qt::Key_Right)
        moveCursorTo(here * std::exp2(octaves));
    else if (plain && event->key() == Qt::Key_Home)
        emit homeRequested();
    else if (plain && event->key() == Qt::Key_End)
        emit endRequested();
    else if (plain && event->key() == Qt::Key_Backspace)
        emit backRequested();
    else if (number)
        emit digitTyped(text);
    else if (plain && (text == u"+" || text == u"-")) {
        const AxisRange range =
            zoomed(shown, std::clamp(here, shown.lower, shown.upper), text == u"+" ? 0.8 : 1.25, true);
        emit viewAboutToChange(true);
        setFrequencyRange(range.lower, range.upper);
    } else
        QWidget::keyPressEvent(event);
}

void FrequencyChart::wheelEvent(QWheelEvent* event)
{
    const QPoint delta = event->angleDelta();
    const double steps = (delta.y() != 0 ? delta.y() : delta.x()) / 120.0;
    const double factor = std::pow(0.85, std::clamp(steps, -8.0, 8.0));
    emit viewAboutToChange(true);
    if (event->modifiers() & Qt::ShiftModifier) {
        const QRectF r = parts_->plot->axisRect()->rect();
        const AxisRange& now = parts_->state.value;
        const double share = std::clamp((r.bottom() - event->position().y()) / std::max(r.height(), 1.0), 0.0, 1.0);
        const bool fromZero = now.lower == 0;  // travel, air and load keep their foot on zero
        const double centre = fromZero ? 0 : now.lower + share * (now.upper - now.lower);
        const AxisRange range = zoomed(now, centre, factor, false);
        setValueRange(range.lower, range.upper);
    } else {
        const AxisRange range =
            zoomed(parts_->state.frequency, parts_->frequencyAt(event->position().x()), factor, true);
        setFrequencyRange(range.lower, range.upper);
    }
    drawFast(true);
    event->accept();
}

void FrequencyChart::mousePressEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton) return QWidget::mousePressEvent(event);
    if (tuningHandle().contains(event->position())) {
        parts_->tuningDragged = true;
        parts_->tuningMoved = false;
        grabKeyboard();  // for Esc, whatever has the focus
        return;
    }
    parts_->pressedTag = parts_->tagAt(event->position());
    if (parts_->pressedTag >= 0) return;
    parts_->pressed = event->position();
    parts_->pressedFrequency = parts_->state.frequency;
    parts_->pressedValue = parts_->state.value;
    parts_->dragging = parts_->draggingValue = false;
    if (plotBox().contains(event->position())) moveCursorTo(parts_->frequencyAt(event->position().x()));
}

void FrequencyChart::mouseMoveEvent(QMouseEvent* event)
{
    const QPointF at = event->position();
    if (parts_->tuningDragged) {
        parts_->tuningMoved = true;
        drawFast(true);
        emit tuningDragged(parts_->frequencyAt(at.x()));
        return;
    }
    if (!parts_->pressed) {
        const bool onTag = parts_->tagAt(at) >= 0, onMark = tuningHandle().contains(at);
        QWidget::setCursor(onMark ? Qt::SizeHorCursor : onTag ? Qt::PointingHandCursor : Qt::ArrowCursor);
        if (!onTag && plotBox().contains(at)) moveCursorTo(parts_->frequencyAt(at.x()));
        return;
    }
    const QPointF moved = at - *parts_->pressed;
    const QRectF r = plotBox();
    const bool dragged = parts_->dragging;
    parts_->dragging = parts_->dragging || std::abs(moved.x()) > 4 || std::abs(moved.y()) > 8;
    if (parts_->dragging && !dragged) emit viewAboutToChange(false);
    parts_->draggingValue = parts_->draggingValue || std::abs(moved.y()) > 8;  // a level hand pans frequency only
    if (!parts_->dragging || r.width() < 1 || r.height() < 1) return;
    drawFast(true);
    const AxisRange& f = parts_->pressedFrequency;
    double ratio = std::pow(f.upper / f.lower, -moved.x() / r.width());
    ratio = std::clamp(ratio, frequencyBounds.lower / f.lower, frequencyBounds.upper / f.upper);
    setFrequencyRange(f.lower * ratio, f.upper * ratio);
    if (parts_->draggingValue) {
        const AxisRange& v = parts_->pressedValue;
        const double shift = moved.y() / r.height() * (v.upper - v.lower);
        setValueRange(v.lower + shift, v.upper + shift);
    }
}

void FrequencyChart::mouseReleaseEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton) return QWidget::mouseReleaseEvent(event);
    if (parts_->tuningDragged) {
        const bool moved = parts_->tuningMoved;
        endTuningDrag();
        if (moved)
            emit tuningDropped(parts_->frequencyAt(event->position().x()));
        else
            emit tuningDragGivenUp();
        return;
    }
    if (parts_->pressedTag >= 0 && parts_->tagAt(event->position()) == parts_->pressedTag)
        emit slotToggled(parts_->pressedTag);
    parts_->pressedTag = -1;
    parts_->pressed.reset();
    parts_->dragging = false;
}

void FrequencyChart::mouseDoubleClickEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton || parts_->tagAt(event->position()) >= 0) return;
    emit viewAboutToChange(false);
    fit();
}

void FrequencyChart::contextMenuEvent(QContextMenuEvent* event) { emit contextMenuWanted(event->globalPos()); }

void FrequencyChart::focusInEvent(QFocusEvent* event)
{
    QWidget::focusInEvent(event);
    parts_->state.focused = true;
    parts_->refreshCursor();
}

void FrequencyChart::focusOutEvent(QFocusEvent* event)
{
    QWidget::focusOutEvent(event);
    parts_->state.focused = false;
    parts_->refreshCursor();
}

}  // namespace portwright
