// SPDX-License-Identifier: GPL-3.0-or-later
// The ledger as rows of shown figures. Steps are differences of rounded running levels, so a printed column adds up.
#pragma once

#include "core/response/ledger.h"

#include <QLocale>
#include <QString>

#include <optional>
#include <vector>

namespace portwright {

struct LedgerColumn {
    int slot = 0;
    QString name;
    Ledger ledger;
};

/// One figure in tenths of a decibel, as printed.
struct LedgerCell {
    std::optional<long> tenths;  ///< absent: no such thing in this housing
    double from = 0, to = 0;     ///< dB, running levels, for the bar
    bool small = false;          ///< the unrounded step is under 0.05 dB: dimmed
    QString sentence;
};

struct LedgerRow {
    enum class Kind { start, step, end } kind = Kind::step;
    int cause = -1;  ///< Cause as a number; -1 for the two totals
    QString name;
    std::vector<LedgerCell> cells;  ///< one for each column
};

/// First row "Endless baffle", one for each cause that at least one housing has, last "At the rider".
/// Figures in sentences are written as `locale` does.
std::vector<LedgerRow> ledgerRows(const std::vector<LedgerColumn>& columns, const QLocale& locale = QLocale());

/// "−9.9", "+2.0", "103.2" (levels unsigned), "–" if absent.
QString ledgerFigure(const LedgerCell& cell, LedgerRow::Kind kind, const QLocale& locale);

}  // namespace portwright
