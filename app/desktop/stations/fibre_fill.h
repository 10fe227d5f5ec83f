// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/stations/form.h"

namespace portwright {

/// A button that fills the chosen housing's main cavity with fibres: which, how much of the cavity, how dense. What
/// they do at the housing's tuning or resonance becomes fill factor and lining Q in one undo step, and is told below.
void fibreFillRows(Workbench& bench, Form& form);

}  // namespace portwright
