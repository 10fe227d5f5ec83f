// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/cavity_drawing.h"

#include "plots/drawing_parts.h"

#include <QEvent>
#include <QKeyEvent>

#include <algorithm>

namespace portwright {

CavityDrawing::CavityDrawing(const QString& accessibleName, const QSize& usual, const QSize& least, QWidget* parent)
    : QWidget(parent), usual_(usual), least_(least)
{
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(accessibleName);
}

void CavityDrawing::setUnits(UnitSystem units)
{
    units_ = units;
    shownAnew();
}

void CavityDrawing::setPlotPalette(const PlotPalette& palette)
{
    palette_ = palette;
    update();
}

QSize CavityDrawing::sizeHint() const { return usual_ * emOf(font()); }
QSize CavityDrawing::minimumSizeHint() const { return least_ * emOf(font()); }

void CavityDrawing::shownAnew()
{
    setAccessibleDescription(description());
    update();
}

void CavityDrawing::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() != QEvent::FontChange && event->type() != QEvent::LocaleChange) return;
    updateGeometry();
    shownAnew();
}

std::optional<int> itemByKey(const QKeyEvent& event, int now, int count)
{
    if (count <= 0) return std::nullopt;
    switch (event.key()) {
    case Qt::Key_Down:
    case Qt::Key_Right:
        return std::min(now + 1, count - 1);
    case Qt::Key_Up:
    case Qt::Key_Left:
        return now < 0 ? count - 1 : std::max(now - 1, 0);
    case Qt::Key_Home:
        return 0;
    case Qt::Key_End:
        return count - 1;
    default:
        return std::nullopt;
    }
}

}  // namespace portwright
