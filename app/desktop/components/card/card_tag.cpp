// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/card_tag.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/measures.h"

#include <QApplication>
#include <QMouseEvent>
#include <QPainter>

namespace portwright {

namespace {

int tagSide() { return px(16); }
int sampleLength() { return px(30); }

}  // namespace

CardTag::CardTag(int slot, TagFace face, QWidget* parent) : QWidget(parent), slot_(slot), face_(face)
{
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
    setAccessibleName(tr("Housing %1").arg(housingLetter(slot)));
}

void CardTag::setSlot(int slot)
{
    slot_ = slot;
    setAccessibleName(tr("Housing %1").arg(housingLetter(slot)));
    update();
}

void CardTag::setDraggable(bool draggable)
{
    draggable_ = draggable;
    setCursor(draggable ? Qt::OpenHandCursor : Qt::ArrowCursor);
    setToolTip(draggable ? tr("Drag to reorder (Ctrl+Up, Ctrl+Down)") : QString());
}

QSize CardTag::sizeHint() const { return {tagSide() + px(7) + sampleLength(), px(18)}; }

void CardTag::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const double y = height() / 2.0;
    QFont letter = lettersFont(Letters::remark);
    letter.setWeight(QFont::DemiBold);
    painter.setFont(letter);
    paintHousingTag(painter, {0.5, y - tagSide() / 2.0 + 0.5, tagSide() - 1.0, tagSide() - 1.0}, palette, slot_, face_);
    painter.setPen(housingPen(palette, slot_, pxf(2)));
    const double from = tagSide() + px(7);
    painter.drawLine(QPointF(from, y), QPointF(from + sampleLength(), y));
}

void CardTag::mousePressEvent(QMouseEvent* event)
{
    pressed_ = draggable_ && event->button() == Qt::LeftButton;
    pressedAt_ = event->globalPosition().toPoint();
    event->ignore();  // the card chooses itself
}

void CardTag::mouseMoveEvent(QMouseEvent* event)
{
    const QPoint at = event->globalPosition().toPoint();
    if (!pressed_ || (!dragging_ && (at - pressedAt_).manhattanLength() < QApplication::startDragDistance())) return;
    if (!dragging_) setCursor(Qt::ClosedHandCursor);
    dragging_ = true;
    emit dragMoved(at);
}

void CardTag::mouseReleaseEvent(QMouseEvent* event)
{
    pressed_ = false;
    if (!dragging_) return;
    dragging_ = false;
    setCursor(Qt::OpenHandCursor);
    emit dragEnded(event->globalPosition().toPoint());
}

void CardTag::cancelDrag()
{
    if (!dragging_) return;
    pressed_ = dragging_ = false;
    setCursor(Qt::OpenHandCursor);
    emit dragCancelled();
}

}  // namespace portwright
