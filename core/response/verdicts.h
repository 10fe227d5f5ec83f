// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/quantity/quantity.h"
#include "core/response/limits.h"
#include "core/response/summary.h"

#include <string>
#include <variant>
#include <vector>

namespace portwright {

enum class State { holds, near, over, missing, note };
std::string nameOf(State state);  ///< "holds" ...

/// What "apply" would change, as one step.
struct SetHighPass {
    int order;
    double corner;  ///< Hz
};
struct SetPort {
    int opening;          ///< index in Housing::openings
    double bore, length;  ///< m; bore: diameter of a round, height of a slot
};
struct SetVoltage {
    double voltage;  ///< V rms
};
using Remedy = std::variant<SetHighPass, SetPort, SetVoltage>;

/// A sentence with number, limit and remedy, and the rule it rests on.
struct Verdict {
    State state;
    std::string subject;                 ///< stable word: "cone travel", "port air", "power", "amplifier", "load", ...
    std::string text;                    ///< without the state word; point decimals, no-break space before units
    std::optional<double> value, limit;  ///< in the unit the text shows
    std::optional<double> frequency;     ///< Hz
    std::string rule;                    ///< published source, or "common practice, no source", or "given limit"
    std::optional<Remedy> remedy;
    std::string remedyWords;  ///< button text: "High-pass at 63 Hz"; empty without remedy
    std::string field;        ///< JSON pointer below the housing or project of the value at fault, may be empty
};

/// Verdicts of one housing, worst first. Judged from 20 Hz to 2 kHz at the feed in force; 20 Hz itself is reckoned if
/// the curves begin below it. The unit system changes words, value and limit, never what is judged or offered.
std::vector<Verdict> verdictsOf(const Model& model, const Curves& curves, const Summary& summary,
                                UnitSystem units = UnitSystem::metric);

/// The project with a remedy put in for one housing (its own feed if it has one, else the project's).
Project applied(Project project, std::size_t housingIndex, const Remedy& remedy);

/// The highest level shown of a housing, dB: of its curves from 20 Hz to 2 kHz, the range that is judged; -inf if none.
double loudestShown(const Curves& curves);

/// Cautions that stand wherever levels and housings are shown (hearing, cutting, test tones, wiring); sentences.
/// `loudest`: the highest level shown of all housings, dB; non-finite if none is.
std::vector<std::string> cautions(double loudest, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
