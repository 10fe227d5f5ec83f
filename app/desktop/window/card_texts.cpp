// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/card_texts.h"
#include "app/desktop/components/figure_text.h"

#include <QCoreApplication>

#include <cmath>

namespace portwright {
namespace {

const QString unknown = QStringLiteral("\u2013");

QString tr(const char* text) { return QCoreApplication::translate("Card", text); }

QString shown(const std::optional<double>& si, Dimension dimension, UnitSystem units)
{
    return si && std::isfinite(*si) ? figureText(*si, dimension, units) : unknown;
}

QString ranged(const std::optional<double>& si, const std::optional<Ranged>* range, UnitSystem units)
{
    if (!si || !std::isfinite(*si) || !range || !*range) return shown(si, Dimension::frequency, units);
    return rangedText(*si, (*range)->uncertainty, Dimension::frequency, units);
}

}  // namespace

CardFigures cardFigures(const HousingResult* result, const std::optional<AtCursor>& at, double cursor, UnitSystem units)
{
    const Computed* computed = result ? result->computed.get() : nullptr;
    const bool tuned = computed && computed->summary.fb.has_value();
    const std::optional<double> none;
    CardFigures all;
    const Uncertainty* known = result ? result->uncertainty.get() : nullptr;
    all.figures[0] = {tuned ? tr("Tuning") : tr("Resonance"),
                      ranged(computed ? (tuned ? computed->summary.fb : computed->summary.fc) : none,
                             known ? (tuned ? &known->tuning : &known->resonance) : nullptr, units)};
    all.figures[1] = {tr("3 dB down at"),
                      ranged(computed ? computed->summary.f3 : none, known ? &known->f3 : nullptr, units)};
    all.figures[2] = {tr("Least load"), shown(computed && computed->summary.impedanceMinimum
                                                  ? std::optional(computed->summary.impedanceMinimum->impedance)
                                                  : none,
                                              Dimension::resistance, units)};
    all.figures[3] = {tr("Loudest"), shown(at ? std::optional(at->loudest) : none, Dimension::level, units)};
    const QString hertz = shown(cursor, Dimension::frequency, units);
    if (at)
        all.remark = at->limit == LimitKind::none
                         ? tr("at %1, nothing limits").arg(hertz)
                         : tr("at %1, by %2").arg(hertz, QString::fromStdString(nameOf(at->limit)));
    return all;
}

}  // namespace portwright
