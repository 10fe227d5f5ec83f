// SPDX-License-Identifier: GPL-3.0-or-later
// Drawings in mm on paper, at their own size.
#pragma once

#include "core/parts/drawing.h"
#include "core/result.h"

#include <QByteArray>
#include <QString>

#include <vector>

namespace portwright {

enum class Paper { a4, letter };

/// How a drawing lies on sheets of paper; mm. Each page shows a window of the drawing, neighbours share an overlap.
struct PaperTiling {
    bool landscape = false;
    double pageWidth = 0, pageHeight = 0;
    double windowWidth = 0, windowHeight = 0;  ///< that a page shows
    double overlap = 0;                        ///< of neighbouring windows
    int columns = 1, rows = 1;
    double left = 0, top = 0;  ///< of the first window, in the drawing (y up)
};

/// One page if it fits in either direction, else the direction that takes fewer pages. Margins are 10 mm.
PaperTiling tilingOf(const DrawingBounds& bounds, Paper paper);

/// The drawing as PDF, 1:1, vectors and fonts only. Of several pages each has its place ("A1"), its own rule of
/// 100 mm, and crosses in the overlaps that lie on each other when the sheets are taped. Needs a QGuiApplication.
/// Errors: more than 100 pages; no memory.
Result<QByteArray> templatePdf(const Drawing& drawing, Paper paper, const QString& colophon);

}  // namespace portwright
