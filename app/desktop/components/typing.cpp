// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/typing.h"

#include <QApplication>
#include <QWidget>

namespace portwright {

void commitTyping()
{
    for (QWidget* widget = QApplication::focusWidget(); widget; widget = widget->parentWidget())
        if (auto* field = dynamic_cast<TypedInto*>(widget)) return field->commitTyped();
}

}  // namespace portwright
