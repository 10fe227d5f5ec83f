// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/table/value_table_model.h"

#include <QStyledItemDelegate>

namespace portwright {

/// Edits the cells of a ValueTableModel. Text that cannot be taken stays in its editor, marked, until it is mended or
/// given up with Esc; leaving the cell gives it up, too, and says so.
class ValueCell : public QStyledItemDelegate {
    Q_OBJECT
public:
    ValueCell(ValueTableModel& model, QObject* parent);

    QWidget* createEditor(QWidget* parent, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    void setEditorData(QWidget* editor, const QModelIndex& index) const override;
    void setModelData(QWidget* editor, QAbstractItemModel* model, const QModelIndex& index) const override;
    void updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option,
                              const QModelIndex& index) const override;

signals:
    void previewed(int row, int column, portwright::TableCell cell) const;
    void committed(int row, int column, portwright::TableCell cell) const;
    void refused(const QString& sentence) const;  ///< empty: an earlier refusal is over

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    ValueTableModel& model_;
};

}  // namespace portwright
