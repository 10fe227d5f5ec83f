// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

#include "app/desktop/components/figure_text.h"
#include "core/cavity/resonances.h"

#include <cmath>

namespace portwright {
namespace {

enum Column { bottle, resonance, fitted };

Result<BottleFit> fitOf(MeasureDesk& desk)
{
    Result<BottleFit> fit = fail({}, {});
    const auto* bottles = desk.method<BottlesMeasurement>();
    if (!bottles) return fit;
    desk.inContext([&](const CavityContext& context) {
        const SpringGauge gauge = gaugeOf(context);
        fit = fitBottles(*bottles, gauge.fs, gauge.fsUncertainty, desk.units());
    });
    return fit;
}

TableRows rowsOf(MeasureDesk& desk, const BottlesMeasurement& m)
{
    const auto fit = fitOf(desk);
    TableRows rows;
    for (std::size_t i = 0; i < m.readings.size(); ++i) {
        TableRow row{quantityCell(m.readings[i].bottle), quantityCell(m.readings[i].fc), {}};
        if (fit && i < fit->fitted.size())
            row[fitted] = {.value = figureText(fit->fitted[i], Dimension::frequency, desk.units())};
        rows.push_back(std::move(row));
    }
    return rows;
}

}  // namespace

void bottlesRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("What to do next"));
    form.note([&desk] {
        QString next;
        const auto* bottles = desk.method<BottlesMeasurement>();
        if (bottles)
            desk.inContext(
                [&](const CavityContext& context) { next = localSentence(nextBottleStep(*bottles, context)); });
        if (next.isEmpty()) next = Form::tr("The driver is not whole yet: open the Driver station first.");
        return std::pair(Mark::note, next);
    });
    form.words([] {
        return Form::tr("Everything sealed, as for the closed resonance. Read it without a bottle, then with a sealed, "
                        "rigid, full bottle inside, away from the cone.");
    });
    form.group(Form::tr("Readings"));
    ValueTable* table = methodTable<BottlesMeasurement>(
        desk, form, Form::tr("Resonances with bottles"),
        {quantityColumn(Form::tr("Bottle"), "bottle", "bottle_l"),
         quantityColumn(Form::tr("Peak at"), "bottle", "fc_hz"),
         {.head = Form::tr("Fitted"),
          .kind = TableColumn::Kind::computed,
          .meaning = Form::tr("the resonance that volume and suspension found together give")}},
        [&desk](const BottlesMeasurement& m) { return rowsOf(desk, m); },
        [](BottlesMeasurement& m, const TableRows& rows) {
            m.readings.resize(rows.size());
            for (std::size_t i = 0; i < rows.size(); ++i) {
                m.readings[i].bottle = quantityIn(rows[i][bottle]);
                m.readings[i].fc = quantityIn(rows[i][resonance]);
            }
        },
        [](const TableRows& before) {
            TableRow row(3);
            row[bottle] = quantityCell(before.empty() ? 0 : quantityIn(before.back()[bottle]) + 0.5e-3);
            row[resonance] = quantityCell(0);
            return row;
        });
    table->setLeastRows(1);
    table->setShownRows(5);
    form.group(Form::tr("What they say"));
    form.derived(Form::tr("Springy volume"), Dimension::volume, [&desk]() -> std::optional<double> {
        const auto fit = fitOf(desk);
        return fit ? std::optional(fit->springVolume) : std::nullopt;
    });
    form.derived(Form::tr("Misses by"), Dimension::frequency, [&desk]() -> std::optional<double> {
        const auto fit = fitOf(desk);
        return fit ? std::optional(std::round(10 * fit->residual) / 10) : std::nullopt;
    });
    form.group(Form::tr("How well it is known"));
    methodQuantity(desk, form, "free_resonance_hz", Form::tr("fs in open air"), &BottlesMeasurement::freeResonance);
    methodQuantity(desk, form, "uncertainty_hz", Form::tr("Each peak"), &BottlesMeasurement::uncertainty);
    methodQuantity(desk, form, "bottle_uncertainty_pct", Form::tr("Each bottle"),
                   &BottlesMeasurement::bottleUncertainty);
}

}  // namespace portwright
