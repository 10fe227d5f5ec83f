// SPDX-License-Identifier: GPL-3.0-or-later
// The one palette of the program: every colour that is drawn anywhere is named here. Charts get it handed over.
#pragma once

#include <QColor>
#include <QPen>
#include <QRectF>
#include <QString>

#include <array>

class QPainter;

namespace portwright {

inline constexpr int housingSlots = 6;  ///< colours before they repeat with the next dash

struct PlotPalette {
    QColor window, base, raised, field, text, dim, line, edge;
    QColor ink, onInk, accent, onAccent;
    QColor air, wall, hatch, steel;  ///< the cut only
    QColor over, near, holds;        ///< state words and marks, limit lines; note and missing are dim
    std::array<QColor, housingSlots> housings;
    bool dark = false;
    bool highContrast = false;  ///< curves are drawn 2.2 px wide
    bool operator==(const PlotPalette&) const = default;
};

const PlotPalette& lightPalette();  ///< also the one of all exports
const PlotPalette& darkPalette();
PlotPalette highContrast(bool dark);

QColor housingColour(const PlotPalette& palette, int slot);
QColor onHousingColour(const PlotPalette& palette, int slot);  ///< of the letter on a filled tag
QVector<qreal> housingDash(int slot);                          ///< in pen widths; empty: solid
QPen housingPen(const PlotPalette& palette, int slot, double width);
double housingPenWidth(const PlotPalette& palette, bool chosen);  ///< px
QString housingLetter(int slot);                                  ///< A..Z, then AA, AB ...

enum class TagFace { filled, outlined };
/// The letter tag of a housing, centred in `box` (16 x 16 px is usual); the painter's font gives the letter's size.
void paintHousingTag(QPainter& painter, const QRectF& box, const PlotPalette& palette, int slot, TagFace face);

/// Contrast of two opaque colours, 1..21. Source: WCAG 2.1, relative luminance.
double contrastRatio(const QColor& a, const QColor& b);

}  // namespace portwright
