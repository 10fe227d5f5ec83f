// SPDX-License-Identifier: GPL-3.0-or-later
// The numbers of the remedies: which corner, which bore, which voltage would keep a limit.
#pragma once

#include "core/response/verdicts.h"

namespace portwright {

/// Air inside all tubes of a port, m3.
double tubeVolume(const PortOpening& port);

/// A bore (round: diameter, slot: height) and the length that keeps the port's own tuning mass, such that its peak air
/// speed stays within the limit from 20 Hz to 2 kHz at the feed in force. Absent if none up to 500 mm and 3 m long
/// does. Bores are tried in whole millimetres, so what is offered can be bought or cut.
std::optional<SetPort> widerPort(const Model& model, int opening);

}  // namespace portwright
