// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/unit_line_edit.h"

#include "app/desktop/components/measures.h"

#include <QEvent>
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

void UnitLineEdit::paintEvent(QPaintEvent* event)
{
    QLineEdit::paintEvent(event);
    if (unit_.isEmpty()) return;
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
