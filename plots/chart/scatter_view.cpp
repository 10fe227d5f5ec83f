// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/scatter_view.h"

#include "plots/chart/chart_state.h"
#include "plots/chart/line_clip.h"
#include "plots/chart/scatter_labels.h"
#include "plots/drawing_parts.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

bool holds(const AxisRange& range, double value) { return value >= range.lower && value <= range.upper; }

/// How many to leave out at the lower and upper end, as few as make the rest share the picture well.
std::pair<std::size_t, std::size_t> leftOut(const std::vector<double>& sorted, double low, double high)
{
    constexpr double shareOfRest = 0.4;
    const std::size_t n = sorted.size(), most = n / 4;
    const auto span = [&](std::size_t below, std::size_t above) {
        return std::max(high, sorted[n - 1 - above]) - std::min(low, sorted[below]);
    };
    const double whole = n > 0 ? span(0, 0) : 0;
    for (std::size_t out = 1; out <= most; ++out)
        for (std::size_t below = 0; below <= out; ++below)
            if (span(below, out - below) < shareOfRest * whole) return {below, out - below};
    return {0, 0};
}

}  // namespace

AxisRange scatterRange(std::vector<double> mayLeave, const std::vector<double>& stay)
{
    std::erase_if(mayLeave, [](double v) { return !std::isfinite(v); });
    std::sort(mayLeave.begin(), mayLeave.end());
    double least = 1e300, most = -1e300;
    for (const double v : stay)
        if (std::isfinite(v)) least = std::min(least, v), most = std::max(most, v);
    const auto [below, above] = leftOut(mayLeave, least, most);
    for (std::size_t i = below; i + above < mayLeave.size(); ++i)
        least = std::min(least, mayLeave[i]), most = std::max(most, mayLeave[i]);
    if (least > most) return {0, 1};
    const double size = std::max(std::abs(least), std::abs(most));
    const double width = most - least > 1e-9 * size ? most - least : std::max(0.1 * size, 1e-6);
    const double middle = (least + most) / 2;
    return {middle - 0.58 * width, middle + 0.58 * width};
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
    const int count = int(points_.size());
    if (current_ >= count) current_ = -1;
    if (hovered_ >= count) hovered_ = -1;
    fit();
    describe();
    update();
}

void ScatterView::setLimit(const std::optional<ScatterLimit>& limit)
{
    if (limit == limit_) return;
    limit_ = limit;
    fit();
    describe();
    update();
}

void ScatterView::fit()
{
    std::vector<double> xs, ys, xStay, yStay;
    for (const ScatterPoint& p : points_) {
        (p.standing ? xStay : xs).push_back(p.x);
        (p.standing ? yStay : ys).push_back(p.y);
    }
    if (limit_) xStay.push_back(limit_->x);
    shownX_ = scatterRange(xs, xStay);
    shownX_.lower = std::max(0.0, shownX_.lower);
    shownY_ = scatterRange(ys, yStay);
}

bool ScatterView::isBeyond(int index) const
{
    const ScatterPoint& p = points_.at(std::size_t(index));
    return !holds(shownX_, p.x) || !holds(shownY_, p.y);
}

/// Where a point stands if it stands alone.
QPointF ScatterView::aloneIn(const QRectF& box, const ScatterPoint& p) const
{
    const QPointF at = placeIn(box, p);
    const double in = 2 * markRadius();  // an arrow at the edge is whole
    return {std::clamp(at.x(), std::min(at.x() < box.left() ? box.left() + in : box.left(), box.right()),
                       std::max(at.x() > box.right() ? box.right() - in : box.right(), box.left())),
            std::clamp(at.y(), std::min(at.y() < box.top() ? box.top() + in : box.top(), box.bottom()),
                       std::max(at.y() > box.bottom() ? box.bottom() - in : box.bottom(), box.top()))};
}

/// Arrows that would lie on one another at the edge stand beside each other along it, away from the corner.
std::vector<QPointF> ScatterView::marksIn(const QRectF& box) const
{
    std::vector<QPointF> marks;
    const double apart = 2.8 * markRadius();
    for (std::size_t i = 0; i < points_.size(); ++i) {
        QPointF at = aloneIn(box, points_[i]);
        const auto onAnother = [&] {
            for (std::size_t k = 0; k < i; ++k)
                if (isBeyond(int(k)) && std::hypot(marks[k].x() - at.x(), marks[k].y() - at.y()) < 0.99 * apart)
                    return true;
            return false;
        };
        const bool upright = !holds(shownX_, points_[i].x);
        const QPointF inwards = upright ? QPointF(0, at.y() > box.center().y() ? -apart : apart)
                                        : QPointF(at.x() > box.center().x() ? -apart : apart, 0);
        while (isBeyond(int(i)) && onAnother() && box.contains(at + inwards))
            at += inwards;
        marks.push_back(at);
    }
    return marks;
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

QPointF ScatterView::placeOf(int index) const { return marksIn(plotBox(size())).at(std::size_t(index)); }

int ScatterView::pointAt(const QPointF& at) const
{
    double nearest = 12 * emOf(font());  // px that a hand may miss by
    int found = -1;
    const std::vector<QPointF> marks = marksIn(plotBox(size()));
    for (int i = 0; i < int(points_.size()); ++i) {
        const QPointF d = marks[std::size_t(i)] - at;
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
        const double at = placeIn(box, {x, shownY_.lower, {}}).x();
        painter.setPen(grid);
        painter.drawLine(QLineF(at, box.top(), at, box.bottom()));
        painter.setPen(palette_.dim);
        painter.drawText(QRectF(at - 40 * em, box.bottom() + 4 * em, 80 * em, metrics.height()), Qt::AlignCenter,
                         valueTickLabel(x, xs, shown));
    }
    for (const double y : ys) {
        const double at = placeIn(box, {shownX_.lower, y, {}}).y();
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

/// Beside the line at its upper or lower end, where the fewest marks are.
std::optional<QRectF> ScatterView::limitWords(const QRectF& box) const
{
    if (!limit_) return {};
    const double em = emOf(font()), x = placeIn(box, {limit_->x, shownY_.lower, {}}).x();
    if (x < box.left() || x > box.right()) return {};
    const QFontMetricsF metrics(sizedFont(font(), 0.92));
    const QSizeF size(metrics.horizontalAdvance(limit_->words) + 6 * em, metrics.height());
    const double right = x + 4 * em, left = x - 4 * em - size.width();
    const std::vector<QPointF> all = marksIn(box);
    std::optional<QRectF> best;
    int fewest = 0;
    for (const double y : {box.top() + 2 * em, box.bottom() - 2 * em - size.height()})
        for (const double at : {right, left}) {
            const QRectF there(QPointF(at, y), size);
            if (there.left() < box.left() || there.right() > box.right()) continue;
            int marks = 0;
            for (const QPointF& mark : all)
                marks += there.adjusted(-8 * em, -8 * em, 8 * em, 8 * em).contains(mark) ? 1 : 0;
            if (!best || marks < fewest) best = there, fewest = marks;
        }
    return best;
}

/// As in the charts: line, words, and a hatch over what is past it.
void ScatterView::paintLimit(QPainter& painter, const QRectF& box) const
{
    if (!limit_) return;
    const double em = emOf(font()), x = placeIn(box, {limit_->x, shownY_.lower, {}}).x();
    if (x < box.left() || x > box.right()) return;
    QRectF beyond = box;
    beyond.setLeft(x);
    painter.setPen(QPen(blended(palette_.over, palette_.base, 0.2), 1));
    painter.drawLines(hatchOf(beyond, 7 * em * std::sqrt(2.0)));
    painter.setRenderHint(QPainter::Antialiasing, false);
    painter.setPen(QPen(palette_.over, 1.5));
    painter.drawLine(QLineF(x, box.top(), x, box.bottom()));
    painter.setRenderHint(QPainter::Antialiasing, true);
    const auto words = limitWords(box);
    if (!words) return;
    painter.fillRect(*words, palette_.base);
    painter.setFont(sizedFont(font(), 0.92));
    painter.setPen(palette_.over);
    painter.drawText(*words, Qt::AlignCenter, limit_->words);
}

double ScatterView::markRadius() const { return 4.5 * emOf(font()); }

void ScatterView::paintPoint(QPainter& painter, const QRectF& box, int index, const QPointF& at) const
{
    const ScatterPoint& p = points_[std::size_t(index)];
    const double em = emOf(font()), r = markRadius();
    const QColor colour = p.over ? palette_.over : palette_.ink;
    painter.setPen(QPen(colour, 1.6));
    painter.setBrush(p.over ? palette_.base : colour);
    if (isBeyond(index)) {
        paintArrow(painter, box, p, at);
    } else if (p.standing) {
        painter.drawRect(QRectF(at - QPointF(r, r), QSizeF(2 * r, 2 * r)));
    } else if (p.over) {
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

/// Towards where the point lies.
void ScatterView::paintArrow(QPainter& painter, const QRectF& box, const ScatterPoint& p, const QPointF& at) const
{
    const QPointF to = placeIn(box, p) - aloneIn(box, p);
    // Its side alone: how far beyond is told by its label.
    const QPointF side(!holds(shownX_, p.x) ? std::copysign(1.0, to.x()) : 0.0,
                       !holds(shownY_, p.y) ? std::copysign(1.0, to.y()) : 0.0);
    const double r = 1.3 * markRadius(), turn = std::atan2(side.y(), side.x());
    QPolygonF corners;
    for (const double angle : {0.0, 2.4, -2.4})
        corners << at + r * QPointF(std::cos(turn + angle), std::sin(turn + angle));
    painter.drawPolygon(corners);
}

QString ScatterView::labelOf(int index) const
{
    const QString& own = points_[std::size_t(index)].label;
    return own.isEmpty() ? QString::number(index + 1) : own;
}

/// With the values that the picture does not show.
QString ScatterView::shownLabelOf(int index) const
{
    const ScatterPoint& p = points_[std::size_t(index)];
    QStringList values;
    if (!holds(shownX_, p.x)) values << tr("%1\u00A0%2").arg(readoutText(p.x, locale()), x_.unit);
    if (!holds(shownY_, p.y)) values << tr("%1\u00A0%2").arg(readoutText(p.y, locale()), y_.unit.section(u',', 0, 0));
    return values.isEmpty() ? labelOf(index) : tr("%1: %2").arg(labelOf(index), values.join(tr(", ")));
}

void ScatterView::paintLabels(QPainter& painter, const QRectF& box) const
{
    const double em = emOf(font());
    const QFont bold = sizedFont(font(), 1, QFont::DemiBold);
    const QFontMetricsF metrics(bold);
    const std::vector<QPointF> at = marksIn(box);
    std::vector<QString> words;
    std::vector<MarkToLabel> marks;
    const auto sizeOf = [&](const QString& text) {
        return QSizeF(metrics.horizontalAdvance(text) + 2, metrics.capHeight() + 2);
    };
    for (int i = 0; i < int(points_.size()); ++i) {
        words.push_back(shownLabelOf(i));
        marks.push_back({at[std::size_t(i)], sizeOf(words.back())});
    }
    std::vector<QRectF> taken;
    if (const auto limit = limitWords(box)) taken.push_back(*limit);
    const QRectF allowed = box.adjusted(-2, -6 * em, 2, -1);
    auto places = placedLabels(marks, allowed, markRadius() + 1, taken);
    bool shortened = false;  // without its values a label may have room yet
    for (int i = 0; i < int(points_.size()); ++i)
        if (auto& text = words[std::size_t(i)]; !places[std::size_t(i)] && text != labelOf(i)) {
            text = labelOf(i), marks[std::size_t(i)].label = sizeOf(text);
            shortened = true;
        }
    if (shortened) places = placedLabels(marks, allowed, markRadius() + 1, taken);
    painter.setFont(bold);
    for (int i = 0; i < int(points_.size()); ++i) {
        const auto& place = places[std::size_t(i)];
        const bool told = i == current_ || i == hovered_;
        if (!place && !told) continue;
        const MarkToLabel& mark = marks[std::size_t(i)];
        const QRectF label =
            place ? place->box : QRectF(mark.at + QPointF(markRadius() + 5 * em, -mark.label.height() / 2), mark.label);
        painter.fillRect(label.adjusted(-1, -1, 1, 1), palette_.base);  // over hatch and grid
        painter.setPen(QPen(palette_.dim, 1));
        if (place && !place->leader.isNull()) painter.drawLine(place->leader);
        painter.setPen(told ? palette_.accent : palette_.text);
        painter.drawText(label.bottomLeft() + QPointF(1, -1), words[std::size_t(i)]);
    }
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
        paintLimit(painter, box);
        const std::vector<QPointF> marks = marksIn(box);
        for (int i = 0; i < int(points_.size()); ++i)
            paintPoint(painter, box, i, marks[std::size_t(i)]);
        paintLabels(painter, box);
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
    if (limit_ && !points_.empty()) words += QLatin1Char(' ') + limit_->words + QLatin1Char('.');
    if (current_ >= 0) {
        const ScatterPoint& p = points_[std::size_t(current_)];
        words += tr(" Chosen %1: %2, %3\u00A0%4 at %5\u00A0%6.")
                     .arg(labelOf(current_), p.words, readoutText(p.y, locale()), y_.unit, readoutText(p.x, locale()),
                          x_.unit);
    }
    setAccessibleDescription(words);
}

QSize ScatterView::sizeHint() const { return QSizeF(340 * emOf(font()), 240 * emOf(font())).toSize(); }
QSize ScatterView::minimumSizeHint() const { return QSizeF(200 * emOf(font()), 130 * emOf(font())).toSize(); }

}  // namespace portwright
