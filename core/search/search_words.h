// SPDX-License-Identifier: GPL-3.0-or-later
// Figures as a search tells them. Internal to the search.
#pragma once

#include "core/quantity/quantity.h"

#include <string>
#include <utility>

namespace portwright::searching {

std::string hertz(double f);
std::string decibels(double x);  ///< one decimal

/// Two figures that are compared in a sentence, with as many decimals as it takes for them to differ, if they do.
std::pair<std::string, std::string> compared(double a, double b, Dimension dimension,
                                             UnitSystem units = UnitSystem::metric);

}  // namespace portwright::searching
