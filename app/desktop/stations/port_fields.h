// SPDX-License-Identifier: GPL-3.0-or-later
// The fields of a port: its body, and folded away what most ports leave as it is (ends, place, bends).
#pragma once

#include "app/desktop/stations/form.h"

namespace portwright {

void portFieldRows(Workbench& workbench, Form& form, std::size_t opening, const PortOpening& port);

/// Equal for ports that have the same rows.
QString portFieldsKey(const PortOpening& port);

}  // namespace portwright
