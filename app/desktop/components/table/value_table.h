// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/table/value_table_model.h"
#include "app/desktop/components/typing.h"

#include <QTableView>
#include <QTimer>

#include <functional>
#include <optional>

namespace portwright {

/// A table of values made for the keyboard. Arrows move, typing or Return edits. In a cell Return goes to the next one
/// that is typed, Tab to the next one of any kind, both from row to row; past the last they begin a new row, which
/// counts only once something is typed into it. Insert adds a row below, Delete removes the selected ones, Ctrl+C and
/// Ctrl+V exchange cells with a spreadsheet (tab-separated; a single column or semicolons are read, too; a line of
/// heads is passed over).
class ValueTable : public QTableView, public TypedInto {
    Q_OBJECT
public:
    explicit ValueTable(const QString& accessibleName, QWidget* parent = nullptr);
    ~ValueTable() override;

    ValueTableModel* values() { return &model_; }
    /// What a new row holds, made from the rows before it. Without it rows can neither be added nor removed.
    void setFreshRow(std::function<TableRow(const TableRows&)> fresh) { fresh_ = std::move(fresh); }
    void setLeastRows(int rows) { least_ = rows; }  ///< never fewer
    void setShownRows(int rows);                    ///< height without a scroll bar, in rows
    /// This column takes what the others leave and wraps its words; rows are as high as that needs. -1: none.
    void setWrappedColumn(int column);
    void setRows(TableRows rows);
    bool hasBegunRow() const { return begun_.has_value(); }  ///< a last row that does not count yet
    int currentRow() const { return currentIndex().row(); }

    void addRow();      ///< below the current one
    void removeRows();  ///< the selected ones
    void copy() const;
    void paste();
    void commitEditor();  ///< takes over what stands half typed; call before saving
    void commitTyped() override { commitEditor(); }

    QSize sizeHint() const override;

signals:
    void previewed(portwright::TableRows rows);                    ///< while a cell is typed
    void edited(portwright::TableRows rows, const QString& step);  ///< one undo step, "Change Width"
    void previewEnded();                                           ///< what was previewed holds no longer
    void refused(const QString& sentence);                         ///< empty: an earlier refusal is over
    void rowChosen(int row);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void showEvent(QShowEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void closeEditor(QWidget* editor, QAbstractItemDelegate::EndEditHint hint) override;

private:
    enum class Way { next, nextTyped, back };
    void moveOn(const QModelIndex& from, Way way);
    QWidget* openEditor() const;
    void beginRow();
    void forgetBegunRow();
    void take(TableRows rows, const QString& step);
    TableRows with(int row, int column, const TableCell& cell) const;
    void ink();
    void fitColumns();  ///< each as wide as it needs, what is left shared out or given to the wrapped one

    ValueTableModel model_;
    std::function<TableRow(const TableRows&)> fresh_;
    int least_ = 0, shown_ = 0, wrapped_ = -1;
    std::optional<int> begun_;  ///< which row is only begun
    bool moving_ = false;
    QTimer fitSoon_;
};

}  // namespace portwright
