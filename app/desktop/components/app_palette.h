// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "plots/plot_palette.h"

#include <QPalette>

namespace portwright {

enum class Theme { system, light, dark };

QPalette appPalette(const PlotPalette& palette);
bool isDark(const QPalette& palette);  ///< words lighter than the window

/// The palette for a theme. The environment's PORTWRIGHT_TEST_PALETTE (dark, light, contrast, dark-contrast) wins over
/// Theme::system.
PlotPalette paletteFor(Theme theme, bool systemIsDark, bool highContrast = false);

/// Style, palette and tool tip colours for the whole program; may be called again at any time for a live switch.
void applyTheme(Theme theme, bool highContrast = false);

/// The palette in force, read back from QApplication's palette, so that nobody keeps a copy.
PlotPalette currentPlotPalette();

}  // namespace portwright
