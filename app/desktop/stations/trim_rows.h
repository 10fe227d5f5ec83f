// SPDX-License-Identifier: GPL-3.0-or-later
// "Cut long, sweep, trim": what is to come off a port, from what was read of it.
#pragma once

#include "app/desktop/stations/form.h"

namespace portwright {

void trimRows(Workbench& workbench, Form& form, std::size_t opening);

}  // namespace portwright
