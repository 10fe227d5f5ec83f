// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/quantity_column.h"

#include "core/document/fields.h"

namespace portwright {

TableColumn quantityColumn(const QString& head, const char* object, const char* key)
{
    const FieldInfo* info = fieldInfo(object, key);
    Q_ASSERT(info);
    return {.head = head,
            .kind = TableColumn::Kind::quantity,
            .dimension = info->dimension,
            .low = info->min / info->perSi,
            .high = info->max / info->perSi,
            .choices = {},
            .meaning = QString::fromUtf8(info->meaning.data(), qsizetype(info->meaning.size()))};
}

}  // namespace portwright
