// SPDX-License-Identifier: GPL-3.0-or-later
// A housing as it is used: luggage in it, a drain, a lid that does not seal, heat, height. What each does to tuning and
// level. Losses given by Q keep the resistance they have in the housing as it stands: luggage mends no gap.
#pragma once

#include "core/quantity/quantity.h"
#include "core/response/model.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace portwright {

/// Things without air in them: they take their volume from the main cavity, m3, above 0.
struct SolidLuggage {
    double volume = 0;
};
/// Clothes, a sleeping bag: the room they take up in the main cavity as they lie there, m3, above 0.
struct SoftLuggage {
    double volume = 0;
};
/// A hole in the main cavity, m: diameter 1..50 mm, depth (the wall) 0.5..100 mm. Up to 5 mm it is reckoned as a leak,
/// above as a short port.
struct DrainHole {
    double diameter = 0.006, depth = 0.003;
};
/// A lid whose seal lifts over a length, m: length 10 mm..5 m, gap 0.05..2 mm (laminar), depth of the seal 1..100 mm.
struct UnsealedLid {
    double length = 0.1, gap = 0.0005, depth = 0.003;
};
/// Air in and around the housing, degC, -20..80; the water in the air stays what it is.
struct Heat {
    double temperature = 60;
};
/// Height above the sea, m, -400..4000, at equal temperature.
struct Altitude {
    double altitude = 1500;
};
using WhatIf = std::variant<SolidLuggage, SoftLuggage, DrainHole, UnsealedLid, Heat, Altitude>;

/// What a what-if does. Frequencies in Hz, levels in dB at the rider at the feed in force.
struct WhatIfOutcome {
    /// Tuning of a vented or passive housing, resonance of a closed one; `tuned` says which it is after.
    double before = 0;
    std::optional<double> after;
    bool tuned = false;
    std::optional<double> f3Before, f3After;
    double levelChange = 0;              ///< at the frequency asked for
    double largestLoss = 0, lossAt = 0;  ///< dB, 0 or more, between 40 and 200 Hz, and where
    std::string sentence;                ///< all that in words and the user's own numbers
    std::vector<std::string> remarks;    ///< rules without a source, and cautions
};

/// Errors: an amount out of its range, or that leaves no air; as modelOf().
Result<WhatIfOutcome> outcomeOf(const Project& project, std::size_t housing, const WhatIf& whatIf, double frequency,
                                UnitSystem units = UnitSystem::metric);

}  // namespace portwright
