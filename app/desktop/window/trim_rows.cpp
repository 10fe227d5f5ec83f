// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/trim_rows.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/value_table.h"
#include "app/desktop/window/opening_rows.h"
#include "app/desktop/window/port_rows.h"
#include "core/cavity/net_volume.h"
#include "core/document/fields.h"
#include "core/port/geometry.h"
#include "core/port/trimming.h"

#include <QHeaderView>
#include <QPushButton>

#include <memory>

namespace portwright {
namespace {

/// The plan for what is noted, found anew only where something it rests on is another thing.
struct Trimming {
    Workbench& bench;
    std::size_t opening;
    std::shared_ptr<const Computed> of = {};
    std::optional<TrimNotes> from = {};
    Result<TrimPlan> plan = fail({}, {});

    TrimNotes* notes() const
    {
        const Housing* housing = bench.chosenHousing();
        return housing ? &bench.trimNotes(housing->id, opening) : nullptr;
    }

    const Result<TrimPlan>& now()
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        const TrimNotes* noted = notes();
        if (computed == of && noted && from == *noted) return plan;
        of = computed;
        from = noted ? std::optional(*noted) : std::nullopt;
        plan = reckon();
        return plan;
    }

private:
    Result<TrimPlan> reckon() const
    {
        const PortOpening* port = computedPort(of.get(), opening);
        if (!port || !from || !from->target) return fail({}, {});
        std::vector<CutReading> readings;
        for (const auto& [length, tuning] : from->readings)
            if (tuning > 0) readings.push_back({.length = length, .tuning = tuning, .uncertainty = 0});
        if (readings.empty()) return fail({}, {});
        if (portToTune(of->model.housing) != opening)
            return fail({}, Form::tr("Only for a port that is alone on the main cavity.").toStdString());
        CavityRoom empty = roomOfPort(*of, opening);
        const Cavity& cavity = of->model.housing.cavity;
        const double uncertainty =
            cavity.netUncertainty && cavity.netVolume > 0 ? *cavity.netUncertainty / cavity.netVolume : 0.05;
        empty.netVolume += outlineVolume(*port);
        const bool shaped = profileOf(cavity).has_value();
        const TuningOfCut cut =
            shaped ? tuningOfCut(of->model, int(opening)) : tuningOfCut(*port, empty, of->model.air);
        return trimPlan(cut, *from->target, readings, trimOptions(*port, uncertainty));
    }
};

TableRows rowsOf(const TrimNotes& notes)
{
    TableRows rows;
    for (const auto& [length, tuning] : notes.readings)
        rows.push_back({{.value = length}, tuning > 0 ? TableCell{.value = tuning} : TableCell{.value = 0.0}});
    return rows;
}

ValueTable* readingsTable(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    const FieldInfo *length = fieldInfo("port", "length_mm"), *tuning = fieldInfo("driver", "fs_hz");
    auto* table = new ValueTable(Form::tr("Measured tunings of the port"));
    table->values()->setColumns({{.head = Form::tr("Length"),
                                  .kind = TableColumn::Kind::quantity,
                                  .dimension = Dimension::length,
                                  .low = 0,
                                  .high = length->max / length->perSi,
                                  .meaning = Form::tr("its length when it was swept, mouth to mouth")},
                                 {.head = Form::tr("Tuning"),
                                  .kind = TableColumn::Kind::quantity,
                                  .dimension = Dimension::frequency,
                                  .low = 0,
                                  .high = tuning->max / tuning->perSi,
                                  .meaning = Form::tr("where the impedance dips between its two peaks; 0: not yet")}});
    table->verticalHeader()->hide();
    table->setShownRows(3);
    table->setLeastRows(1);
    table->setProperty("helpTopic", QStringLiteral("opening#trim"));
    table->setFreshRow([&bench, opening = trimming->opening](const TableRows&) -> TableRow {
        const auto* port = kindOf<PortOpening>(bench, bench.project(), opening);
        return {{.value = port ? port->length : 0.1}, {.value = 0.0}};
    });
    QObject::connect(table, &ValueTable::edited, &form, [trimming, &form](const TableRows& rows) {
        TrimNotes* notes = trimming->notes();
        if (!notes) return;
        notes->readings.clear();
        for (const TableRow& row : rows) {
            const double* l = std::get_if<double>(&row[0].value);
            const double* f = std::get_if<double>(&row[1].value);
            notes->readings.emplace_back(l ? *l : 0, f ? *f : 0);
        }
        form.refresh();
    });
    form.whenRefreshed([&bench, table, trimming] {
        TrimNotes* notes = trimming->notes();
        if (!notes) return;
        const auto* port = kindOf<PortOpening>(bench, bench.project(), trimming->opening);
        if (notes->readings.empty() && port) notes->readings.emplace_back(port->length, 0);
        table->values()->setUnits(bench.units());
        table->setRows(rowsOf(*notes));
    });
    form.add(table);
    return table;
}

void refusalLine(Form& form, ValueTable* table)
{
    auto* line = new StateLine;
    line->hide();
    QObject::connect(table, &ValueTable::refused, line, [line](const QString& sentence) {
        line->setState(sentence.isEmpty() ? Mark::fine : Mark::over, Form::tr("Not taken"), sentence);
        line->setVisible(!sentence.isEmpty());
    });
    form.add(line);
}

void targetRow(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    const FieldInfo* info = fieldInfo("driver", "fs_hz");
    auto* row = new FieldRow(Form::tr("Wanted"), Dimension::frequency);
    row->box()->setRangeSi(info->min / info->perSi, info->max / info->perSi);
    row->box()->setOptional(true);
    row->setMeaning(Form::tr("tuning of the port once it is cut"));
    row->setHelpTopic(QStringLiteral("opening#trim"));
    row->setUnitSystem(bench.units());
    form.whenRefreshed([row, trimming] {
        if (const TrimNotes* notes = trimming->notes()) row->box()->setSi(notes->target);
    });
    const auto take = [trimming, &form](std::optional<double> hertz) {
        if (TrimNotes* notes = trimming->notes()) notes->target = hertz;
        form.refresh();
    };
    QObject::connect(row->box(), &QuantityBox::committed, &form, [take](double hertz) { take(hertz); });
    QObject::connect(row->box(), &QuantityBox::cleared, &form, [take] { take({}); });
    form.add(row);
}

void planRows(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    const auto part = [&](const QString& label, auto value, auto uncertainty) {
        form.derived(
            label, Dimension::length,
            [trimming, value]() -> std::optional<double> {
                const auto& plan = trimming->now();
                return plan ? value(*plan) : std::nullopt;
            },
            [&bench, trimming, uncertainty]() -> QString {
                const auto& plan = trimming->now();
                const double u = plan ? uncertainty(*plan) : 0;
                return u > 0 ? QStringLiteral("\u00B1 ") + uncertaintyText(u, Dimension::length, bench.units())
                             : QString();
            });
    };
    part(
        Form::tr("Take off now"),
        [](const TrimPlan& p) -> std::optional<double> {
            return p.stages.empty() ? std::nullopt : std::optional(p.stages.front().takeOff);
        },
        [](const TrimPlan&) { return 0.0; });
    part(
        Form::tr("In all"), [](const TrimPlan& p) { return std::optional(p.takeOff); },
        [](const TrimPlan& p) { return p.uncertainty; });
    form.words([&bench, trimming]() -> QString {
        const auto& plan = trimming->now();
        const TrimNotes* notes = trimming->notes();
        if (!notes || !notes->target)
            return Form::tr("Cut the port some 15\u00A0% long, sweep the impedance, and note where it dips: that is "
                            "its tuning.");
        if (!plan) {
            const QString why = localSentence(plan.error().message);
            if (why.isEmpty()) return Form::tr("The tuning measured is still missing.");
            return why.endsWith(QLatin1Char('.')) ? why : why + QLatin1Char('.');
        }
        QStringList words;
        for (const std::string& sentence : trimWords(*plan, *notes->target, bench.units()))
            words << localSentence(sentence);
        return words.join(QLatin1Char(' '));
    });
}

void cutButton(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    QPushButton* cut = form.button(Form::tr("It is cut"), [&bench, trimming, &form] {
        const auto plan = trimming->now();
        TrimNotes* notes = trimming->notes();
        if (!plan || plan->stages.empty() || !notes) return;
        const double length = plan->stages.front().length;
        notes->readings.emplace_back(std::round(length * 1e4) / 1e4, 0);
        bench.document().edit(Form::tr("Trim the Port"), [&](Project& p) {
            if (const auto chosen = bench.chosenIn(p)) cutPort(p, *chosen, trimming->opening, length);
        });
        form.refresh();
    });
    form.whenRefreshed([&bench, cut, trimming] {
        const auto& plan = trimming->now();
        const bool any = plan && plan->state == TrimPlan::State::cut && !plan->stages.empty();
        cut->setVisible(any);
        if (any)
            cut->setText(Form::tr("It is cut to %1")
                             .arg(figureText(plan->stages.front().length, Dimension::length, bench.units())));
    });
}

}  // namespace

void trimRows(Workbench& bench, Form& form, std::size_t opening)
{
    const auto trimming = std::make_shared<Trimming>(Trimming{bench, opening});
    form.fold(Form::tr("Trim"), QStringLiteral("port/trim"), [&bench, trimming]() -> QString {
        const auto& plan = trimming->now();
        if (!plan) return Form::tr("cut long, sweep, take off");
        if (plan->state == TrimPlan::State::reached) return Form::tr("reached");
        return plan->stages.empty()
                   ? QString()
                   : Form::tr("take off %1")
                         .arg(figureText(plan->stages.front().takeOff, Dimension::length, bench.units()));
    });
    targetRow(bench, form, trimming);
    refusalLine(form, readingsTable(bench, form, trimming));
    planRows(bench, form, trimming);
    cutButton(bench, form, trimming);
    form.endFold();
}

}  // namespace portwright
