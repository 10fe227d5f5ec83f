// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/labels.h"
#include "core/quantity/quantity.h"

#include <optional>

namespace portwright {

/// A derived value as plain text in the columns of FieldRow.
class ValueRow : public QWidget {
    Q_OBJECT
public:
    explicit ValueRow(const QString& label, QWidget* parent = nullptr);
    void setLabel(const QString& label);
    void setValue(const QString& number, const QString& unit);
    void setValueSi(std::optional<double> si, Dimension dimension, UnitSystem system = UnitSystem::metric);
    void setRemark(const QString& remark);  ///< "± 3.4"
    QString number() const;
    QString unit() const;

protected:
    void changeEvent(QEvent* event) override;

private:
    void dress();
    NameLabel* label_;
    QLabel *number_, *unit_, *remark_;
    QLabel* mark_;
};

}  // namespace portwright
