// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLineEdit>

namespace portwright {

/// A line of text with its unit drawn dim at the right, inside the field.
class UnitLineEdit : public QLineEdit {
    Q_OBJECT
public:
    explicit UnitLineEdit(QWidget* parent = nullptr);
    void setUnit(const QString& unit);
    QString unit() const { return unit_; }
    int unitWidth() const;  ///< px with the gap before it

protected:
    void focusInEvent(QFocusEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    QString unit_;
    bool entering_ = false;  ///< the press that gives the field its focus is not over yet
};

}  // namespace portwright
