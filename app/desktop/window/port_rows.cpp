// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/port_rows.h"

#include "core/document/fields.h"
#include "core/port/classical.h"

#include <QPushButton>
#include <cmath>

#include <algorithm>
#include <memory>

namespace portwright {
namespace {

const Computed* computedOf(Workbench& bench)
{
    const HousingResult* result = bench.chosenResult();
    return result ? result->computed.get() : nullptr;
}

const PortOpening* portOf(const Computed* computed, std::size_t opening)
{
    if (!computed || opening >= computed->model.housing.openings.size()) return nullptr;
    return std::get_if<PortOpening>(&computed->model.housing.openings[opening].kind);
}

bool aloneInMain(const Housing& housing, std::size_t opening)
{
    const auto ports = std::count_if(housing.openings.begin(), housing.openings.end(), [](const Opening& o) {
        return std::holds_alternative<PortOpening>(o.kind) && o.cavity.value_or(CavityId::main) == CavityId::main;
    });
    return ports == 1 && housing.openings[opening].cavity.value_or(CavityId::main) == CavityId::main;
}

/// A port value of the shown project, or none where the housing cannot be computed.
void follow(Workbench& bench, Form& form, std::size_t opening, const QString& label, Dimension dimension,
            const std::function<std::optional<double>(const Computed&, const PortOpening&)>& value)
{
    form.derived(label, dimension, [&bench, opening, value]() -> std::optional<double> {
        const Computed* computed = computedOf(bench);
        const PortOpening* port = portOf(computed, opening);
        return port ? value(*computed, *port) : std::nullopt;
    });
}

/// A wanted tuning, the length it takes, and a button that puts it in.
void lengthRows(Workbench& bench, Form& form, std::size_t opening)
{
    const auto wanted = std::make_shared<std::optional<double>>();  // Hz; the field's alone, not the project's
    const auto length = [&bench, opening, wanted]() -> Result<double> {
        const Computed* computed = computedOf(bench);
        const PortOpening* port = portOf(computed, opening);
        if (!port || !*wanted) return fail({}, {});
        if (!aloneInMain(computed->model.housing, opening))
            return fail({}, Form::tr("Only for a port that is alone on the main cavity.").toStdString());
        return lengthForTuning(*port, **wanted, computed->model.Cab, computed->model.air);
    };
    const FieldInfo* info = fieldInfo("driver", "fs_hz");
    auto* row = new FieldRow(Form::tr("Tune to"), Dimension::frequency);
    row->box()->setRangeSi(info->min, info->max);
    row->box()->setOptional(true);
    row->setMeaning(Form::tr("wanted tuning; the length for it stands below, Return puts it in"));
    row->setHelpTopic(QStringLiteral("opening#tune_to"));
    form.add(row);
    form.derived(Form::tr("takes a length of"), Dimension::length, [length]() -> std::optional<double> {
        const auto found = length();
        return found ? std::optional(*found) : std::nullopt;
    });
    form.words([length] {
        const auto found = length();
        return found ? QString() : QString::fromStdString(found.error().message);
    });
    const auto use = [&bench, opening, length] {
        const auto found = length();
        if (!found) return;
        bench.document().edit(Form::tr("Tune the Port"), [&](Project& p) {
            const auto chosen = bench.chosenIn(p);
            if (auto* port = chosen ? std::get_if<PortOpening>(&p.housings[*chosen].openings[opening].kind) : nullptr)
                port->length = std::round(*found * 1e4) / 1e4;  // a tenth of a millimetre is as fine as a tube is cut
        });
    };
    QPushButton* set = form.button(Form::tr("Use this length"), use);
    form.whenRefreshed([set, length] { set->setVisible(length().has_value()); });
    const auto take = [&form, wanted](std::optional<double> hertz) {
        *wanted = hertz;
        form.refresh();
    };
    QObject::connect(row->box(), &QuantityBox::previewed, &form, [take](double hertz) { take(hertz); });
    QObject::connect(row->box(), &QuantityBox::committed, &form, [take](double hertz) { take(hertz); });
    QObject::connect(row->box(), &QuantityBox::cleared, &form, [take] { take({}); });
    QObject::connect(row->box(), &QuantityBox::entered, &form, use);
}

}  // namespace

void portFollowRows(Workbench& bench, Form& form, std::size_t opening)
{
    form.group(Form::tr("What follows"));
    follow(bench, form, opening, Form::tr("Tuning"), Dimension::frequency,
           [](const Computed& c, const PortOpening&) { return c.summary.fb; });
    follow(bench, form, opening, Form::tr("Air in motion"), Dimension::mass,
           [](const Computed& c, const PortOpening& p) {
               const double section = countOf(p) * areaOf(p);
               return std::optional(portInertance(p, c.model.air) * section * section);
           });
    follow(bench, form, opening, Form::tr("Tube holds"), Dimension::volume,
           [](const Computed&, const PortOpening& p) { return std::optional(countOf(p) * areaOf(p) * p.length); });
    follow(bench, form, opening, Form::tr("Tube rings at"), Dimension::frequency,
           [](const Computed& c, const PortOpening& p) {
               return std::optional(c.model.air.c / (2 * (p.length + endCorrections(p))));
           });
    follow(bench, form, opening, Form::tr("Bore to start from"), Dimension::bore,
           [](const Computed& c, const PortOpening& p) -> std::optional<double> {
               if (!c.model.driver.Xmax || !c.summary.fb || p.shape != PortShape::round) return {};
               return startingBore(*c.summary.fb,
                                   c.model.driverCount * c.model.driver.driver.Sd * *c.model.driver.Xmax);
           });
    lengthRows(bench, form, opening);
}

}  // namespace portwright
