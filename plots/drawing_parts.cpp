// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/drawing_parts.h"

#include "plots/chart/line_clip.h"

#include <QFontInfo>
#include <QFontMetricsF>
#include <QLocale>
#include <QPainter>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace portwright {
namespace {

// The usual length first, then shorter ones, then longer ones: mm and inches.
constexpr std::array millimetres{100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0};
constexpr std::array inches{4.0, 2.0, 1.0, 0.5, 0.25, 0.1, 8.0, 20.0, 40.0, 80.0, 200.0};
constexpr double shortest = 24;  // px

/// Where a line x + y = sum runs inside a convex polygon, as x from..to.
std::optional<std::pair<double, double>> spanOf(const QPolygonF& convex, double sum)
{
    double from = 1e300, to = -1e300;
    for (qsizetype i = 0; i < convex.size(); ++i) {
        const QPointF a = convex[i], b = convex[(i + 1) % convex.size()];
        const double da = a.x() + a.y() - sum, db = b.x() + b.y() - sum;
        if ((da < 0) == (db < 0)) continue;
        const double x = a.x() + (b.x() - a.x()) * da / (da - db);
        from = std::min(from, x), to = std::max(to, x);
    }
    if (from >= to) return std::nullopt;
    return std::pair{from, to};
}

template <std::size_t n>
ScaleBar firstFitting(const std::array<double, n>& lengths, double metresEach, const QString& unit,
                      double pixelsPerMetre, double room, const std::function<double(const QString&)>& widthOf)
{
    for (const double length : lengths) {
        const double metres = length * metresEach, wide = metres * pixelsPerMetre;
        const QString words = QLocale().toString(length, 'g', 6) + QChar(0x00a0) + unit;
        if (wide >= shortest && wide + widthOf(words) <= room) return {metres, words};
    }
    return {};
}

}  // namespace

double emOf(const QFont& font) { return QFontInfo(font).pixelSize() / 12.0; }

QFont sizedFont(const QFont& font, double factor, QFont::Weight weight)
{
    QFont f = font;
    f.setPixelSize(std::max(int(std::lround(QFontInfo(font).pixelSize() * factor)), 1));
    f.setWeight(weight);
    return f;
}

ScaleBar scaleBar(double pixelsPerMetre, double room, UnitSystem units,
                  const std::function<double(const QString&)>& widthOf)
{
    if (units == UnitSystem::us)
        return firstFitting(inches, 0.0254, QStringLiteral("in"), pixelsPerMetre, room, widthOf);
    return firstFitting(millimetres, 1e-3, QStringLiteral("mm"), pixelsPerMetre, room, widthOf);
}

void paintScaleBar(QPainter& painter, const QPointF& left, double pixelsPerMetre, double room, UnitSystem units,
                   const PlotPalette& palette)
{
    const QFontMetricsF metrics(painter.font());
    const ScaleBar bar = scaleBar(pixelsPerMetre, room, units,
                                  [&](const QString& words) { return 6 + metrics.horizontalAdvance(words); });
    if (bar.length <= 0) return;
    const double length = bar.length * pixelsPerMetre;
    painter.setPen(QPen(palette.ink, 1));
    painter.drawLine(left, left + QPointF(length, 0));
    for (const double x : {0.0, length})
        painter.drawLine(left + QPointF(x, -3), left + QPointF(x, 3));
    painter.setPen(palette.dim);
    painter.drawText(left + QPointF(length + 6, metrics.capHeight() / 2), bar.words);
}

QVector<QLineF> hatchInside(const std::vector<QPolygonF>& convex, double apart)
{
    std::map<long, std::vector<std::pair<double, double>>> spans;  // by number of the line
    for (const QPolygonF& polygon : convex) {
        double least = 1e300, most = -1e300;
        for (const QPointF& p : polygon)
            least = std::min(least, p.x() + p.y()), most = std::max(most, p.x() + p.y());
        for (long k = std::lround(std::ceil(least / apart)); double(k) * apart <= most; ++k)
            if (const auto span = spanOf(polygon, double(k) * apart)) spans[k].push_back(*span);
    }
    QVector<QLineF> lines;
    for (auto& [k, along] : spans) {
        std::sort(along.begin(), along.end());
        const double sum = double(k) * apart;
        double from = along.front().first, to = along.front().second;
        const auto put = [&] { lines.append(QLineF(from, sum - from, to, sum - to)); };
        for (const auto& [a, b] : along) {
            if (a <= to + 1e-6) {  // neighbours share an edge, up to rounding
                to = std::max(to, b);
                continue;
            }
            put();
            from = a, to = b;
        }
        put();
    }
    return lines;
}

void paintSentence(QPainter& painter, const QRectF& box, const QString& sentence, const PlotPalette& palette)
{
    painter.setPen(palette.dim);
    const double margin = 8 * emOf(painter.font());
    painter.drawText(box.adjusted(margin, margin, -margin, -margin), Qt::AlignCenter | Qt::TextWordWrap, sentence);
}

void paintFocus(QPainter& painter, const QRectF& box, const PlotPalette& palette)
{
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.accent, 2));
    painter.drawRect(box.adjusted(1, 1, -1, -1));
}

QString shownLength(double metres, UnitSystem units)
{
    return QString::fromStdString(formatQuantity(metres, Dimension::length, units));
}

}  // namespace portwright
