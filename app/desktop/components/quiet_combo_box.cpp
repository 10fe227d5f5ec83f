// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/quiet_combo_box.h"

#include <QWheelEvent>

namespace portwright {

QuietComboBox::QuietComboBox(QWidget* parent) : QComboBox(parent)
{
    setFocusPolicy(Qt::StrongFocus);
    setSizeAdjustPolicy(QComboBox::AdjustToContents);
}

void QuietComboBox::wheelEvent(QWheelEvent* event)
{
    if (hasFocus())
        QComboBox::wheelEvent(event);
    else
        event->ignore();
}

}  // namespace portwright
