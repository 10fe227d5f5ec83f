// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/plot_palette.h"

#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

QColor rgb(unsigned value) { return QColor::fromRgb(0xff000000u | value); }

PlotPalette madeLight()
{
    PlotPalette p;
    p.window = rgb(0xECE9E3), p.base = rgb(0xFFFFFF), p.raised = rgb(0xF8F6F2), p.field = rgb(0xFFFFFF);
    p.text = rgb(0x1A2126), p.dim = rgb(0x545D63), p.line = rgb(0xCFCAC1), p.edge = rgb(0x88847C);
    p.ink = rgb(0x1F2A33), p.onInk = rgb(0xF8F6F2), p.accent = rgb(0x27597F), p.onAccent = rgb(0xFFFFFF);
    p.air = rgb(0xDDEAF0), p.wall = rgb(0xEFECE6), p.hatch = rgb(0x8C857A), p.steel = rgb(0x3F474D);
    p.over = rgb(0xA8201A), p.near = rgb(0x7A5200), p.holds = rgb(0x22623A);
    p.housings = {rgb(0x150032), rgb(0xCD720E), rgb(0x004B3F), rgb(0x8B2F93), rgb(0x948F66), rgb(0x0373FF)};
    return p;
}

PlotPalette madeDark()
{
    PlotPalette p;
    p.window = rgb(0x131618), p.base = rgb(0x1B1E20), p.raised = rgb(0x212528), p.field = rgb(0x17191B);
    p.text = rgb(0xE9E6E0), p.dim = rgb(0xA6ACB0), p.line = rgb(0x363C40), p.edge = rgb(0x747B80);
    p.ink = rgb(0xE4E0D8), p.onInk = rgb(0x171B1E), p.accent = rgb(0x8FC0E0), p.onAccent = rgb(0x10202B);
    p.air = rgb(0x22343F), p.wall = rgb(0x2A2E31), p.hatch = rgb(0x7C7568), p.steel = rgb(0xB4BABD);
    p.over = rgb(0xFF8B7B), p.near = rgb(0xF0B94F), p.holds = rgb(0x7FC893);
    p.housings = {rgb(0x3C8DF1), rgb(0xC96D41), rgb(0x80FFBB), rgb(0x9F6C99), rgb(0xFDDA67), rgb(0xCCE1FB)};
    p.dark = true;
    return p;
}

int place(int slot) { return ((slot % housingSlots) + housingSlots) % housingSlots; }

double linear(double channel)
{
    return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}

double luminance(const QColor& c)
{
    return 0.2126 * linear(c.redF()) + 0.7152 * linear(c.greenF()) + 0.0722 * linear(c.blueF());
}

}  // namespace

const PlotPalette& lightPalette()
{
    static const PlotPalette palette = madeLight();
    return palette;
}

const PlotPalette& darkPalette()
{
    static const PlotPalette palette = madeDark();
    return palette;
}

PlotPalette highContrast(bool dark)
{
    PlotPalette p = dark ? darkPalette() : lightPalette();
    const QColor paper = rgb(dark ? 0x000000 : 0xFFFFFF), letter = rgb(dark ? 0xFFFFFF : 0x000000);
    p.window = p.base = p.raised = p.field = paper;
    p.text = p.dim = p.edge = p.line = letter;
    p.ink = letter, p.onInk = paper;
    p.highContrast = true;
    return p;
}

QColor housingColour(const PlotPalette& palette, int slot) { return palette.housings[std::size_t(place(slot))]; }

QColor onHousingColour(const PlotPalette& palette, int slot)
{
    const QColor plate = housingColour(palette, slot), white = rgb(0xFFFFFF), black = rgb(0x000000);
    return contrastRatio(plate, white) >= contrastRatio(plate, black) ? white : black;
}

QVector<qreal> housingDash(int slot)
{
    static const std::array<QVector<qreal>, housingSlots> dashes{QVector<qreal>{},   {7, 3}, {2, 2.2}, {9, 2.5, 2, 2.5},
                                                                 {5, 2, 1, 2, 1, 2}, {12, 4}};
    return dashes[std::size_t(place(slot + std::max(slot, 0) / housingSlots))];  // colours repeat with the next dash
}

QPen housingPen(const PlotPalette& palette, int slot, double width)
{
    QPen pen(housingColour(palette, slot), width);
    pen.setCapStyle(Qt::FlatCap);
    pen.setJoinStyle(Qt::BevelJoin);
    if (const QVector<qreal> dash = housingDash(slot); !dash.isEmpty()) pen.setDashPattern(dash);
    return pen;
}

double housingPenWidth(const PlotPalette& palette, bool chosen)
{
    if (palette.highContrast) return chosen ? 2.6 : 2.2;
    return chosen ? 2.0 : 1.6;
}

QString housingLetter(int slot)
{
    QString letters;
    for (int n = std::max(slot, 0); n >= 0; n = n / 26 - 1)
        letters.prepend(QChar(u'A' + n % 26));
    return letters;
}

void paintHousingTag(QPainter& painter, const QRectF& box, const PlotPalette& palette, int slot, TagFace face)
{
    const double side = std::min(box.width(), box.height());
    const QString letter = housingLetter(slot);
    QFont font = painter.font();
    font.setWeight(QFont::DemiBold);
    painter.save();
    painter.setFont(font);
    const double width = std::max(side, painter.fontMetrics().horizontalAdvance(letter) + 0.4 * side);
    const QRectF plate(box.center().x() - width / 2, box.center().y() - side / 2, width, side);
    const QColor colour = housingColour(palette, slot);
    painter.setRenderHint(QPainter::Antialiasing);
    if (face == TagFace::filled) {
        painter.setPen(Qt::NoPen);
        painter.setBrush(colour);
        painter.drawRoundedRect(plate, 3, 3);
        painter.setPen(onHousingColour(palette, slot));
    } else {
        painter.setPen(QPen(colour, 1.2));
        painter.setBrush(palette.base);
        painter.drawRoundedRect(plate.adjusted(0.6, 0.6, -0.6, -0.6), 3, 3);
        painter.setPen(palette.text);
    }
    painter.drawText(plate, Qt::AlignCenter, letter);
    painter.restore();
}

double contrastRatio(const QColor& a, const QColor& b)
{
    const double la = luminance(a), lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

}  // namespace portwright
