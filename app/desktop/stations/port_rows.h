// SPDX-License-Identifier: GPL-3.0-or-later
// What follows from a port: both tunings, what its air does, and the length for a wanted tuning.
#pragma once

#include "app/desktop/session/port_cut.h"
#include "app/desktop/stations/form.h"

namespace portwright {

void portFollowRows(Workbench& workbench, Form& form, std::size_t opening);

/// The port as the shown project has it computed; null where the housing cannot be computed.
const PortOpening* computedPort(const Computed* computed, std::size_t opening);
/// The chosen housing's results, null if it has none.
const Computed* chosenComputed(Workbench& workbench);
/// The cavity that it opens, its net volume as reckoned with.
CavityRoom roomOfPort(const Computed& computed, std::size_t opening);

}  // namespace portwright
