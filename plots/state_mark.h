// SPDX-License-Identifier: GPL-3.0-or-later
// The five state marks as drawn on paper: ring with tick, triangle, filled eight-corner, dashed square, lozenge.
#pragma once

#include "core/response/verdicts.h"
#include "plots/plot_palette.h"

namespace portwright {

QString stateWord(State state);  ///< "Over"
QColor stateColour(const PlotPalette& palette, State state);
void paintStateMark(QPainter& painter, const QRectF& box, const PlotPalette& palette, State state);

}  // namespace portwright
