// SPDX-License-Identifier: GPL-3.0-or-later
// Core's figures and sentences in the user's locale.
#pragma once

#include "core/quantity/quantity.h"

#include <QString>

#include <string_view>

namespace portwright {

/// A number's text with the locale's decimal mark and U+2212 for minus.
QString localNumber(QString text);
/// The decimal points between digits of a sentence become the locale's mark.
QString localSentence(std::string_view text);
/// "88.4 Hz" as cards and readouts show it.
QString figureText(double si, Dimension dimension, UnitSystem system = UnitSystem::metric);
/// "88.4 ± 0.8 Hz", the value alone where there is no uncertainty.
QString rangedText(double si, double uncertainty, Dimension dimension, UnitSystem system = UnitSystem::metric);
QString unitName(Dimension dimension, UnitSystem system);
/// A standard uncertainty in the shown unit: one significant digit, two if it starts with 1.
QString uncertaintyText(double si, Dimension dimension, UnitSystem system);

}  // namespace portwright
