// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QComboBox>

namespace portwright {

/// A combo box that lets the wheel pass to the page unless it has the focus.
class QuietComboBox : public QComboBox {
    Q_OBJECT
public:
    explicit QuietComboBox(QWidget* parent = nullptr);
    QSize minimumSizeHint() const override;  ///< the chosen words may be cut in a narrow editor; the list is whole

protected:
    void wheelEvent(QWheelEvent* event) override;
};

}  // namespace portwright
