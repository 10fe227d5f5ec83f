// SPDX-License-Identifier: GPL-3.0-or-later
// The numbers of the remedies: which corner, which bore, which voltage would keep a limit.
#pragma once

#include "core/response/verdicts.h"

#include <string>

namespace portwright {

/// The port with that bore (slot: height) and length, its inner end moved alone; and what more it takes of its cavity
/// inside, m3.
PortOpening resized(PortOpening port, const SetPort& wider);
double moreTaken(const PortOpening& port, const SetPort& wider);

/// A wider tube in a port's place, or why there is none.
struct WiderPort {
    enum class Found {
        fits,       ///< `port` keeps the tuning and the limit
        none,       ///< no bore up to 500 mm, 3 m long at most, does
        noRoom,     ///< `port` would, but cannot be built into its cavity: `why` is the search's own sentence for it
        takesMuch,  ///< `port` would, but takes more than a tenth of its cavity, and would no longer keep the tuning
    };
    Found found = Found::none;
    SetPort port;
    std::string why;
};

/// A bore (round: diameter, slot: height) and the length that keeps the port's own tuning mass, such that its peak air
/// speed stays within the limit from 20 Hz to 2 kHz at the feed in force. Bores are tried in whole millimetres, so what
/// is offered can be bought or cut.
WiderPort widerPort(const Model& model, int opening);

}  // namespace portwright
