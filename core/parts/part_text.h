// SPDX-License-Identifier: GPL-3.0-or-later
// Sentences and lists of parts.txt.
#pragma once

#include "core/parts/blanks.h"
#include "core/parts/port_solid.h"

#include <string>
#include <vector>

namespace portwright {

std::string portText(const PortOpening& port, UnitSystem units);  ///< "round, bore 50.0 mm, 163.0 mm long"
/// "50 mm tube, 148 mm, one bend": short enough for a sticker.
std::string portWords(const PortOpening& port, UnitSystem units);
std::string tubeText(const TubeBlanks& blanks, const PartOptions& options);
std::string panelText(const PanelBlanks& blanks, const PartOptions& options);
std::string planText(const std::vector<CutPiece>& pieces, const CutPlan& plan, const PartOptions& options);
std::string printText(const PortBody& body, const std::vector<PrintedPiece>& pieces, int ports,
                      const PartOptions& options);

}  // namespace portwright
