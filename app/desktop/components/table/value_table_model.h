// SPDX-License-Identifier: GPL-3.0-or-later
// A table of typed values: quantities with units, choices, words, and computed cells. It knows nothing of the project:
// its owner puts rows in, and gets told what the user wants them to be.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#include "core/result.h"
#endif

#include <QAbstractTableModel>
#include <QStringList>

#include <optional>
#include <variant>
#include <vector>

namespace portwright {

struct TableColumn {
    enum class Kind { quantity, choice, words, computed };  ///< computed: read only
    QString head;
    Kind kind = Kind::quantity;
    Dimension dimension = Dimension::length;
    double low = 0, high = 0;  ///< SI, both allowed
    QStringList choices = {};
    QString meaning = {};  ///< for the head's tip
    QString atZero = {};   ///< if given, a quantity of 0 is an empty cell, with this as its tip
};

/// One cell. Nothing: not used in this row, shown as a dash.
struct TableCell {
    std::variant<std::monostate, double, int, QString> value = {};  ///< quantity (SI), choice, words or computed text
    /// Where the rows of a column differ: what this one is measured in, and its range.
    struct Measure {
        Dimension dimension;
        double low, high;
        bool operator==(const Measure&) const = default;
    };
    std::optional<Measure> measure = {};
    bool operator==(const TableCell&) const = default;
};
/// Cells beyond the columns are not shown: they travel with their row (where it came from, say).
using TableRow = std::vector<TableCell>;
using TableRows = std::vector<TableRow>;

class ValueTableModel : public QAbstractTableModel {
    Q_OBJECT
public:
    using QAbstractTableModel::QAbstractTableModel;

    void setColumns(std::vector<TableColumn> columns);
    /// Rows that only differ in values keep current cell and open editor.
    void setRows(TableRows rows);
    void setBegunRow(int row);  ///< shown dim: it does not count yet; -1: none
    void setUnits(UnitSystem units);
    UnitSystem units() const { return units_; }
    const std::vector<TableColumn>& columns() const { return columns_; }
    const TableRows& rows() const { return rows_; }
    const TableCell& cell(const QModelIndex& index) const;
    TableCell::Measure measureAt(int row, int column) const;
    bool editable(int row, int column) const;

    /// Reads what was typed or pasted into a cell. Errors are whole sentences without the place.
    Result<TableCell> read(const QString& text, int row, int column) const;
    QString text(int row, int column) const;        ///< as shown, without the unit
    QString placeWords(int row, int column) const;  ///< "row 3, Width"

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;
    Qt::ItemFlags flags(const QModelIndex& index) const override;

private:
    bool mixed(int column) const;  ///< cells of a column have units of their own
    bool emptyAt(int row, int column) const;

    std::vector<TableColumn> columns_;
    TableRows rows_;
    UnitSystem units_ = UnitSystem::metric;
    int begun_ = -1;
};

}  // namespace portwright
