// SPDX-License-Identifier: GPL-3.0-or-later
// The charts as a table: third-octave rows, columns grouped by housing. The current row is the cursor.
#pragma once

#include "app/desktop/session/workbench.h"

#include <QAbstractTableModel>
#include <QFontMetrics>
#include <QHeaderView>
#include <QStyledItemDelegate>
#include <QTableView>

#include <vector>

namespace portwright {

/// Nominal third octaves from 20 Hz to 1 kHz.
const std::vector<double>& tableFrequencies();

class TableModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum class Quantity { level, travel, air, impedance };
    struct Column {
        int slot = 0;
        QString name;
        Quantity quantity = Quantity::level;
        bool first = false;          ///< of its housing
        std::vector<double> values;  ///< in the shown unit, by row
        double limit = 0;            ///< in the shown unit; 0: not judged
    };

    using QAbstractTableModel::QAbstractTableModel;
    void setResults(Computation& computation, UnitSystem units);
    const std::vector<Column>& columns() const { return columns_; }

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;
    QString text(const QModelIndexList& rows) const;  ///< tab-separated, with heads

private:
    QString headOf(Quantity quantity) const;  ///< "Air m/s"

    std::vector<Column> columns_;
    UnitSystem units_ = UnitSystem::metric;
};

class TablePage : public QTableView {
    Q_OBJECT
public:
    explicit TablePage(Workbench& workbench, QWidget* parent = nullptr);
    TableModel* tableModel() { return &model_; }
    void refresh();
    void copy() const;

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;

private:
    void followCursor();
    void ink();

    Workbench& workbench_;
    TableModel model_;
    bool following_ = false;
};

/// Two storeys: the housing with its tag and dash, below it the quantities.
/// A figure at the right of its cell, with the mark of a limit that is passed beside it.
class FigureCell : public QStyledItemDelegate {
    Q_OBJECT
public:
    using QStyledItemDelegate::QStyledItemDelegate;
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
};

/// "Cone mm" as a column's head of that width shows it: in one line, in two, or the unit alone.
QString fittedHead(const QString& head, const QFontMetrics& font, int width);

class GroupedHeader : public QHeaderView {
    Q_OBJECT
public:
    explicit GroupedHeader(TableModel& model, QWidget* parent);
    QSize sizeHint() const override;

protected:
    void paintSection(QPainter* painter, const QRect& rect, int section) const override;

private:
    void paintGroup(QPainter& painter, const QRect& rect, std::size_t column) const;
    TableModel& table_;
};

}  // namespace portwright
