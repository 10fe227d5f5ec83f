// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/value_table_model.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"

#include <algorithm>
#include <utility>

namespace portwright {
namespace {

const QString dash = QStringLiteral("\u2013");

QString fieldFigure(double si, Dimension dimension, UnitSystem units)
{
    return localNumber(QString::fromStdString(fieldText(si, dimension, units)));
}

QString withUnit(const QString& figure, Dimension dimension, UnitSystem units)
{
    const QString unit = unitName(dimension, units);
    return unit.isEmpty() ? figure : figure + QChar(0xA0) + unit;
}

}  // namespace

void ValueTableModel::setColumns(std::vector<TableColumn> columns)
{
    beginResetModel();
    columns_ = std::move(columns);
    rows_.clear();
    endResetModel();
}

void ValueTableModel::setRows(TableRows rows)
{
    if (rows == rows_) return;
    const int before = int(rows_.size()), now = int(rows.size());
    if (now > before) {
        beginInsertRows({}, before, now - 1);
        rows_.resize(rows.size(), TableRow(columns_.size()));
        endInsertRows();
    } else if (now < before) {
        beginRemoveRows({}, now, before - 1);
        rows_.resize(rows.size());
        endRemoveRows();
    }
    for (std::size_t r = 0; r < rows.size(); ++r) {
        rows_[r].resize(rows[r].size());
        for (std::size_t c = 0; c < rows[r].size(); ++c) {
            if (rows_[r][c] == rows[r][c]) continue;
            rows_[r][c] = std::move(rows[r][c]);
            if (c >= columns_.size()) continue;
            const QModelIndex at = index(int(r), int(c));
            emit dataChanged(at, at);
        }
    }
}

void ValueTableModel::setBegunRow(int row)
{
    const int before = std::exchange(begun_, row);
    for (const int changed : {before, row})
        if (changed >= 0 && changed < rowCount())
            emit dataChanged(index(changed, 0), index(changed, columnCount() - 1), {Qt::ForegroundRole});
}

void ValueTableModel::setUnits(UnitSystem units)
{
    if (units == units_) return;
    units_ = units;
    if (!rows_.empty()) emit dataChanged(index(0, 0), index(rowCount() - 1, columnCount() - 1));
    emit headerDataChanged(Qt::Horizontal, 0, columnCount() - 1);
}

const TableCell& ValueTableModel::cell(const QModelIndex& index) const
{
    return rows_[std::size_t(index.row())][std::size_t(index.column())];
}

TableCell::Measure ValueTableModel::measureAt(int row, int column) const
{
    const TableColumn& head = columns_[std::size_t(column)];
    const TableCell& cell = rows_[std::size_t(row)][std::size_t(column)];
    return cell.measure.value_or(TableCell::Measure{head.dimension, head.low, head.high});
}

bool ValueTableModel::mixed(int column) const
{
    return std::any_of(rows_.begin(), rows_.end(),
                       [&](const TableRow& row) { return row[std::size_t(column)].measure.has_value(); });
}

bool ValueTableModel::emptyAt(int row, int column) const
{
    const auto* si = std::get_if<double>(&rows_[std::size_t(row)][std::size_t(column)].value);
    return si && *si == 0 && !columns_[std::size_t(column)].atZero.isEmpty();
}

bool ValueTableModel::editable(int row, int column) const
{
    return columns_[std::size_t(column)].kind != TableColumn::Kind::computed &&
           !std::holds_alternative<std::monostate>(rows_[std::size_t(row)][std::size_t(column)].value);
}

Result<TableCell> ValueTableModel::read(const QString& typed, int row, int column) const
{
    const TableColumn& head = columns_[std::size_t(column)];
    TableCell cell = rows_[std::size_t(row)][std::size_t(column)];
    const QString text = typed.trimmed();
    if (head.kind == TableColumn::Kind::words) {
        cell.value = text;
        return cell;
    }
    if (head.kind == TableColumn::Kind::choice) {
        for (int i = 0; i < head.choices.size(); ++i)
            if (head.choices[i].compare(text, Qt::CaseInsensitive) == 0) {
                cell.value = i;
                return cell;
            }
        return fail({}, tr("\"%1\" is none of %2.").arg(text, head.choices.join(QStringLiteral(", "))).toStdString());
    }
    if (text.isEmpty() && !head.atZero.isEmpty()) {
        cell.value = 0.0;
        return cell;
    }
    const TableCell::Measure measure = measureAt(row, column);
    const Result<double> si = parseQuantity(text.toStdString(), measure.dimension, units_);
    if (!si) return fail(si.error());
    if (*si < measure.low || *si > measure.high)
        return fail({},
                    tr("%1 is outside %2 to %3.")
                        .arg(withUnit(fieldFigure(*si, measure.dimension, units_), measure.dimension, units_),
                             fieldFigure(measure.low, measure.dimension, units_),
                             withUnit(fieldFigure(measure.high, measure.dimension, units_), measure.dimension, units_))
                        .toStdString());
    cell.value = *si;
    return cell;
}

QString ValueTableModel::text(int row, int column) const
{
    const TableCell& cell = rows_[std::size_t(row)][std::size_t(column)];
    if (emptyAt(row, column)) return {};
    if (const auto* si = std::get_if<double>(&cell.value))
        return fieldFigure(*si, measureAt(row, column).dimension, units_);
    if (const auto* choice = std::get_if<int>(&cell.value)) return columns_[std::size_t(column)].choices.value(*choice);
    if (const auto* words = std::get_if<QString>(&cell.value)) return *words;
    return dash;
}

QString ValueTableModel::placeWords(int row, int column) const
{
    return tr("row %1, %2").arg(row + 1).arg(columns_[std::size_t(column)].head);
}

int ValueTableModel::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : int(rows_.size()); }
int ValueTableModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : int(columns_.size());
}

QVariant ValueTableModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || std::size_t(index.row()) >= rows_.size()) return {};
    const TableColumn& head = columns_[std::size_t(index.column())];
    const bool figure = head.kind == TableColumn::Kind::quantity;
    const bool usable = editable(index.row(), index.column()), empty = emptyAt(index.row(), index.column());
    switch (role) {
    case Qt::DisplayRole: {
        const QString shown = text(index.row(), index.column());
        return figure && usable && !empty && mixed(index.column())
                   ? withUnit(shown, measureAt(index.row(), index.column()).dimension, units_)
                   : shown;
    }
    case Qt::EditRole:
        return text(index.row(), index.column());
    case Qt::ToolTipRole:
        return empty ? QVariant(head.atZero) : QVariant();
    case Qt::TextAlignmentRole:
        return int((figure ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    case Qt::FontRole:
        return figure || head.kind == TableColumn::Kind::computed ? figureFont(Letters::body) : QVariant();
    case Qt::ForegroundRole:
        return index.row() == begun_ || std::holds_alternative<std::monostate>(cell(index).value)
                   ? QVariant(currentPlotPalette().dim)
                   : QVariant();
    case Qt::AccessibleTextRole:
        return usable ? placeWords(index.row(), index.column()) + QStringLiteral(": ") +
                            (empty    ? head.atZero
                             : figure ? withUnit(text(index.row(), index.column()),
                                                 measureAt(index.row(), index.column()).dimension, units_)
                                      : text(index.row(), index.column()))
                      : QVariant();
    default:
        return {};
    }
}

QVariant ValueTableModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation == Qt::Vertical) return role == Qt::DisplayRole ? QVariant(section + 1) : QVariant();
    if (section < 0 || std::size_t(section) >= columns_.size()) return {};
    const TableColumn& head = columns_[std::size_t(section)];
    const bool figure = head.kind == TableColumn::Kind::quantity;
    const QString unit = figure && !mixed(section) ? unitName(head.dimension, units_) : QString();
    switch (role) {
    case Qt::DisplayRole:
    case Qt::AccessibleTextRole:
        return unit.isEmpty() ? head.head : head.head + QLatin1Char(' ') + unit;
    case Qt::ToolTipRole:
        return unit.isEmpty() ? head.meaning
                              : tr("%1\nin %2; %3 to %4")
                                    .arg(head.meaning, unit, fieldFigure(head.low, head.dimension, units_),
                                         fieldFigure(head.high, head.dimension, units_));
    case Qt::TextAlignmentRole:
        return int((figure ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    default:
        return {};
    }
}

Qt::ItemFlags ValueTableModel::flags(const QModelIndex& index) const
{
    Qt::ItemFlags flags = Qt::ItemIsSelectable | Qt::ItemIsEnabled;
    if (index.isValid() && editable(index.row(), index.column())) flags |= Qt::ItemIsEditable;
    return flags;
}

}  // namespace portwright
