// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/fold_heading.h"

#include "app/desktop/components/measures.h"

#include <QKeyEvent>
#include <QPainter>

#include <algorithm>

namespace portwright {

FoldHeading::FoldHeading(const QString& text, QWidget* parent) : QAbstractButton(parent)
{
    setText(text);
    setCheckable(true);
    setFocusPolicy(Qt::TabFocus);
    setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
    connect(this, &QAbstractButton::toggled, this, [this] { tell(); });
    tell();
}

void FoldHeading::setRemark(const QString& remark)
{
    if (remark == remark_) return;
    remark_ = remark;
    tell();
    update();
}

void FoldHeading::tell()
{
    setAccessibleName(text());
    setAccessibleDescription(remark_);
    setToolTip(isChecked() ? tr("Fold these rows away") : tr("Show these rows"));
}

QSize FoldHeading::sizeHint() const { return {px(120), px(26)}; }
QSize FoldHeading::minimumSizeHint() const { return {px(60), px(26)}; }

void FoldHeading::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    QFont heading = lettersFont(Letters::body);
    heading.setWeight(QFont::DemiBold);
    const QFontMetrics metrics(heading), small(lettersFont(Letters::remark));
    const QColor dim = palette().color(QPalette::PlaceholderText);
    const double y = height() / 2.0, half = pxf(3.2), x = pxf(4);
    const QPolygonF triangle = isChecked()
                                   ? QPolygonF{{x - half, y - half / 2}, {x + half, y - half / 2}, {x, y + half}}
                                   : QPolygonF{{x - half / 2, y - half}, {x + half, y}, {x - half / 2, y + half}};
    painter.setPen(Qt::NoPen);
    painter.setBrush(dim);
    painter.drawPolygon(triangle);
    painter.setFont(heading);
    painter.setPen(dim);
    const int left = px(12), words = left + metrics.horizontalAdvance(text());
    painter.drawText(QRect(left, 0, width() - left, height()), Qt::AlignLeft | Qt::AlignVCenter, text());
    const int room = width() - words - px(16);
    QString remark = remark_;  // whole parts of it rather than half a word
    for (qsizetype comma = remark.lastIndexOf(QLatin1String(", ")); comma > 0 && small.horizontalAdvance(remark) > room;
         comma = remark.lastIndexOf(QLatin1String(", ")))
        remark.truncate(comma);
    const QString shown = small.elidedText(remark, Qt::ElideRight, std::max(0, room));
    const int taken = shown.isEmpty() ? 0 : small.horizontalAdvance(shown) + px(6);
    painter.setFont(lettersFont(Letters::remark));
    painter.drawText(rect(), Qt::AlignRight | Qt::AlignVCenter, shown);
    const int from = words + px(8), to = width() - taken;
    if (to > from) painter.fillRect(from, height() / 2, to - from, 1, palette().color(QPalette::Mid));
    if (hasFocus()) {
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(palette().color(QPalette::Link), 2));
        painter.drawRect(QRectF(rect()).adjusted(1, 2, -1, -2));
    }
}

void FoldHeading::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)
        click();
    else if (event->key() == Qt::Key_Right || event->key() == Qt::Key_Left)
        setChecked(event->key() == Qt::Key_Right);
    else
        QAbstractButton::keyPressEvent(event);
}

}  // namespace portwright
