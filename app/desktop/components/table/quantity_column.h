// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/table/value_table_model.h"

namespace portwright {

/// A column for a quantity of the file's tables, "section", "width_mm": its unit, range and meaning.
TableColumn quantityColumn(const QString& head, const char* object, const char* key);

}  // namespace portwright
