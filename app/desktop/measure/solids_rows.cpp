// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"
#include "app/desktop/measure/method_rows.h"
#include "app/desktop/measure/solid_sizes.h"
#include "core/cavity/solids.h"

#include <algorithm>
#include <array>

namespace portwright {
namespace {

enum Column { name, sign, kind, along, volume, total, origin };  // origin, not shown: which step it was

QStringList kindNames()
{
    QStringList names;
    for (const Solid& solid :
         {Solid{BoxSolid{}}, Solid{WedgeSolid{}}, Solid{RoundFrustumSolid{}}, Solid{RectangularFrustumSolid{}},
          Solid{CylinderSolid{}}, Solid{EllipsoidCapSolid{}}, Solid{BentTubeSolid{}}})
        names << QString::fromStdString(nameOf(solid));
    return names;
}

TableRows listOf(const SolidsMeasurement& m, UnitSystem units)
{
    TableRows rows;
    const auto lines = runningList(m, units);
    const auto litres = [&](double v) {
        return localNumber(QString::fromStdString(formatNumber(v, Dimension::volume, units)));
    };
    for (std::size_t i = 0; i < m.steps.size(); ++i) {
        const SolidStep& step = m.steps[i];
        const bool fine = i < lines.size() && !lines[i].error;
        rows.push_back({{.value = QString::fromStdString(step.name)},
                        {.value = step.subtract ? 1 : 0},
                        {.value = int(step.solid.index())},
                        {.value = int(step.axis)},
                        {.value = fine ? litres(lines[i].volume) : Form::tr("no size")},
                        {.value = fine ? litres(lines[i].total) : QStringLiteral("\u2013")},
                        {.value = int(i)}});
    }
    return rows;
}

void putList(SolidsMeasurement& m, const TableRows& rows)
{
    std::vector<SolidStep> steps;
    for (const TableRow& row : rows) {
        const auto from = std::size_t(choiceIn(row[origin], -1));
        SolidStep step =
            from < m.steps.size() ? m.steps[from] : SolidStep{.name = {}, .solid = BoxSolid{0.1, 0.1, 0.1}};
        step.name = wordsIn(row[name]);
        step.subtract = choiceIn(row[sign]) == 1;
        step.solid = withKind(step.solid, std::size_t(choiceIn(row[kind])));
        step.axis = SolidAxis(choiceIn(row[along], int(step.axis)));
        steps.push_back(std::move(step));
    }
    m.steps = std::move(steps);
}

TableRow freshStep(const TableRows& before)
{
    TableRow row =
        before.empty() ? TableRow{{}, {.value = 0}, {.value = 0}, {.value = 2}, {}, {}, {.value = -1}} : before.back();
    row[name] = {.value = QString()};
    return row;
}

// --- the sizes of the chosen solid, one a row ---

constexpr std::array<const char*, 3> placeNames{"base centre x", "base centre y", "base centre z"};

TableRows sizesOf(const SolidStep& step)
{
    TableRows rows;
    for (const SolidLength& length : lengthsOf(step.solid))
        rows.push_back({{.value = QString::fromStdString(length.name)},
                        {.value = length.value, .measure = measureOf("solid", length.key.c_str())},
                        {.value = QString::fromStdString(length.key)}});
    for (std::size_t i = 0; i < 3; ++i)
        rows.push_back({{.value = Form::tr(placeNames[i])},
                        {.value = step.at[i], .measure = measureOf("solid", "at_mm")},
                        {.value = QString()}});
    return rows;
}

void putSizes(SolidStep& step, const TableRows& rows)
{
    std::size_t place = 0;
    for (const TableRow& row : rows) {
        const std::string key = wordsIn(row[2]);
        double* size = key.empty() ? &step.at[std::min<std::size_t>(place++, 2)] : sizeIn(step.solid, key);
        if (size) *size = quantityIn(row[1], *size);
    }
}

void sizeRows(MeasureDesk& desk, Form& form, ValueTable* list)
{
    auto* heading = new GroupHeading({}, &form);
    form.add(heading);
    ValueTable* sizes = tableRows(form, Form::tr("Sizes of the chosen solid"),
                                  {{.head = Form::tr("Size"), .kind = TableColumn::Kind::computed},
                                   {.head = Form::tr("Value"), .kind = TableColumn::Kind::quantity}},
                                  {});
    sizes->setShownRows(8);
    const auto chosen = [&desk, list]() -> int {
        const auto* m = desk.method<SolidsMeasurement>();
        return m && !m->steps.empty() ? std::clamp(list->currentRow(), 0, int(m->steps.size()) - 1) : -1;
    };
    const auto show = [&desk, sizes, heading, chosen] {
        const int at = chosen();
        const auto* m = desk.method<SolidsMeasurement>();
        heading->setVisible(at >= 0);
        sizes->setVisible(at >= 0);
        if (at < 0) return;
        const SolidStep& step = m->steps[std::size_t(at)];
        const auto lines = runningList(*m, desk.units());
        heading->setText(QString::fromStdString(lines[std::size_t(at)].name));
        sizes->values()->setUnits(desk.units());
        sizes->setRows(sizesOf(step));
    };
    const auto change = [chosen](SolidsMeasurement& m, const TableRows& rows) {
        const int at = chosen();
        if (at >= 0 && std::size_t(at) < m.steps.size()) putSizes(m.steps[std::size_t(at)], rows);
    };
    QObject::connect(sizes, &ValueTable::previewed, &desk, [&desk, change](const TableRows& rows) {
        desk.previewMethod<SolidsMeasurement>([&](SolidsMeasurement& m) { change(m, rows); });
    });
    QObject::connect(sizes, &ValueTable::edited, &desk, [&desk, change](const TableRows& rows) {
        desk.editMethod<SolidsMeasurement>(Form::tr("Change Size"), [&](SolidsMeasurement& m) { change(m, rows); });
    });
    QObject::connect(sizes, &ValueTable::previewEnded, &desk, [&desk] { desk.endPreview(); });
    QObject::connect(list, &ValueTable::rowChosen, sizes, show, Qt::QueuedConnection);
    form.whenRefreshed(show);
}

}  // namespace

void solidsRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("Running list"));
    ValueTable* list = methodTable<SolidsMeasurement>(
        desk, form, Form::tr("Running list of solids"),
        {{.head = Form::tr("Name"), .kind = TableColumn::Kind::words, .meaning = Form::tr("what part it stands for")},
         {.head = Form::tr("Sign"),
          .kind = TableColumn::Kind::choice,
          .choices = {Form::tr("add"), Form::tr("take off")},
          .meaning = Form::tr("whether it adds air or takes it away")},
         {.head = Form::tr("Solid"),
          .kind = TableColumn::Kind::choice,
          .choices = kindNames(),
          .meaning = Form::tr("its form")},
         {.head = Form::tr("Along"),
          .kind = TableColumn::Kind::choice,
          .choices = {"x", "y", "z"},
          .meaning = Form::tr("where its height points; matters for the picture and the modes only")},
         {.head = Form::tr("Volume"), .kind = TableColumn::Kind::computed, .meaning = Form::tr("of this solid")},
         {.head = Form::tr("Total"), .kind = TableColumn::Kind::computed, .meaning = Form::tr("up to this line")}},
        [&desk](const SolidsMeasurement& m) { return listOf(m, desk.units()); }, putList, freshStep);
    list->setLeastRows(1);
    list->setShownRows(6);
    sizeRows(desk, form, list);
    form.group(Form::tr("How well it is known"));
    methodQuantity(desk, form, "length_uncertainty_mm", Form::tr("Each length"), &SolidsMeasurement::lengthUncertainty);
    form.words([&desk]() -> QString {
        const auto* m = desk.method<SolidsMeasurement>();
        const auto found = m ? solidsVolume(*m, desk.units()) : Result<SolidsVolume>(fail({}, {}));
        if (!found) return {};
        return Form::tr("Lengths give %1 of the uncertainty, what the solids miss of the shape %2.")
            .arg(figureText(found->fromLengths, Dimension::volume, desk.units()),
                 figureText(found->fromShape, Dimension::volume, desk.units()));
    });
}

}  // namespace portwright
