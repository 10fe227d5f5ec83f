// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/mark.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"

#include <QEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QTextLayout>

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

int hang() { return px(17); }  // words start here, right of the mark
int markSize() { return px(15); }

}  // namespace

QString markIcon(Mark mark)
{
    switch (mark) {
    case Mark::holds:
        return QStringLiteral("holds");
    case Mark::near:
        return QStringLiteral("near");
    case Mark::over:
        return QStringLiteral("over");
    case Mark::cannot:
        return QStringLiteral("cannot");
    case Mark::missing:
        return QStringLiteral("missing");
    case Mark::note:
        return QStringLiteral("note");
    case Mark::fine:
    case Mark::absent:
        break;
    }
    return {};
}

QString markWord(Mark mark)
{
    switch (mark) {
    case Mark::holds:
        return StateLine::tr("Holds");
    case Mark::near:
        return StateLine::tr("Near");
    case Mark::over:
        return StateLine::tr("Over");
    case Mark::cannot:
        return StateLine::tr("Cannot be");
    case Mark::missing:
        return StateLine::tr("Missing");
    case Mark::note:
        return StateLine::tr("Note");
    case Mark::fine:
    case Mark::absent:
        break;
    }
    return {};
}

QColor markColour(const PlotPalette& palette, Mark mark)
{
    switch (mark) {
    case Mark::holds:
        return palette.holds;
    case Mark::near:
        return palette.near;
    case Mark::over:
    case Mark::cannot:
        return palette.over;
    case Mark::missing:
    case Mark::note:
    case Mark::fine:
    case Mark::absent:
        break;
    }
    return palette.dim;
}

StateLine::StateLine(QWidget* parent) : QWidget(parent)
{
    QSizePolicy policy(QSizePolicy::Preferred, QSizePolicy::Minimum);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

StateLine::~StateLine() = default;

void StateLine::setState(Mark mark, const QString& word, const QString& text)
{
    mark_ = mark;
    word_ = word;
    text_ = text;
    setAccessibleName(word.isEmpty() ? text : tr("%1: %2").arg(word, text));
    updateGeometry();
    update();
}

/// Lays the words out and gives their height.
double StateLine::layOut(QTextLayout& layout, int width) const
{
    const PlotPalette palette = currentPlotPalette();
    const QString gap(2, QChar(0x00A0));
    layout.setText(word_.isEmpty() ? text_ : word_ + gap + text_);
    QTextCharFormat format;
    format.setForeground(markColour(palette, mark_));
    if (markColour(palette, mark_) != palette.dim) format.setFontWeight(QFont::DemiBold);
    layout.setFormats({{0, static_cast<int>(word_.size()), format}});

    const double room = std::max(1, width - hang());
    double y = 0;
    layout.beginLayout();
    for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
        line.setLineWidth(room);
        line.setPosition({static_cast<double>(hang()), y});
        y += std::max(line.height(), pxf(15));
    }
    layout.endLayout();
    return y;
}

int StateLine::heightForWidth(int width) const
{
    QTextLayout layout;
    layout.setFont(font());
    return static_cast<int>(std::ceil(layOut(layout, width))) + px(2);
}

QSize StateLine::sizeHint() const
{
    const int width = px(220);
    return {width, heightForWidth(width)};
}

/// One line: the height that the words need is asked for by width, and a guess here would blow windows up.
QSize StateLine::minimumSizeHint() const { return {px(90), px(17)}; }

void StateLine::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.setPen(this->palette().color(QPalette::WindowText));
    QTextLayout layout;
    layout.setFont(font());
    layOut(layout, width());
    layout.draw(&painter, {0, 0});
    if (layout.lineCount() == 0 || markIcon(mark_).isEmpty()) return;
    const QRectF first = layout.lineAt(0).rect();
    const QRectF box(0, std::max(0.0, first.center().y() - markSize() / 2.0), markSize(), markSize());
    paintIcon(painter, box, markIcon(mark_), markColour(palette, mark_), palette.base);
}

void StateLine::mouseReleaseEvent(QMouseEvent* event)
{
    if (event->button() == Qt::LeftButton && rect().contains(event->position().toPoint())) emit clicked();
    QWidget::mouseReleaseEvent(event);
}

void StateLine::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::FontChange) updateGeometry();
    QWidget::changeEvent(event);
}

}  // namespace portwright
