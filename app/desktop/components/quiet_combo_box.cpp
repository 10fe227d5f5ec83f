// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/quiet_combo_box.h"

#include "app/desktop/components/measures.h"

#include <QWheelEvent>

#include <algorithm>

namespace portwright {

QuietComboBox::QuietComboBox(QWidget* parent) : QComboBox(parent)
{
    setFocusPolicy(Qt::StrongFocus);
    setSizeAdjustPolicy(QComboBox::AdjustToContents);
}

QSize QuietComboBox::minimumSizeHint() const
{
    const QSize whole = QComboBox::minimumSizeHint();
    return {std::min(whole.width(), px(90)), whole.height()};
}

void QuietComboBox::wheelEvent(QWheelEvent* event)
{
    if (hasFocus())
        QComboBox::wheelEvent(event);
    else
        event->ignore();
}

}  // namespace portwright
