// SPDX-License-Identifier: GPL-3.0-or-later
// Measures and letters. All measures are drawn for a 12 px font and scaled with the desktop's own.
#pragma once

#include <QFont>

class QWidget;

namespace portwright {

double em();              ///< px of the desktop's font size; 12 at 9 pt and 96 dpi
int px(double atTwelve);  ///< a measure of the 12 px drawing at the present font size, at least 1 for anything above 0
double pxf(double atTwelve);

enum class Letters { remark, body, readout, stationTitle, emptyTitle };  ///< 0.92, 1, 1.08, 1.33, 1.67 of the base

QFont lettersFont(Letters letters);  ///< words; the last three are demi-bold
QFont figureFont(Letters letters);   ///< the same for figures: a family whose ten digits are equally wide
bool digitsEquallyWide(const QFont& font);

/// Whether things may slide or fade on this widget: not when animations are off, nor when it is not visible.
bool motionAllowed(const QWidget& widget);
inline constexpr int motionMilliseconds = 120;

}  // namespace portwright
