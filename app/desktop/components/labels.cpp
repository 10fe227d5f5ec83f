// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/labels.h"

#include "app/desktop/components/measures.h"

#include <QHelpEvent>
#include <QPainter>
#include <QTextLayout>
#include <QToolTip>

#include <algorithm>

namespace portwright {

QSize NameLabel::minimumSizeHint() const
{
    const QSize whole = QLabel::minimumSizeHint();
    return {std::min(whole.width(), px(40)), whole.height()};
}

void NameLabel::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.setFont(font());
    painter.setPen(palette().color(isEnabled() ? QPalette::Active : QPalette::Disabled, foregroundRole()));
    const QStringList lines = linesIn(width());
    const int line = fontMetrics().height();
    if (lines.size() == 1) {
        painter.drawText(rect(), static_cast<int>(alignment()) | Qt::TextSingleLine, lines.front());
        return;
    }
    int y = (height() - int(lines.size()) * line) / 2;
    for (const QString& words : lines) {
        painter.drawText(QRect(0, y, width(), line), Qt::AlignLeft | Qt::AlignVCenter | Qt::TextSingleLine, words);
        y += line;
    }
}

void NameLabel::setTwoLines(bool two)
{
    two_ = two;
    updateGeometry();
}

int NameLabel::heightForWidth(int width) const
{
    return two_ ? int(linesIn(width).size()) * fontMetrics().height() : QLabel::heightForWidth(width);
}

QStringList NameLabel::linesIn(int width) const
{
    const QString whole = text();
    if (!two_ || fontMetrics().horizontalAdvance(whole) <= width)
        return {fontMetrics().elidedText(whole, Qt::ElideRight, width)};
    QTextLayout layout(whole, font());
    layout.beginLayout();
    QTextLine first = layout.createLine();
    first.setLineWidth(width);
    const int broken = first.textLength();
    layout.endLayout();
    return {whole.left(broken).trimmed(), fontMetrics().elidedText(whole.mid(broken), Qt::ElideRight, width)};
}

bool NameLabel::event(QEvent* event)
{
    const bool cut = linesIn(width()).back().endsWith(QChar(0x2026));
    if (event->type() == QEvent::ToolTip && cut && toolTip().isEmpty()) {
        QToolTip::showText(static_cast<QHelpEvent*>(event)->globalPos(), text(), this);
        return true;
    }
    return QLabel::event(event);
}

GroupHeading::GroupHeading(const QString& text, QWidget* parent) : QWidget(parent), text_(text)
{
    setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
    setAccessibleName(text);
}

void GroupHeading::setText(const QString& text)
{
    text_ = text;
    setAccessibleName(text);
    update();
}

QSize GroupHeading::sizeHint() const { return {px(120), px(26)}; }
QSize GroupHeading::minimumSizeHint() const { return {px(60), px(26)}; }

void GroupHeading::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    QFont heading = lettersFont(Letters::body);
    heading.setWeight(QFont::DemiBold);
    painter.setFont(heading);
    painter.setPen(palette().color(QPalette::PlaceholderText));
    painter.drawText(rect(), Qt::AlignLeft | Qt::AlignVCenter, text_);
    const int from = QFontMetrics(heading).horizontalAdvance(text_) + px(8), y = height() / 2;
    if (from < width()) painter.fillRect(from, y, width() - from, 1, palette().color(QPalette::Mid));
}

void makeRemark(QLabel& label)
{
    label.setFont(lettersFont(Letters::remark));
    label.setForegroundRole(QPalette::PlaceholderText);
}

}  // namespace portwright
