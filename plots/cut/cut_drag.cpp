// SPDX-License-Identifier: GPL-3.0-or-later
// Dragging a port's inner end in the cut to another length.
#include "plots/cut/cut.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QToolTip>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr double reach = 7;          // px that a hand may miss an end by
constexpr double step = 0.5e-3;      // m, as fine as a length is dragged
constexpr double longestPort = 3.0;  // m, what the project takes

}  // namespace

void CutView::setLengthsDraggable(bool draggable)
{
    draggable_ = draggable;
    setMouseTracking(draggable);
}

std::optional<QPointF> CutView::innerEndOf(std::size_t port) const
{
    for (const InnerEnd& end : innerEnds())
        if (end.port == port) return end.at;
    return {};
}

const CutView::InnerEnd* CutView::endAt(const std::vector<InnerEnd>& ends, const QPointF& at) const
{
    for (const InnerEnd& end : ends) {
        const QPointF away = at - end.at;
        const double along = QPointF::dotProduct(away, end.inwards);
        const double across = std::abs(away.x() * end.inwards.y() - away.y() * end.inwards.x());
        if (std::abs(along) <= reach && across <= end.half + reach) return &end;
    }
    return nullptr;
}

void CutView::mousePressEvent(QMouseEvent* event)
{
    const auto ends = draggable_ ? innerEnds() : std::vector<InnerEnd>{};
    const InnerEnd* end = event->button() == Qt::LeftButton ? endAt(ends, event->position()) : nullptr;
    if (!end) return QWidget::mousePressEvent(event);
    drag_ = Drag{*end, event->position(), fittedFace().pixelsPerMm, end->length};
    grabKeyboard();  // for Esc, whatever has the focus
}

void CutView::mouseMoveEvent(QMouseEvent* event)
{
    if (!drag_) {
        const auto ends = draggable_ ? innerEnds() : std::vector<InnerEnd>{};
        const InnerEnd* end = endAt(ends, event->position());
        if (!end) return QWidget::setCursor(Qt::ArrowCursor);
        const bool upright = std::abs(end->inwards.y()) >= std::abs(end->inwards.x());
        return QWidget::setCursor(upright ? Qt::SizeVerCursor : Qt::SizeHorCursor);
    }
    const double moved = QPointF::dotProduct(event->position() - drag_->from, drag_->end.inwards);
    const double length = drag_->end.length + moved / drag_->pixelsPerMm / 1e3;
    drag_->length = std::clamp(std::round(length / step) * step, 0.0, longestPort);
    emit lengthDragged(drag_->end.port, drag_->length);
}

void CutView::mouseReleaseEvent(QMouseEvent* event)
{
    if (!drag_ || event->button() != Qt::LeftButton) return QWidget::mouseReleaseEvent(event);
    const Drag done = *drag_;
    endDrag();
    if (done.length != done.end.length)
        emit lengthDropped(done.end.port, done.length);
    else
        emit dragGivenUp();
}

void CutView::keyPressEvent(QKeyEvent* event)
{
    if (!drag_ || event->key() != Qt::Key_Escape) return QWidget::keyPressEvent(event);
    endDrag();
    emit dragGivenUp();
}

void CutView::endDrag()
{
    drag_.reset();
    releaseKeyboard();
}

bool CutView::event(QEvent* event)
{
    if (event->type() != QEvent::ToolTip || !draggable_) return QWidget::event(event);
    const auto* help = static_cast<QHelpEvent*>(event);
    const auto ends = innerEnds();
    if (endAt(ends, help->pos()))
        QToolTip::showText(help->globalPos(), tr("Drag to change the port's length; Esc leaves it as it is"), this);
    else
        QToolTip::hideText();
    return true;
}

}  // namespace portwright
