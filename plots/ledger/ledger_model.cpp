// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/ledger/ledger_view.h"

namespace portwright {

void LedgerModel::setLedger(std::vector<LedgerColumn> columns, int chosenSlot)
{
    beginResetModel();
    columns_ = std::move(columns);
    rows_ = ledgerRows(columns_);
    chosen_ = chosenSlot;
    endResetModel();
}

int LedgerModel::chosenColumn() const
{
    for (std::size_t i = 0; i < columns_.size(); ++i)
        if (columns_[i].slot == chosen_) return int(i);
    return columns_.empty() ? -1 : 0;
}

int LedgerModel::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : int(rows_.size()); }

int LedgerModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : int(columns_.size()) + 2;
}

QVariant LedgerModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || index.row() >= rowCount() || index.column() >= columnCount()) return {};
    const LedgerRow& row = rows_[std::size_t(index.row())];
    const int n = int(columns_.size());
    if (role == Qt::TextAlignmentRole && index.column() > 0 && index.column() <= n)
        return int(Qt::AlignRight | Qt::AlignVCenter);
    if (role != Qt::DisplayRole && role != Qt::AccessibleTextRole) return {};
    if (index.column() == 0) return row.name;
    if (index.column() <= n) return ledgerFigure(row.cells[std::size_t(index.column() - 1)], row.kind, QLocale());
    const int chosen = chosenColumn();
    return chosen < 0 ? QString() : row.cells[std::size_t(chosen)].sentence;
}

QVariant LedgerModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (role != Qt::DisplayRole || orientation != Qt::Horizontal) return {};
    if (section == 0) return tr("Cause");
    if (section <= int(columns_.size()))
        return tr("%1, dB").arg(housingLetter(columns_[std::size_t(section - 1)].slot));
    return tr("Why");
}

QString LedgerModel::text() const
{
    QString out;
    const int n = columnCount();
    for (int c = 0; c < n; ++c)
        out += headerData(c, Qt::Horizontal).toString() + (c + 1 < n ? u'\t' : u'\n');
    for (int r = 0; r < rowCount(); ++r)
        for (int c = 0; c < n; ++c)
            out += index(r, c).data().toString() + (c + 1 < n ? u'\t' : u'\n');
    return out;
}

}  // namespace portwright
