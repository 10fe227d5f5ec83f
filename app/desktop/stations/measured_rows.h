// SPDX-License-Identifier: GPL-3.0-or-later
// Rows of the Cavity station on what was measured: the volume's source, the readings, what is taken off, the shape, and
// how sure it all is. `second` speaks of the second cavity.
#pragma once

#include "app/desktop/stations/form.h"

namespace portwright {

void volumeRows(Workbench& bench, Form& form, bool second);
void deductionRows(Workbench& bench, Form& form, bool second);
void shapeRows(Workbench& bench, Form& form);
void certaintyRows(Workbench& bench, Form& form);

/// Which of these rows there are: equal keys, equal rows.
QString measuredKey(const Housing& housing);

}  // namespace portwright
