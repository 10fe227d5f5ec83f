// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/housing/housing.h"
#include "core/parts/part_options.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// How the straights between the bends of a port are shared out.
struct LegPlan {
    std::vector<double> legs;            ///< m, from the outer mouth, flares included, without what is cut long
    std::string words;                   ///< a sentence: what they keep to, or that the room is not known
    std::optional<std::string> trouble;  ///< a sentence without full stop: they do not fit, and what would
};

/// By what is known of the cavity's run, see knownRun(); what is cut long fits, too. Where the room is not known, or
/// none has been found that fits, legs are equal. Nothing for a straight port.
std::optional<LegPlan> legPlan(const PortOpening& port, const Cavity& cavity, const PartOptions& options);

}  // namespace portwright
