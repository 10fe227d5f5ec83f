// SPDX-License-Identifier: GPL-3.0-or-later
// What follows from a port: tuning, air in motion, its ringing; and the length for a wanted tuning.
#pragma once

#include "app/desktop/window/form.h"

namespace portwright {

void portFollowRows(Workbench& workbench, Form& form, std::size_t opening);

}  // namespace portwright
