// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/line_clip.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

namespace portwright {

std::optional<QLineF> insideBox(const QLineF& line, const QRectF& box)
{
    double from = 0, to = 1;
    const double p[4] = {-line.dx(), line.dx(), -line.dy(), line.dy()};
    const double q[4] = {line.x1() - box.left(), box.right() - line.x1(), line.y1() - box.top(),
                         box.bottom() - line.y1()};
    for (int i = 0; i < 4; ++i) {
        if (p[i] == 0) {
            if (q[i] < 0) return std::nullopt;
            continue;
        }
        if (p[i] < 0)
            from = std::max(from, q[i] / p[i]);
        else
            to = std::min(to, q[i] / p[i]);
    }
    if (from > to) return std::nullopt;
    const QPointF d(line.dx(), line.dy());
    return QLineF(from == 0 ? line.p1() : line.p1() + d * from, to == 1 ? line.p2() : line.p1() + d * to);
}

std::optional<std::pair<double, double>> insideConvex(const QLineF& line, const QPolygonF& convex)
{
    double area = 0;
    const qsizetype n = convex.size();
    for (qsizetype i = 0; i < n; ++i)
        area += convex[i].x() * convex[(i + 1) % n].y() - convex[(i + 1) % n].x() * convex[i].y();
    const double turn = area > 0 ? 1 : -1;
    double from = 0, to = 1;
    for (qsizetype i = 0; i < n; ++i) {
        const QPointF e = convex[(i + 1) % n] - convex[i];
        const QPointF inward(-e.y() * turn, e.x() * turn);
        const double start = QPointF::dotProduct(inward, line.p1() - convex[i]);
        const double rate = QPointF::dotProduct(inward, QPointF(line.dx(), line.dy()));
        if (std::abs(rate) < 1e-12) {
            if (start < -1e-9) return std::nullopt;
            continue;
        }
        if (rate > 0)
            from = std::max(from, -start / rate);
        else
            to = std::min(to, -start / rate);
    }
    if (n < 3 || from >= to) return std::nullopt;
    return std::pair{from, to};
}

QPolygonF insideBox(const QPolygonF& polygon, const QRectF& box)
{
    // Above 0 inside each of the four edges in turn.
    const std::array<std::function<double(QPointF)>, 4> insides{
        [&](QPointF p) { return p.x() - box.left(); }, [&](QPointF p) { return box.right() - p.x(); },
        [&](QPointF p) { return p.y() - box.top(); }, [&](QPointF p) { return box.bottom() - p.y(); }};
    QPolygonF left = polygon;
    for (const auto& inside : insides) {
        const QPolygonF whole = std::exchange(left, {});
        for (qsizetype i = 0; i < whole.size(); ++i) {
            const QPointF a = whole[i], b = whole[(i + 1) % whole.size()];
            const double from = inside(a), to = inside(b);
            if (from >= 0) left.append(a);
            if ((from < 0) != (to < 0)) left.append(a + (b - a) * (from / (from - to)));
        }
    }
    return left;
}

QVector<QLineF> hatchOf(const QRectF& box, double apart)
{
    QVector<QLineF> lines;
    if (!(apart > 0.1) || box.width() / apart > 1e4 || box.height() / apart > 1e4) return lines;
    for (double x = box.left() - box.height() + apart / 2; x < box.right(); x += apart)
        if (const auto line = insideBox(QLineF(x, box.bottom(), x + box.height(), box.top()), box)) lines.append(*line);
    return lines;
}

QVector<QLineF> hatchBetween(const QPolygonF& outer, const QPolygonF& inner, double apart)
{
    QVector<QLineF> lines;
    const QRectF r = outer.boundingRect();
    if (!(apart > 0.1) || r.width() / apart > 1e4 || r.height() / apart > 1e4) return lines;
    for (double x = r.left() - r.height(); x < r.right(); x += apart) {
        const QLineF whole(x, r.bottom(), x + r.height(), r.top());
        const auto out = insideConvex(whole, outer);
        if (!out) continue;
        const auto in = insideConvex(whole, inner);
        const auto piece = [&](double a, double b) {
            if (b > a) lines.append(QLineF(whole.pointAt(a), whole.pointAt(b)));
        };
        piece(out->first, in ? in->first : out->second);
        if (in) piece(in->second, out->second);
    }
    return lines;
}

}  // namespace portwright
