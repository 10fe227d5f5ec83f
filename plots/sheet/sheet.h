// SPDX-License-Identifier: GPL-3.0-or-later
// The comparison on one page: charts, cuts, key figures, verdicts, cautions, inputs, version and date. Light colours.
#pragma once

#include "core/document/project.h"
#include "core/quantity/quantity.h"
#include "core/response/verdicts.h"
#include "core/result.h"
#include "plots/chart/shown_curves.h"
#include "plots/cut/cut_geometry.h"
#include "plots/ledger/ledger_rows.h"

#include <QByteArray>
#include <QDate>
#include <QSize>
#include <QStringList>

#include <array>
#include <optional>
#include <vector>

class QPainter;

namespace portwright {

enum class SheetFormat { png, svg, pdf };

struct SheetVerdict {
    State state = State::note;
    QString text;
};

struct SheetHousing {
    int slot = 0;
    QString name;
    UnitSystem units = UnitSystem::metric;
    ShownCurves curves;
    double loudest = 0;  ///< dB, see loudestShown()
    std::optional<CutGeometry> cut;
    std::vector<std::pair<QString, QString>> figures;  ///< "Tuning", "88.4 Hz"
    std::vector<SheetVerdict> verdicts;                ///< worst first
    QString inputs;                                    ///< one line: driver, volume, openings, feed
};

struct ComparisonSheet {
    QString title;
    std::vector<SheetHousing> housings;
    UnitSystem units = UnitSystem::metric;          ///< of all that is shown
    std::optional<double> travelLimit, airLimit;    ///< in the shown unit
    bool travelLimitsDiffer = false;                ///< the tightest one is drawn, and called so
    double frequencyFrom = 20, frequencyTo = 1000;  ///< Hz
    std::vector<LedgerColumn> ledgers;              ///< empty: no ledger
    QStringList cautions;
    QString inputs;    ///< feed, place, air
    QString colophon;  ///< "Portwright 0.1.0, 2026-11-25"
};

/// Solves the housings (all if none is named) and gathers their sheet. Errors name the housing or the JSON pointer.
Result<ComparisonSheet> comparisonOf(const Project& project, const QStringList& housingIds, const QDate& date,
                                     UnitSystem units = UnitSystem::metric);

/// Paints the page at the painter's origin; needs a QApplication (offscreen will do).
void paintComparison(QPainter& painter, const QSizeF& size, const ComparisonSheet& sheet);

/// size: px at 96 dpi. PDF and SVG hold vectors and fonts, PNG pixels.
Result<QByteArray> renderComparison(const Project& project, const QStringList& housingIds, const QSize& size,
                                    SheetFormat format, const QDate& date = QDate::currentDate(),
                                    UnitSystem units = UnitSystem::metric);

}  // namespace portwright
