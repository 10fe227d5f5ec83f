// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/ledger/ledger_rows.h"

#include <QCoreApplication>

#include <algorithm>
#include <cmath>
#include <set>

namespace portwright {
namespace {

QString words(const char* text) { return QCoreApplication::translate("Ledger", text); }

/// Tenths of a decibel as printed; far out values (nothing radiates) count as absent.
std::optional<long> tenths(double level)
{
    if (!std::isfinite(level) || std::abs(level) > 1e6) return std::nullopt;
    return std::lround(level * 10);
}

const LedgerEntry* entryOf(const Ledger& ledger, int cause)
{
    for (const LedgerEntry& e : ledger.entries)
        if (int(e.cause) == cause) return &e;
    return nullptr;
}

/// The running level before an entry.
double before(const Ledger& ledger, const LedgerEntry& entry)
{
    return &entry == ledger.entries.data() ? ledger.start : (&entry - 1)->running;
}

/// Core's sentences with the locale's decimal mark between digits.
QString localised(const std::string& sentence, const QLocale& locale)
{
    QString text = QString::fromStdString(sentence);
    for (qsizetype i = 1; i + 1 < text.size(); ++i)
        if (text[i] == u'.' && text[i - 1].isDigit() && text[i + 1].isDigit())
            text.replace(i, 1, locale.decimalPoint());
    return text;
}

LedgerCell stepCell(const Ledger& ledger, int cause, const QLocale& locale)
{
    const LedgerEntry* entry = entryOf(ledger, cause);
    LedgerCell cell;
    if (!entry) return cell;
    cell.from = before(ledger, *entry);
    cell.to = entry->running;
    cell.sentence = localised(entry->sentence, locale);
    cell.small = std::abs(cell.to - cell.from) < 0.05;
    const auto a = tenths(cell.from), b = tenths(cell.to);
    const bool silent = !entry->present && cell.from == cell.to;
    if (a && b && !silent) cell.tenths = *b - *a;
    return cell;
}

LedgerCell totalCell(double level, const std::string& sentence, const QLocale& locale)
{
    LedgerCell cell;
    cell.tenths = tenths(level);
    cell.from = cell.to = level;
    cell.sentence = localised(sentence, locale);
    return cell;
}

/// "9.6 dB more than housing A reaches here."
QString endSentence(const std::vector<LedgerColumn>& columns, std::size_t i, QLocale locale)
{
    locale.setNumberOptions(QLocale::OmitGroupSeparator);
    const auto own = tenths(columns[i].ledger.end);
    if (!own) return words("Nothing reaches the rider here.");
    for (const LedgerColumn& other : columns) {
        const auto theirs = tenths(other.ledger.end);
        if (&other == &columns[i] || !theirs) continue;
        const QString letter(QChar(u'A' + other.slot % 26));
        const long more = *own - *theirs;
        if (more == 0) return words("As much as housing %1 reaches here.").arg(letter);
        const QString size = locale.toString(std::abs(double(more)) / 10, 'f', 1) + QStringLiteral("\u00a0dB");
        return (more > 0 ? words("%1 more than housing %2 reaches here.")
                         : words("%1 less than housing %2 reaches here."))
            .arg(size, letter);
    }
    return words("What is left.");
}

}  // namespace

std::vector<LedgerRow> ledgerRows(const std::vector<LedgerColumn>& columns, const QLocale& locale)
{
    std::vector<LedgerRow> rows;
    if (columns.empty()) return rows;
    LedgerRow start{LedgerRow::Kind::start, -1, words("Endless baffle"), {}};
    for (const LedgerColumn& c : columns)
        start.cells.push_back(totalCell(c.ledger.start, c.ledger.startSentence, locale));
    rows.push_back(start);

    std::set<int> causes;
    for (const LedgerColumn& c : columns)
        for (const LedgerEntry& e : c.ledger.entries)
            if (e.present || e.step != 0) causes.insert(int(e.cause));
    for (const int cause : causes) {
        LedgerRow row{LedgerRow::Kind::step, cause, {}, {}};
        for (const LedgerColumn& c : columns) {
            row.cells.push_back(stepCell(c.ledger, cause, locale));
            if (const LedgerEntry* e = entryOf(c.ledger, cause); e && (row.name.isEmpty() || e->present))
                row.name = QString::fromStdString(e->name);
        }
        rows.push_back(row);
    }

    LedgerRow end{LedgerRow::Kind::end, -1, words("At the rider"), {}};
    for (std::size_t i = 0; i < columns.size(); ++i) {
        end.cells.push_back(totalCell(columns[i].ledger.end, {}, locale));
        end.cells.back().sentence = endSentence(columns, i, locale);
    }
    rows.push_back(end);
    return rows;
}

QString ledgerFigure(const LedgerCell& cell, LedgerRow::Kind kind, const QLocale& locale)
{
    if (!cell.tenths) return QString(QChar(0x2013));
    const long t = *cell.tenths;
    QLocale plain = locale;
    plain.setNumberOptions(QLocale::OmitGroupSeparator);
    const QString size = plain.toString(std::abs(double(t)) / 10, 'f', 1);
    if (t < 0) return QChar(0x2212) + size;
    return kind == LedgerRow::Kind::step && t > 0 ? QChar(u'+') + size : size;
}

}  // namespace portwright
