// SPDX-License-Identifier: GPL-3.0-or-later
// The way that a port may take in its cavity, as far as it is known.
#pragma once

#include "core/port/clearances.h"
#include "core/quantity/quantity.h"

#include <functional>
#include <optional>
#include <string>

namespace portwright {

/// What is known of the way that a port may take in its cavity: measured for it, else by inner sizes as far as they are
/// given. What is not known does not bound.
struct KnownRun {
    PortSpace space;
    bool straight = false, across = false;  ///< which of the two is known
};
KnownRun knownRun(const PortOpening& port, const Cavity& cavity, double clearance = usualClearance);

/// "the 180 mm behind the wall and 240 mm across that there are", of what is known; empty: nothing is.
std::string wordsOf(const PortOpening& port, const KnownRun& run,
                    const std::function<std::string(double)>& lengthWords);

/// Whether a port goes into the run that was measured for it, by a sentence without full stop where it does not. One
/// that would go in if less stayed clear before its end is `tight`. Nothing where no run was measured, or it is bent
/// otherwise than by one or two right angles.
struct RunTrouble {
    std::string words;
    bool tight = false;
};
std::optional<RunTrouble> whyNotInRun(const PortOpening& port, const Cavity& cavity,
                                      UnitSystem units = UnitSystem::metric);

}  // namespace portwright
