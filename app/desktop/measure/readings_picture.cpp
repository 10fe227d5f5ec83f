// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/readings_picture.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"

#include <QLocale>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

/// A round step that gives four to ten ticks over a range.
double stepFor(double range)
{
    const double power = std::pow(10.0, std::floor(std::log10(range / 4)));
    for (const double times : {5.0, 2.0, 1.0})
        if (range / (times * power) >= 3) return times * power;
    return power;
}

}  // namespace

ReadingsPicture::ReadingsPicture(QWidget* parent) : QWidget(parent)
{
    setAccessibleName(tr("Readings side by side"));
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
}

void ReadingsPicture::setReadings(std::vector<Reading> readings, std::optional<std::pair<double, double>> band,
                                  UnitSystem units)
{
    readings_ = std::move(readings);
    std::erase_if(readings_, [](const Reading& r) { return !(r.volume > 0); });
    band_ = band;
    units_ = units;
    QStringList words;
    for (const Reading& r : readings_)
        words << tr("%1: %2").arg(r.name, figureText(r.volume, Dimension::volume, units));
    setAccessibleDescription(words.join(QStringLiteral("; ")));
    update();
}

QSize ReadingsPicture::sizeHint() const
{
    return {px(240), px(60 + 34 * int(std::max<std::size_t>(readings_.size(), 3)))};
}
QSize ReadingsPicture::minimumSizeHint() const { return {px(120), px(90)}; }

void ReadingsPicture::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(rect(), palette.base);
    painter.setFont(lettersFont(Letters::body));
    painter.setPen(palette.dim);
    if (readings_.empty())
        return painter.drawText(rect().adjusted(px(10), 0, -px(10), 0), Qt::AlignCenter | Qt::TextWordWrap,
                                tr("Readings stand here side by side, as soon as there are some."));
    const Unit& unit = shownUnit(Dimension::volume, units_);
    double low = 1e300, high = 0;
    for (const Reading& r : readings_) {
        low = std::min(low, fromSi(unit, r.volume - 2 * r.uncertainty));
        high = std::max(high, fromSi(unit, r.volume + 2 * r.uncertainty));
    }
    low = std::max(low, 0.0);
    if (!(high > low)) high = low + 1;
    const QFontMetrics metrics(painter.font());
    const int left = px(14), right = width() - px(14), bottom = height() - metrics.height() - px(10);
    const auto x = [&](double shown) { return left + (shown - low) / (high - low) * (right - left); };
    if (band_) {
        const double from = x(fromSi(unit, band_->first - band_->second)),
                     to = x(fromSi(unit, band_->first + band_->second));
        painter.fillRect(QRectF(from, px(6), to - from, bottom - px(6)), palette.air);
        painter.setPen(QPen(palette.accent, pxf(1)));
        const double middle = x(fromSi(unit, band_->first));
        painter.drawLine(QPointF(middle, px(6)), QPointF(middle, bottom));
    }
    const double step = stepFor(high - low);
    const int decimals = std::max(0, int(std::ceil(-std::log10(step) - 1e-9)));
    for (double tick = std::ceil(low / step) * step; tick <= high + step * 1e-9; tick += step) {
        painter.setPen(QPen(palette.line, 1));
        painter.drawLine(QPointF(x(tick), bottom), QPointF(x(tick), bottom + px(4)));
        painter.setPen(palette.dim);
        painter.drawText(QRectF(x(tick) - px(40), bottom + px(5), px(80), metrics.height()), Qt::AlignHCenter,
                         QLocale().toString(tick, 'f', decimals));
    }
    painter.setPen(QPen(palette.edge, 1));
    painter.drawLine(QPointF(left, bottom), QPointF(right, bottom));
    painter.setPen(palette.dim);
    painter.drawText(QRectF(0, px(4), right, metrics.height()), Qt::AlignRight, unitName(Dimension::volume, units_));
    const double pitch = std::min<double>(px(40), (bottom - px(14.0)) / double(readings_.size()));
    for (std::size_t i = 0; i < readings_.size(); ++i) {
        const Reading& r = readings_[i];
        const double y = px(20) + pitch * (double(i) + 0.6), middle = x(fromSi(unit, r.volume));
        const double half = (right - left) / (high - low) * fromSi(unit, r.uncertainty);
        const QColor ink = r.chosen ? palette.accent : r.used ? palette.text : palette.dim;
        painter.setPen(QPen(ink, pxf(r.chosen ? 2 : 1.5), r.used ? Qt::SolidLine : Qt::DotLine));
        painter.drawLine(QPointF(middle - half, y), QPointF(middle + half, y));
        for (const double end : {middle - half, middle + half})
            painter.drawLine(QPointF(end, y - px(3)), QPointF(end, y + px(3)));
        painter.setBrush(r.used ? ink : palette.base);
        painter.drawEllipse(QPointF(middle, y), pxf(3.4), pxf(3.4));
        painter.setPen(r.chosen ? palette.text : palette.dim);
        painter.setFont(lettersFont(Letters::remark));
        painter.drawText(QRectF(left, y - px(4) - metrics.height(), right - left, metrics.height()),
                         Qt::AlignLeft | Qt::AlignBottom, metrics.elidedText(r.name, Qt::ElideRight, right - left));
    }
}

}  // namespace portwright
