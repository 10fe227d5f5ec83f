// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/state_mark.h"

#include <QCoreApplication>
#include <QPainter>

#include <cmath>

namespace portwright {

QString stateWord(State state)
{
    switch (state) {
    case State::holds:
        return QCoreApplication::translate("State", "Holds");
    case State::near:
        return QCoreApplication::translate("State", "Near");
    case State::over:
        return QCoreApplication::translate("State", "Over");
    case State::missing:
        return QCoreApplication::translate("State", "Missing");
    case State::note:
        break;
    }
    return QCoreApplication::translate("State", "Note");
}

QColor stateColour(const PlotPalette& palette, State state)
{
    switch (state) {
    case State::holds:
        return palette.holds;
    case State::near:
        return palette.near;
    case State::over:
        return palette.over;
    default:
        return palette.dim;
    }
}

void paintStateMark(QPainter& painter, const QRectF& box, const PlotPalette& palette, State state)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    const double u = std::min(box.width(), box.height()) / 24;
    painter.translate(box.center());
    painter.scale(u, u);
    const QColor colour = stateColour(palette, state);
    QPen pen(colour, 2.4, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin);
    painter.setPen(pen);
    switch (state) {
    case State::holds:
        painter.drawEllipse(QPointF(0, 0), 9, 9);
        painter.drawPolyline(QPolygonF{{-4, 0.5}, {-1, 3.5}, {4.5, -3}});
        break;
    case State::near:
        painter.drawPolygon(QPolygonF{{0, -9}, {10, 8}, {-10, 8}});
        painter.drawLine(QPointF(0, -3), QPointF(0, 2));
        painter.drawPoint(QPointF(0, 5));
        break;
    case State::over: {
        QPolygonF corners;
        for (int i = 0; i < 8; ++i) {
            const double a = (i + 0.5) * std::acos(-1.0) / 4;
            corners << QPointF(10.5 * std::cos(a), 10.5 * std::sin(a));
        }
        painter.setBrush(colour);
        painter.drawPolygon(corners);
        painter.setPen(QPen(palette.base, 3, Qt::SolidLine, Qt::FlatCap));
        painter.drawLine(QPointF(-5, 0), QPointF(5, 0));
        break;
    }
    case State::missing:
        pen.setDashPattern({1.6, 1.7});
        pen.setCapStyle(Qt::FlatCap);
        painter.setPen(pen);
        painter.drawRect(QRectF(-8.5, -8.5, 17, 17));
        painter.setPen(QPen(colour, 2.4, Qt::SolidLine, Qt::RoundCap));
        painter.drawLine(QPointF(-3, 0), QPointF(3, 0));
        break;
    case State::note:
        painter.drawPolygon(QPolygonF{{0, -10}, {10, 0}, {0, 10}, {-10, 0}});
        painter.drawLine(QPointF(0, -1), QPointF(0, 4));
        painter.drawPoint(QPointF(0, -4.5));
        break;
    }
    painter.restore();
}

}  // namespace portwright
