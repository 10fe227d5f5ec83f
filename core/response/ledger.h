// SPDX-License-Identifier: GPL-3.0-or-later
// "Where the bass went": from this driver in an endless baffle to what reaches the rider, one cause at a time.
#pragma once

#include "core/quantity/quantity.h"
#include "core/response/curves.h"

#include <string>
#include <vector>

namespace portwright {

struct LedgerEntry {
    Cause cause;
    std::string name;      ///< "Air spring"
    bool present = true;   ///< false: this housing has no such thing (shown as a dash)
    double step = 0;       ///< dB, level with this cause in less the level before it
    double running = 0;    ///< dB, level with this cause in
    std::string sentence;  ///< in the user's own numbers
};

/// Entries in the stated order (Cause); start + sum of steps = end = the charts' level at this frequency.
struct Ledger {
    double frequency = 0;  ///< Hz
    double start = 0;      ///< dB: this driver (group) in an endless baffle at 1 m, this voltage, no inductance
    std::string startSentence;
    std::vector<LedgerEntry> entries;
    double end = 0;  ///< dB at the rider
};

/// Element values stay those of the final housing; each step adds one cause to the network, which separation at the
/// ports' ends then answers at the feed that reaches it: what it takes is part of the port's step and of those after
/// it. The unit system changes the sentences alone. Errors as solve().
Result<Ledger> ledgerOf(const Model& model, double frequency, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
