// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/measured_rows.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/measure/measure_desk.h"
#include "app/desktop/stations/stations.h"
#include "core/cavity/net_volume.h"

#include <QAction>
#include <QMenu>
#include <QPushButton>

#include <algorithm>

namespace portwright {
namespace {

Cavity* cavityIn(Workbench& bench, Project& p, bool second)
{
    const auto index = bench.chosenIn(p);
    if (!index) return nullptr;
    Housing& housing = p.housings[*index];
    if (!second) return &housing.cavity;
    return housing.secondCavity ? &housing.secondCavity->cavity : nullptr;
}

const Cavity* cavityIn(Workbench& bench, const Project& p, bool second)
{
    return cavityIn(bench, const_cast<Project&>(p), second);
}

QString place(bool second, const char* key)
{
    return (second ? QStringLiteral("second_cavity/") : QStringLiteral("cavity/")) + QLatin1String(key);
}

std::optional<double> numberOf(Workbench& bench, const Project& p, bool second,
                               const std::function<std::optional<double>(const Cavity&)>& take)
{
    const Cavity* cavity = cavityIn(bench, p, second);
    return cavity ? take(*cavity) : std::nullopt;
}

/// The measured values of one cavity, renewed with the form.
MeasureDesk* deskFor(Workbench& bench, Form& form, bool second)
{
    auto* desk = new MeasureDesk(bench, &form);
    desk->setCavity(second ? CavityId::second : CavityId::main);
    form.whenRefreshed([desk] { desk->refresh(); });
    return desk;
}

QString shapeKey(const Cavity& cavity) { return profileOf(cavity) ? QStringLiteral("shape") : QStringLiteral("plain"); }

void sourceRow(Workbench& bench, Form& form, MeasureDesk& desk, bool second)
{
    form.choice({.label = Form::tr("Volume"),
                 .names = {Form::tr("typed"), Form::tr("from measurements")},
                 .field = place(second, "from"),
                 .read =
                     [&bench, second](const Project& p) {
                         const Cavity* cavity = cavityIn(bench, p, second);
                         return cavity && cavity->netVolume == 0 ? 1 : 0;
                     },
                 .write =
                     [&bench, &desk, second](Project& p, int measured) {
                         Cavity* cavity = cavityIn(bench, p, second);
                         if (!cavity || measured == (cavity->netVolume == 0 ? 1 : 0)) return;
                         const auto& found = desk.fromMeasurements();
                         cavity->netVolume = measured ? 0 : found ? found->value : 1e-3;
                         cavity->netUncertainty = measured ? std::nullopt
                                                  : found  ? found->uncertainty
                                                           : std::optional<double>();
                     }});
}

void typedRow(Workbench& bench, Form& form, bool second)
{
    FieldRow* row = form.quantity({.object = "cavity",
                                   .key = "net_volume_l",
                                   .label = Form::tr("Net volume"),
                                   .field = place(second, "net_volume_l"),
                                   .read =
                                       [&bench, second](const Project& p) {
                                           return numberOf(bench, p, second,
                                                           [](const Cavity& c) { return std::optional(c.netVolume); });
                                       },
                                   .write =
                                       [&bench, second](Project& p, std::optional<double> si) {
                                           if (Cavity* c = cavityIn(bench, p, second))
                                               c->netVolume = si.value_or(c->netVolume);
                                       }});
    row->setUncertaintyEditable(true);
    row->setOriginEditable(false);
    row->setOrigin(Origin::measured);
    const auto put = [&bench, second](std::optional<double> u) {
        bench.document().edit(Form::tr("Change Uncertainty"), [&](Project& p) {
            if (Cavity* c = cavityIn(bench, p, second)) c->netUncertainty = u;
        });
    };
    QObject::connect(row, &FieldRow::uncertaintyCommitted, &form, [put](double u) { put(u); });
    QObject::connect(row, &FieldRow::uncertaintyCleared, &form, [put] { put({}); });
    form.whenRefreshed([&bench, row, second] {
        const Cavity* c = cavityIn(bench, bench.project(), second);
        row->setUncertaintySi(c ? c->netUncertainty : std::nullopt);
    });
}

void measuredRow(Form& form, MeasureDesk& desk)
{
    form.derived(
        Form::tr("Net volume"), Dimension::volume,
        [&desk]() -> std::optional<double> {
            return desk.inForce() ? std::optional(desk.inForce()->value) : std::nullopt;
        },
        [&desk]() -> QString {
            const auto& found = desk.inForce();
            return found && found->uncertainty
                       ? QStringLiteral("\u00B1 ") +
                             uncertaintyText(*found->uncertainty, Dimension::volume, desk.units())
                       : QString();
        });
    form.note([&desk] {
        const auto& found = desk.inForce();
        return found ? std::pair(Mark::fine, QString())
                     : std::pair(found.error().field == "deductions" ? Mark::cannot : Mark::missing,
                                 sentenceOf(found.error()));
    });
}

QString readingName(const Measurement& m)
{
    const QString name = QString::fromStdString(nameOf(m));
    return m.note.empty() ? name : name + QStringLiteral(", ") + QString::fromStdString(m.note);
}

void readingRows(Form& form, MeasureDesk& desk)
{
    const auto reading = [&desk](std::size_t i) -> const VolumeReading* {
        return i < desk.readings().size() ? &desk.readings()[i] : nullptr;
    };
    for (std::size_t i = 0; i < desk.cavity()->measurements.size(); ++i) {
        form.derived(
            readingName(desk.cavity()->measurements[i]), Dimension::volume,
            [reading, i]() -> std::optional<double> {
                const VolumeReading* r = reading(i);
                return r && !r->error ? std::optional(r->volume) : std::nullopt;
            },
            [reading, i, &desk]() -> QString {
                const VolumeReading* r = reading(i);
                if (!r || r->error) return Form::tr("none");
                if (r->unused) return Form::tr("unused");
                return QStringLiteral("\u00B1 ") + uncertaintyText(r->uncertainty, Dimension::volume, desk.units());
            });
    }
    form.note([&desk] {
        QStringList apart;
        for (int i = 0; i < int(desk.readings().size()); ++i)
            if (desk.disagrees(i)) apart << readingName(desk.cavity()->measurements[std::size_t(i)]);
        if (apart.isEmpty()) return std::pair(Mark::fine, QString());
        return std::pair(Mark::note, Form::tr("More than two standard uncertainties from the others: %1.")
                                         .arg(apart.join(QStringLiteral("; "))));
    });
}

void shapeChoice(Workbench& bench, Form& form)
{
    form.choice({.label = Form::tr("Reckoned"),
                 .names = {Form::tr("as it asks for"), Form::tr("as one spring"), Form::tr("as tube segments")},
                 .field = QStringLiteral("cavity/model"),
                 .read =
                     [&bench](const Project& p) {
                         const Cavity* c = cavityIn(bench, p, false);
                         return c && c->model ? 1 + int(*c->model) : 0;
                     },
                 .write =
                     [&bench](Project& p, int model) {
                         Cavity* c = cavityIn(bench, p, false);
                         if (!c) return;
                         if (model == 0)
                             c->model.reset();
                         else
                             c->model = CavityModel(model - 1);
                     }});
}

void portPlaceRow(Workbench& bench, Form& form, std::size_t opening, const QString& label)
{
    const auto portIn = [&bench, opening](Project& p) -> PortOpening* {
        const auto index = bench.chosenIn(p);
        if (!index || opening >= p.housings[*index].openings.size()) return nullptr;
        return std::get_if<PortOpening>(&p.housings[*index].openings[opening].kind);
    };
    FieldRow* row = form.quantity({.object = "port",
                                   .key = "at_mm",
                                   .label = label,
                                   .field = QStringLiteral("openings/%1/at_mm").arg(opening),
                                   .optional = true,
                                   .read = [portIn](const Project& p) -> std::optional<double> {
                                       const PortOpening* port = portIn(const_cast<Project&>(p));
                                       return port ? port->at : std::nullopt;
                                   },
                                   .write =
                                       [portIn](Project& p, std::optional<double> at) {
                                           if (PortOpening* port = portIn(p)) port->at = at;
                                       }});
    row->box()->setEmptyShows(Form::tr("far end"));
}

}  // namespace

QString measuredKey(const Housing& housing)
{
    const auto keyOf = [](const Cavity& cavity) {
        QString key = cavity.netVolume > 0 ? QStringLiteral("typed") : QStringLiteral("measured");
        for (const Measurement& m : cavity.measurements)
            key += QLatin1Char('|') + readingName(m);
        for (const Deduction& d : cavity.deductions)
            key += QStringLiteral("|-%1").arg(int(d.kind));
        return key + QLatin1Char('|') + shapeKey(cavity);
    };
    QString key = keyOf(housing.cavity);
    if (housing.secondCavity) key += QStringLiteral("||") + keyOf(housing.secondCavity->cavity);
    for (const Opening& opening : housing.openings)
        key += QString::number(opening.kind.index());
    return key;
}

void volumeRows(Workbench& bench, Form& form, bool second)
{
    MeasureDesk* desk = deskFor(bench, form, second);
    const Cavity* cavity = cavityIn(bench, bench.project(), second);
    const bool typed = cavity->netVolume > 0;
    if (!cavity->measurements.empty() || !typed) sourceRow(bench, form, *desk, second);
    if (typed)
        typedRow(bench, form, second);
    else
        measuredRow(form, *desk);
    if (!cavity->measurements.empty()) {
        form.group(Form::tr("Measured"));
        readingRows(form, *desk);
    }
    if (second) return;
    auto* measure = form.button(
        Form::tr("Measure the cavity\u2026"), [&bench] { emit bench.measureWanted(); },
        Form::tr("By filling, ruler, scan or resonances; Ctrl+M"));
    measure->setProperty("helpTopic", QStringLiteral("measure"));
}

void deductionRows(Workbench& bench, Form& form, bool second)
{
    const Cavity* cavity = cavityIn(bench, bench.project(), second);
    if (cavity->measurements.empty() && cavity->deductions.empty()) return;
    MeasureDesk* desk = deskFor(bench, form, second);
    const auto edit = [&bench, second](const QString& step, const std::function<void(Cavity&)>& change) {
        commitTyping();
        bench.document().edit(step, [&](Project& p) {
            if (Cavity* c = cavityIn(bench, p, second)) change(*c);
        });
    };
    const QStringList kinds{Form::tr("driver"),    Form::tr("ports"), Form::tr("bracing"),
                            Form::tr("amplifier"), Form::tr("foam"),  Form::tr("other")};
    form.group(Form::tr("Taken off the bare shell"));
    for (std::size_t i = 0; i < cavity->deductions.size(); ++i) {
        const auto deductionIn = [&bench, second, i](Project& p) -> Deduction* {
            Cavity* c = cavityIn(bench, p, second);
            return c && i < c->deductions.size() ? &c->deductions[i] : nullptr;
        };
        const Deduction& deduction = cavity->deductions[i];
        FieldRow* row = form.quantity(
            {.object = "deduction",
             .key = "volume_l",
             .label = deduction.name.empty() ? kinds[int(deduction.kind)] : QString::fromStdString(deduction.name),
             .field = place(second, "deductions/%1/volume_l").arg(i),
             .optional = true,
             .read = [deductionIn](const Project& p) -> std::optional<double> {
                 const Deduction* d = deductionIn(const_cast<Project&>(p));
                 return d ? d->volume : std::nullopt;
             },
             .write =
                 [deductionIn](Project& p, std::optional<double> si) {
                     if (Deduction* d = deductionIn(p)) d->volume = si;
                 }});
        form.whenRefreshed([desk, row, i] {
            const auto& found = desk->fromMeasurements();
            const bool known = found && i < found->deductions.size();
            row->box()->setEmptyShows(known ? localNumber(QString::fromStdString(formatNumber(
                                                  found->deductions[i].volume, Dimension::volume, desk->units())))
                                            : QString());
        });
        form.words([desk, i]() -> QString {
            const auto& found = desk->fromMeasurements();
            if (!found || i >= found->deductions.size()) return {};
            const DeductionLine& line = found->deductions[i];
            return Form::tr("%1, \u00B1\u00A0%2\u00A0%3")
                .arg(localSentence(line.from), uncertaintyText(line.uncertainty, Dimension::volume, desk->units()),
                     unitName(Dimension::volume, desk->units()));
        });
        form.buttons({{Form::tr("Remove %1").arg(kinds[int(deduction.kind)]), [edit, i] {
                           edit(Form::tr("Remove Deduction"), [i](Cavity& c) {
                               if (i < c.deductions.size())
                                   c.deductions.erase(c.deductions.begin() + std::ptrdiff_t(i));
                           });
                       }}});
    }
    auto* add = form.button(Form::tr("Take off"), [] {}, Form::tr("Add something that takes air from the bare shell"));
    auto* menu = new QMenu(add);
    for (int kind = 0; kind < kinds.size(); ++kind)
        QObject::connect(menu->addAction(kinds[kind]), &QAction::triggered, &form, [edit, kind] {
            edit(Form::tr("Add Deduction"), [kind](Cavity& c) {
                Deduction fresh;
                fresh.kind = DeductionKind(kind);
                c.deductions.push_back(fresh);
            });
        });
    add->setMenu(menu);
}

void shapeRows(Workbench& bench, Form& form)
{
    const Housing* housing = bench.chosenHousing();
    if (!profileOf(housing->cavity)) return;
    form.group(Form::tr("Its shape"));
    shapeChoice(bench, form);
    form.quantity({.object = "cavity",
                   .key = "driver_at_mm",
                   .label = Form::tr("Driver at"),
                   .field = QStringLiteral("cavity/driver_at_mm"),
                   .optional = true,
                   .read =
                       [&bench](const Project& p) {
                           return numberOf(bench, p, false, [](const Cavity& c) { return c.driverAt; });
                       },
                   .write =
                       [&bench](Project& p, std::optional<double> at) {
                           if (Cavity* c = cavityIn(bench, p, false)) c->driverAt = at;
                       }});
    int ports = 0;
    for (std::size_t i = 0; i < housing->openings.size(); ++i)
        if (std::holds_alternative<PortOpening>(housing->openings[i].kind) &&
            housing->openings[i].cavity.value_or(CavityId::main) == CavityId::main)
            portPlaceRow(bench, form, i, Form::tr("Port %1 at").arg(++ports));
    form.words([&bench]() -> QString {
        const Housing* h = bench.chosenHousing();
        const auto profile = h ? profileOf(h->cavity) : std::nullopt;
        if (!profile || profile->at.size() < 2) return {};
        return Form::tr("Places count from the first end; the cavity is %1 long.")
            .arg(figureText(profile->at.back() - profile->at.front(), Dimension::length, bench.units()));
    });
}

void certaintyRows(Workbench& bench, Form& form)
{
    const auto uncertainty = [&bench]() -> const Uncertainty* {
        const HousingResult* result = bench.chosenResult();
        return result ? result->uncertainty.get() : nullptr;
    };
    QObject::connect(&bench.computation(), &Computation::rangesReady, &form, &Form::refresh);
    form.group(Form::tr("How sure"));
    using Take = std::function<std::optional<Ranged>(const Uncertainty&)>;
    const auto row = [&](const QString& label, Dimension dimension, const Take& take) {
        const auto now = [uncertainty, take]() -> std::optional<Ranged> {
            return uncertainty() ? take(*uncertainty()) : std::nullopt;
        };
        ValueRow* made = form.derived(
            label, dimension,
            [now]() -> std::optional<double> {
                const auto found = now();
                return found ? std::optional(found->value) : std::nullopt;
            },
            [now, dimension, &bench]() -> QString {
                const auto found = now();
                return found && found->uncertainty > 0
                           ? QStringLiteral("\u00B1 ") + uncertaintyText(found->uncertainty, dimension, bench.units())
                           : QString();
            });
        form.whenRefreshed([made, now] { made->setVisible(now().has_value()); });
    };
    row(Form::tr("Tuning"), Dimension::frequency, [](const Uncertainty& u) { return u.tuning; });
    row(Form::tr("Resonance"), Dimension::frequency, [](const Uncertainty& u) { return u.resonance; });
    row(Form::tr("3 dB down at"), Dimension::frequency, [](const Uncertainty& u) { return u.f3; });
    row(Form::tr("Port cut to"), Dimension::length, [](const Uncertainty& u) -> std::optional<Ranged> {
        return u.cut ? std::optional(u.cut->length) : std::nullopt;
    });
    MeasureDesk* desk = deskFor(bench, form, false);
    form.words([&bench, uncertainty, desk] {
        const HousingResult* result = bench.chosenResult();
        if (!result || !result->computed) return QString();
        if (!result->rangesReckoned) return Form::tr("Being found out.");
        const auto& net = desk->inForce();
        if (net && !net->stated && !net->forgotten.empty())
            return Form::tr("First take off what driver and ports take from the bare shell: until then the net volume "
                            "is too large.");
        return uncertainty() ? localSentence(measureNext(*uncertainty()))
                             : Form::tr("No value it rests on has an uncertainty yet.");
    });
}

}  // namespace portwright
