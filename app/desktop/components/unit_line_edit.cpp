// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/unit_line_edit.h"

#include "app/desktop/components/measures.h"

#include <QEvent>
#include <QFocusEvent>
#include <QMouseEvent>
#include <QPainter>

namespace portwright {

UnitLineEdit::UnitLineEdit(QWidget* parent) : QLineEdit(parent) { setAlignment(Qt::AlignRight | Qt::AlignVCenter); }

int UnitLineEdit::unitWidth() const
{
    return unit_.isEmpty() ? 0 : QFontMetrics(lettersFont(Letters::remark)).horizontalAdvance(unit_) + px(3);
}

void UnitLineEdit::setUnit(const QString& unit)
{
    unit_ = unit;
    setTextMargins(0, 0, unitWidth(), 0);
    update();
}

// A number is replaced far more often than mended: the click that enters the field takes all of it, a second one places
// the caret, and a double click takes all again instead of what lies between two marks.
void UnitLineEdit::focusInEvent(QFocusEvent* event)
{
    entering_ = event->reason() == Qt::MouseFocusReason;
    QLineEdit::focusInEvent(event);
}

void UnitLineEdit::mouseReleaseEvent(QMouseEvent* event)
{
    QLineEdit::mouseReleaseEvent(event);
    if (entering_ && !hasSelectedText()) selectAll();
    entering_ = false;
}

void UnitLineEdit::mouseDoubleClickEvent(QMouseEvent* event)
{
    entering_ = false;
    if (event->button() == Qt::LeftButton)
        selectAll();
    else
        QLineEdit::mouseDoubleClickEvent(event);
}

void UnitLineEdit::paintEvent(QPaintEvent* event)
{
    QLineEdit::paintEvent(event);
    const bool words = text().isEmpty() && !placeholderText().isEmpty() && placeholderText().back().isLetter();
    if (unit_.isEmpty() || words) return;  // "computed", "by flare" are of no unit
    QPainter painter(this);
    painter.setFont(lettersFont(Letters::remark));
    painter.setPen(palette().color(QPalette::PlaceholderText));
    painter.drawText(rect().adjusted(0, 0, -px(2), 0), Qt::AlignRight | Qt::AlignVCenter, unit_);
}

void UnitLineEdit::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::FontChange) setUnit(unit_);
    QLineEdit::changeEvent(event);
}

}  // namespace portwright
