// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/scatter_view.h"

#include "plots/chart_state.h"
#include "plots/drawing_parts.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>

#include <algorithm>
#include <cmath>

namespace portwright {

AxisRange scatterRange(const std::vector<double>& values, bool fromZero)
{
    double least = fromZero ? 0 : 1e300, most = fromZero ? 0 : -1e300;
    for (const double v : values)
        if (std::isfinite(v)) least = std::min(least, v), most = std::max(most, v);
    if (least > most) return {0, 1};
    const double width =
        most - least > 1e-9 * std::max(std::abs(most), 1.0) ? most - least : std::max(1.0, std::abs(most) * 0.1);
    const double middle = (least + most) / 2;
    AxisRange range{middle - 0.62 * width, middle + 0.62 * width};
    const auto ticks = valueTicks(range, 6);
    const double step = ticks.size() > 1 ? ticks[1] - ticks[0] : width;
    range = {std::floor(range.lower / step) * step, std::ceil(range.upper / step) * step};
    if (fromZero) range.lower = 0;
    return range;
}

ScatterView::ScatterView(const QString& accessibleName, QWidget* parent) : QWidget(parent)
{
    setAccessibleName(accessibleName);
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
}

void ScatterView::setAxes(const ScatterAxis& x, const ScatterAxis& y)
{
    x_ = x, y_ = y;
    describe();
    update();
}

void ScatterView::setPoints(std::vector<ScatterPoint> points)
{
    if (points == points_) return;
    points_ = std::move(points);
    std::vector<double> xs, ys;
    for (const ScatterPoint& p : points_)
        xs.push_back(p.x), ys.push_back(p.y);
    shownX_ = scatterRange(xs, false);
    shownX_.lower = std::max(0.0, shownX_.lower);
    shownY_ = scatterRange(ys, false);
    const int count = int(points_.size());
    if (current_ >= count) current_ = -1;
    if (hovered_ >= count) hovered_ = -1;
    describe();
    update();
}

void ScatterView::setEmptyWords(const QString& words)
{
    empty_ = words;
    update();
}

void ScatterView::setCurrent(int index)
{
    const int there = index >= 0 && index < int(points_.size()) ? index : -1;
    if (there == current_) return;
    current_ = there;
    describe();
    update();
}

void ScatterView::setHovered(int index)
{
    const int there = index >= 0 && index < int(points_.size()) ? index : -1;
    if (there == hovered_) return;
    hovered_ = there;
    update();
}

void ScatterView::setPlotPalette(const PlotPalette& palette)
{
    if (palette == palette_) return;
    palette_ = palette;
    update();
}

QRectF ScatterView::plotBox(const QSizeF& size) const
{
    const double em = emOf(font()), line = QFontMetricsF(sizedFont(font(), 0.92)).height();
    return {46 * em, 30 * em, std::max(1.0, size.width() - 60 * em),
            std::max(1.0, size.height() - 36 * em - 2.3 * line)};
}

QPointF ScatterView::placeIn(const QRectF& box, const ScatterPoint& p) const
{
    return {box.left() + box.width() * (p.x - shownX_.lower) / (shownX_.upper - shownX_.lower),
            box.bottom() - box.height() * (p.y - shownY_.lower) / (shownY_.upper - shownY_.lower)};
}

QPointF ScatterView::placeOf(int index) const { return placeIn(plotBox(size()), points_.at(std::size_t(index))); }

int ScatterView::pointAt(const QPointF& at) const
{
    double nearest = 12 * emOf(font());  // px that a hand may miss by
    int found = -1;
    for (int i = 0; i < int(points_.size()); ++i) {
        const QPointF d = placeOf(i) - at;
        if (const double away = std::hypot(d.x(), d.y()); away < nearest) nearest = away, found = i;
    }
    return found;
}

void ScatterView::paintAxes(QPainter& painter, const QRectF& box) const
{
    const double em = emOf(font());
    const QLocale shown = locale();
    const QFont small = sizedFont(font(), 0.92);
    const QFontMetricsF metrics(small);
    const QPen grid(blended(palette_.text, palette_.base, palette_.highContrast ? 0.45 : 0.2), 1);
    const auto xs = valueTicks(shownX_, std::clamp(int(box.width() / (60 * em)), 2, 8));
    const auto ys = valueTicks(shownY_, std::clamp(int(box.height() / (26 * em)), 2, 8));
    painter.setRenderHint(QPainter::Antialiasing, false);
    painter.setFont(small);
    for (const double x : xs) {
        const double at = placeIn(box, {x, shownY_.lower, {}, false}).x();
        painter.setPen(grid);
        painter.drawLine(QLineF(at, box.top(), at, box.bottom()));
        painter.setPen(palette_.dim);
        painter.drawText(QRectF(at - 40 * em, box.bottom() + 4 * em, 80 * em, metrics.height()), Qt::AlignCenter,
                         valueTickLabel(x, xs, shown));
    }
    for (const double y : ys) {
        const double at = placeIn(box, {shownX_.lower, y, {}, false}).y();
        painter.setPen(grid);
        painter.drawLine(QLineF(box.left(), at, box.right(), at));
        painter.setPen(palette_.dim);
        painter.drawText(QRectF(0, at - metrics.height() / 2, box.left() - 6 * em, metrics.height()),
                         Qt::AlignRight | Qt::AlignVCenter, valueTickLabel(y, ys, shown));
    }
    painter.setRenderHint(QPainter::Antialiasing, true);
    const auto title = [&](const QRectF& where, int align, const ScatterAxis& axis) {
        const QFont bold = sizedFont(font(), 1, QFont::DemiBold);
        const double words = QFontMetricsF(bold).horizontalAdvance(axis.title), gap = 6 * em;
        const double whole = words + gap + metrics.horizontalAdvance(axis.unit);
        const double left = align & Qt::AlignRight ? where.right() - whole : where.left();
        painter.setFont(bold);
        painter.setPen(palette_.text);
        painter.drawText(QRectF(left, where.top(), words + 2, where.height()), Qt::AlignVCenter, axis.title);
        painter.setFont(small);
        painter.setPen(palette_.dim);
        painter.drawText(QRectF(left + words + gap, where.top(), where.right() - left, where.height()),
                         Qt::AlignVCenter, axis.unit);
    };
    title(QRectF(10 * em, 4 * em, box.right() - 10 * em, 20 * em), Qt::AlignLeft, y_);
    title(QRectF(box.left(), box.bottom() + 6 * em + metrics.height(), box.width(), metrics.height() + 4 * em),
          Qt::AlignRight, x_);
}

void ScatterView::paintPoint(QPainter& painter, const QRectF& box, int index) const
{
    const ScatterPoint& p = points_[std::size_t(index)];
    const QPointF at = placeIn(box, p);
    const double em = emOf(font()), r = 4.5 * em;
    const QColor colour = p.over ? palette_.over : palette_.ink;
    painter.setPen(QPen(colour, 1.6));
    painter.setBrush(p.over ? palette_.base : colour);
    if (p.over) {
        QPolygonF corners;
        for (int k = 0; k < 8; ++k) {
            const double angle = M_PI / 8 + k * M_PI / 4;
            corners << at + QPointF(std::cos(angle), std::sin(angle)) * (r + 0.6);
        }
        painter.drawPolygon(corners);
    } else {
        painter.drawEllipse(at, r, r);
    }
    painter.setBrush(Qt::NoBrush);
    if (index == current_) {
        painter.setPen(QPen(palette_.accent, 2));
        painter.drawEllipse(at, r + 4 * em, r + 4 * em);
    } else if (index == hovered_) {
        QPen dotted(palette_.accent, 1.4);
        dotted.setDashPattern({2, 2});
        painter.setPen(dotted);
        painter.drawEllipse(at, r + 4 * em, r + 4 * em);
    }
}

/// Numbers beside their points, each where no mark and no other number stands; farther away with a line to it.
void ScatterView::paintNumbers(QPainter& painter, const QRectF& box) const
{
    const double em = emOf(font());
    const QFont bold = sizedFont(font(), 1, QFont::DemiBold);
    const QFontMetricsF metrics(bold);
    painter.setFont(bold);
    std::vector<QRectF> taken;
    for (const ScatterPoint& p : points_)
        taken.push_back(QRectF(placeIn(box, p) - QPointF(5, 5) * em, QSizeF(10, 10) * em));
    for (int i = 0; i < int(points_.size()); ++i) {
        const QString number = QString::number(i + 1);
        const QSizeF size(metrics.horizontalAdvance(number), metrics.capHeight() + 2);
        const QPointF at = placeIn(box, points_[std::size_t(i)]);
        const QRectF place = freePlace(at, size, box, taken);
        taken.push_back(place);
        painter.setPen(QPen(palette_.dim, 1));
        const QLineF line(at, place.center());
        if (line.length() > 22 * em)
            painter.drawLine(QLineF(line.pointAt(6 * em / line.length()), line.pointAt(1 - 8 * em / line.length())));
        painter.setPen(i == current_ || i == hovered_ ? palette_.accent : palette_.text);
        painter.drawText(place.bottomLeft(), number);
    }
}

QRectF ScatterView::freePlace(const QPointF& at, const QSizeF& size, const QRectF& box,
                              const std::vector<QRectF>& taken) const
{
    const double em = emOf(font());
    const QRectF allowed = box.adjusted(-20, -8, 12, 8);
    for (const double away : {12 * em, 20 * em, 30 * em, 42 * em})
        for (int k = 0; k < 12; ++k) {
            const double angle = k * M_PI / 6;
            const QPointF middle = at + away * QPointF(std::cos(angle), std::sin(angle));
            const QRectF there(middle - QPointF(size.width(), size.height()) / 2, size);
            const bool free =
                std::none_of(taken.begin(), taken.end(), [&](const QRectF& t) { return t.intersects(there); });
            if (free && allowed.contains(there)) return there;
        }
    return {at + QPointF(7 * em, -size.height() / 2), size};
}

void ScatterView::paintTo(QPainter& painter, const QSizeF& size) const
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(QRectF(QPointF(), size), palette_.base);
    if (points_.empty()) {
        painter.setFont(font());
        paintSentence(painter, QRectF(QPointF(), size), empty_, palette_);
    } else {
        const QRectF box = plotBox(size);
        paintAxes(painter, box);
        for (int i = 0; i < int(points_.size()); ++i)
            paintPoint(painter, box, i);
        paintNumbers(painter, box);
    }
    painter.restore();
}

void ScatterView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    paintTo(painter, size());
    if (hasFocus()) paintFocus(painter, rect(), palette_);
}

void ScatterView::choose(int index)
{
    if (index < 0 || index >= int(points_.size()) || index == current_) return;
    setCurrent(index);
    emit chosen(index);
}

void ScatterView::hover(int index)
{
    if (index == hovered_) return;
    setHovered(index);
    emit hoveredChanged(index);
}

void ScatterView::keyPressEvent(QKeyEvent* event)
{
    const int count = int(points_.size());
    const auto along = [&](bool right) {  // the next one in order of x, then of y
        std::vector<int> order(points_.size());
        for (int i = 0; i < count; ++i)
            order[std::size_t(i)] = i;
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
            const ScatterPoint &p = points_[std::size_t(a)], &q = points_[std::size_t(b)];
            return p.x != q.x ? p.x < q.x : p.y < q.y;
        });
        const auto here = std::find(order.begin(), order.end(), current_);
        if (here == order.end()) return choose(order.empty() ? -1 : order.front());
        const auto at = here - order.begin() + (right ? 1 : -1);
        if (at >= 0 && at < count) choose(order[std::size_t(at)]);
    };
    switch (event->key()) {
    case Qt::Key_Down:
        return choose(std::min(current_ + 1, count - 1));
    case Qt::Key_Up:
        return choose(std::max(current_ - 1, 0));
    case Qt::Key_Home:
        return choose(0);
    case Qt::Key_End:
        return choose(count - 1);
    case Qt::Key_Right:
    case Qt::Key_Left:
        return along(event->key() == Qt::Key_Right);
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (current_ >= 0) emit activated(current_);
        return;
    default:
        QWidget::keyPressEvent(event);
    }
}

void ScatterView::mouseMoveEvent(QMouseEvent* event) { hover(pointAt(event->position())); }

void ScatterView::mousePressEvent(QMouseEvent* event)
{
    if (event->button() == Qt::LeftButton) choose(pointAt(event->position()));
}

void ScatterView::mouseDoubleClickEvent(QMouseEvent* event)
{
    const int index = pointAt(event->position());
    if (event->button() == Qt::LeftButton && index >= 0) emit activated(index);
}

void ScatterView::leaveEvent(QEvent* event)
{
    hover(-1);
    QWidget::leaveEvent(event);
}

void ScatterView::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    update();
}

bool ScatterView::event(QEvent* event)
{
    if (event->type() != QEvent::ToolTip) return QWidget::event(event);
    const auto* help = static_cast<QHelpEvent*>(event);
    const int index = pointAt(help->pos());
    if (index >= 0)
        QToolTip::showText(help->globalPos(), points_[std::size_t(index)].words, this);
    else
        QToolTip::hideText();
    return true;
}

/// The chosen point and how many there are, as text, for those who hear the picture.
void ScatterView::describe()
{
    QString words = points_.empty() ? empty_ : tr("%1 points, %2 over %3.").arg(points_.size()).arg(y_.title, x_.title);
    if (current_ >= 0) {
        const ScatterPoint& p = points_[std::size_t(current_)];
        words += tr(" Chosen %1: %2, %3\u00A0%4 at %5\u00A0%6.")
                     .arg(current_ + 1)
                     .arg(p.words, readoutText(p.y, locale()), y_.unit, readoutText(p.x, locale()), x_.unit);
    }
    setAccessibleDescription(words);
}

QSize ScatterView::sizeHint() const { return QSizeF(340 * emOf(font()), 240 * emOf(font())).toSize(); }
QSize ScatterView::minimumSizeHint() const { return QSizeF(200 * emOf(font()), 130 * emOf(font())).toSize(); }

}  // namespace portwright
