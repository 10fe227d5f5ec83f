// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

#include "core/cavity/fill_csv.h"

namespace portwright {
namespace {

std::vector<double>& readingsOf(FillMeasurement& fill)
{
    return fill.medium == FillMedium::waterByWeight ? fill.masses : fill.volumes;
}
const std::vector<double>& readingsOf(const FillMeasurement& fill)
{
    return fill.medium == FillMedium::waterByWeight ? fill.masses : fill.volumes;
}

}  // namespace

void fillRows(MeasureDesk& desk, Form& form)
{
    const auto* fill = desk.method<FillMeasurement>();
    const bool weighed = fill->medium == FillMedium::waterByWeight;
    form.group(Form::tr("How it was filled"));
    form.choice({.label = Form::tr("With"),
                 .names = {Form::tr("water, weighed"), Form::tr("water, measured"), Form::tr("rice, pellets, beads")},
                 .field = QStringLiteral("measurement/medium"),
                 .read =
                     [&desk](const Project& p) {
                         const Measurement* m = desk.measurementIn(p);
                         const auto* f = m ? std::get_if<FillMeasurement>(&m->method) : nullptr;
                         return f ? int(f->medium) : 0;
                     },
                 .write =
                     [&desk](Project& p, int medium) {
                         Measurement* m = desk.measurementIn(p);
                         if (auto* f = m ? std::get_if<FillMeasurement>(&m->method) : nullptr)
                             f->medium = FillMedium(medium);
                     }});
    form.group(Form::tr("Readings"));
    using F = FillMeasurement;
    ValueTable* table = methodTable<FillMeasurement>(
        desk, form, Form::tr("Readings of the fill"),
        {weighed ? quantityColumn(Form::tr("Water"), "measurement", "readings_g")
                 : quantityColumn(Form::tr("Poured back"), "measurement", "readings_l")},
        [](const FillMeasurement& m) {
            TableRows rows;
            for (const double reading : readingsOf(m))
                rows.push_back({quantityCell(reading)});
            return rows;
        },
        [](FillMeasurement& m, const TableRows& rows) {
            readingsOf(m).clear();
            for (const TableRow& row : rows)
                readingsOf(m).push_back(quantityIn(row[0]));
        },
        [](const TableRows& before) { return before.empty() ? TableRow{quantityCell(0)} : before.back(); });
    table->setShownRows(5);
    csvRows(
        form, QStringLiteral("fill"),
        [&desk] {
            const auto* now = desk.method<FillMeasurement>();
            return now ? fillCsv(*now) : std::string();
        },
        [&desk](const std::string& text) -> std::optional<Error> {
            const auto read = parseFillCsv(text);
            if (!read) return read.error();
            desk.editMethod<FillMeasurement>(Form::tr("Read Fill"), [&](FillMeasurement& m) {
                m.medium = read->medium;
                m.masses = read->masses;
                m.volumes = read->volumes;
                for (const auto given :
                     {&F::temperature, &F::massResolution, &F::volumeResolution, &F::residue, &F::packingDifference})
                    if ((*read).*given) m.*given = (*read).*given;
            });
            return {};
        });
    form.group(Form::tr("How well it is known"));
    if (weighed) {
        methodQuantity(desk, form, "temperature_c", Form::tr("Water is at"), &F::temperature);
        methodQuantity(desk, form, "scale_step_g", Form::tr("Step of the scale"), &F::massResolution);
    } else {
        methodQuantity(desk, form, "vessel_step_ml", Form::tr("Step of the vessel"), &F::volumeResolution);
    }
    methodQuantity(desk, form, "residue_ml", Form::tr("Left behind"), &F::residue);
    if (fill->medium == FillMedium::dry)
        methodQuantity(desk, form, "packing_pct", Form::tr("Packing differs"), &F::packingDifference);
}

}  // namespace portwright
