// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/stations/fibre_fill.h"
#include "app/desktop/stations/measured_rows.h"
#include "app/desktop/stations/station_editor.h"
#include "core/cavity/net_volume.h"

namespace portwright {
namespace {

Housing* chosenToEdit(Workbench& bench, Project& project)
{
    const auto index = bench.chosenIn(project);
    return index ? &project.housings[*index] : nullptr;
}

const Housing* chosenIn(Workbench& bench, const Project& project)
{
    const auto index = bench.chosenIn(project);
    return index ? &project.housings[*index] : nullptr;
}

using CavityOf = std::function<Cavity*(Housing&)>;

/// What lines one cavity; `where` is "cavity" or "second_cavity".
void liningRows(Workbench& bench, Form& form, const QString& where, const CavityOf& cavityOf)
{
    const auto read = [&bench, cavityOf](const Project& p, auto take) -> std::optional<double> {
        const Housing* found = chosenIn(bench, p);
        if (!found) return {};
        Housing copy = *found;
        const Cavity* cavity = cavityOf(copy);
        return cavity ? take(*cavity) : std::nullopt;
    };
    const auto write = [&bench, cavityOf](Project& p, auto put) {
        Housing* found = chosenToEdit(bench, p);
        if (Cavity* cavity = found ? cavityOf(*found) : nullptr) put(*cavity);
    };
    form.quantity(
        {.object = "cavity",
         .key = "fill_factor",
         .label = Form::tr("Fill factor"),
         .field = where + QStringLiteral("/fill_factor"),
         .optional = true,
         .read = [read](const Project& p) { return read(p, [](const Cavity& c) { return c.fillFactor; }); },
         .write = [write](Project& p, std::optional<double> si) { write(p, [&](Cavity& c) { c.fillFactor = si; }); }});
    form.quantity(
        {.object = "cavity",
         .key = "absorption_q",
         .label = Form::tr("Lining Q"),
         .field = where + QStringLiteral("/absorption_q"),
         .optional = true,
         .read = [read](const Project& p) { return read(p, [](const Cavity& c) { return c.absorptionQ; }); },
         .write = [write](Project& p, std::optional<double> si) { write(p, [&](Cavity& c) { c.absorptionQ = si; }); }});
}

void holeRows(Workbench& bench, Form& form)
{
    const auto row = [&](const char* key, const QString& label, bool optional, auto take, auto put) {
        form.quantity({.object = "hole",
                       .key = key,
                       .label = label,
                       .field = QStringLiteral("second_cavity/hole/") + QLatin1String(key),
                       .optional = optional,
                       .read = [&bench, take](const Project& p) -> std::optional<double> {
                           const Housing* h = chosenIn(bench, p);
                           return h && h->secondCavity ? take(h->secondCavity->hole) : std::nullopt;
                       },
                       .write =
                           [&bench, put](Project& p, std::optional<double> si) {
                               if (Housing* h = chosenToEdit(bench, p); h && h->secondCavity)
                                   put(h->secondCavity->hole, si);
                           }});
    };
    row(
        "diameter_mm", Form::tr("Hole bore"), false, [](const Hole& h) { return std::optional(h.diameter); },
        [](Hole& h, std::optional<double> si) { h.diameter = si.value_or(h.diameter); });
    row(
        "depth_mm", Form::tr("Hole depth"), false, [](const Hole& h) { return std::optional(h.depth); },
        [](Hole& h, std::optional<double> si) { h.depth = si.value_or(h.depth); });
    row(
        "loss_q", Form::tr("Hole loss Q"), true, [](const Hole& h) { return h.lossQ; },
        [](Hole& h, std::optional<double> si) { h.lossQ = si; });
}

/// Inner sizes of a box-like cavity, from which the tuning of a port follows more closely. A measured shape says it
/// all.
void sizeRows(Workbench& bench, Form& form)
{
    const auto size = [&](const char* key, const QString& label, std::optional<double> Cavity::* member) {
        form.quantity({.object = "cavity",
                       .key = key,
                       .label = label,
                       .field = QStringLiteral("cavity/") + QLatin1String(key),
                       .optional = true,
                       .read = [&bench, member](const Project& p) -> std::optional<double> {
                           const Housing* h = chosenIn(bench, p);
                           return h ? h->cavity.*member : std::nullopt;
                       },
                       .write =
                           [&bench, member](Project& p, std::optional<double> si) {
                               if (Housing* h = chosenToEdit(bench, p)) h->cavity.*member = si;
                           }});
    };
    form.fold(Form::tr("Inner size"), QStringLiteral("cavity/size"), [&bench]() -> QString {
        const Housing* h = bench.chosenHousing();
        if (!h) return {};
        QStringList sizes;
        for (const auto& one : {h->cavity.width, h->cavity.breadth, h->cavity.depth})
            sizes << (one ? QString::fromStdString(formatNumber(*one, Dimension::length, bench.units()))
                          : QStringLiteral("\u2013"));
        if (!h->cavity.width && !h->cavity.breadth && !h->cavity.depth) return Form::tr("assumed from the volume");
        return sizes.join(QStringLiteral(" \u00D7 ")) + QChar(0x00A0) + unitName(Dimension::length, bench.units());
    });
    size("width_mm", Form::tr("Width"), &Cavity::width);
    size("breadth_mm", Form::tr("Breadth"), &Cavity::breadth);
    size("depth_mm", Form::tr("Depth"), &Cavity::depth);
    form.words([] {
        return Form::tr("Depth lies along the port, width and breadth across it. Two are enough: the third follows "
                        "from the volume.");
    });
    form.endFold();
}

void driverCountRows(Workbench& bench, Form& form)
{
    form.quantity({.object = "housing",
                   .key = "driver_count",
                   .label = Form::tr("Drivers"),
                   .field = QStringLiteral("driver_count"),
                   .optional = true,
                   .read = [&bench](const Project& p) -> std::optional<double> {
                       const Housing* h = chosenIn(bench, p);
                       return h && h->driverCount ? std::optional(double(*h->driverCount)) : std::nullopt;
                   },
                   .write =
                       [&bench](Project& p, std::optional<double> count) {
                           if (Housing* h = chosenToEdit(bench, p))
                               h->driverCount = count ? std::optional(int(*count + 0.5)) : std::nullopt;
                       }});
    form.choice({.label = Form::tr("Wiring"),
                 .names = {Form::tr("in parallel"), Form::tr("in series")},
                 .field = QStringLiteral("wiring"),
                 .read =
                     [&bench](const Project& p) {
                         const Housing* h = chosenIn(bench, p);
                         return h && h->wiring == Wiring::series ? 1 : 0;
                     },
                 .write =
                     [&bench](Project& p, int series) {
                         if (Housing* h = chosenToEdit(bench, p))
                             h->wiring = series ? Wiring::series : Wiring::parallel;
                     }});
    form.choice({.label = Form::tr("Drawn as"),
                 .names = {Form::tr("lower"), Form::tr("fairing"), Form::tr("lid")},
                 .field = QStringLiteral("cavity/outline"),
                 .read =
                     [&bench](const Project& p) {
                         const Housing* h = chosenIn(bench, p);
                         return h ? int(h->cavity.outline.value_or(OutlineFamily::lower)) : 0;
                     },
                 .write =
                     [&bench](Project& p, int family) {
                         if (Housing* h = chosenToEdit(bench, p)) h->cavity.outline = OutlineFamily(family);
                     }});
}

void setSecondCavity(Workbench& bench, bool wanted)
{
    commitTyping();
    bench.document().edit(wanted ? Form::tr("Add Second Cavity") : Form::tr("Remove Second Cavity"), [&](Project& p) {
        Housing* h = chosenToEdit(bench, p);
        if (!h) return;
        if (wanted) {
            SecondCavity second;
            second.cavity.netVolume = h->cavity.netVolume > 0 ? h->cavity.netVolume : 1e-3;
            second.hole = Hole{.diameter = 50e-3, .depth = 3e-3, .lossQ = {}, .unknown = {}};  // a place to start from
            h->secondCavity = second;
        } else {
            h->secondCavity.reset();
            for (Opening& opening : h->openings)
                opening.cavity.reset();
        }
    });
}

QString rowsKey(Workbench& bench)
{
    const Housing* h = bench.chosenHousing();
    return !h ? QStringLiteral("none") : QString::fromStdString(h->name) + QLatin1Char('|') + measuredKey(*h);
}

void build(Workbench& bench, Form& form)
{
    const Housing* housing = bench.chosenHousing();
    form.title(Form::tr("Cavity"), housing ? QString::fromStdString(housing->name) : QString(), true);
    if (!housing) return missingHousingRow(form);
    form.group(Form::tr("Air behind the driver"));
    volumeRows(bench, form, false);
    form.words([] { return Form::tr("Net: what is left after driver, port and bracing are taken out."); });
    deductionRows(bench, form, false);
    form.group(Form::tr("Lining"));
    liningRows(bench, form, QStringLiteral("cavity"), [](Housing& h) { return &h.cavity; });
    fibreFillRows(bench, form);
    shapeRows(bench, form);
    if (!profileOf(housing->cavity)) sizeRows(bench, form);
    form.group(Form::tr("In it"));
    driverCountRows(bench, form);
    if (housing->secondCavity) {
        form.group(Form::tr("Second cavity"));
        volumeRows(bench, form, true);
        deductionRows(bench, form, true);
        liningRows(bench, form, QStringLiteral("second_cavity"),
                   [](Housing& h) { return h.secondCavity ? &h.secondCavity->cavity : nullptr; });
        holeRows(bench, form);
        form.buttons({{Form::tr("Remove second cavity"), [&bench] { setSecondCavity(bench, false); }}});
    } else {
        form.buttons({{Form::tr("Add a second cavity"), [&bench] { setSecondCavity(bench, true); }}});
    }
    form.group(Form::tr("What follows"));
    const auto model = [&bench]() -> const Computed* {
        const HousingResult* r = bench.chosenResult();
        return r ? r->computed.get() : nullptr;
    };
    form.derived(Form::tr("Air spring"), Dimension::ratio, [model]() -> std::optional<double> {
        const Computed* c = model();
        return c && c->model.Cab > 0 ? std::optional(c->model.driverCount * Cas(c->model.driver.driver) / c->model.Cab)
                                     : std::nullopt;
    });
    form.words([] { return Form::tr("how many times as stiff as the cone's suspension"); });
    form.derived(Form::tr("Resonance"), Dimension::frequency, [model] {
        const Computed* c = model();
        return c ? c->summary.fc : std::nullopt;
    });
    form.derived(Form::tr("Qtc"), Dimension::quality, [model] {
        const Computed* c = model();
        return c ? c->summary.Qtc : std::nullopt;
    });
    form.derived(Form::tr("3 dB down at"), Dimension::frequency, [model] {
        const Computed* c = model();
        return c ? c->summary.f3 : std::nullopt;
    });
    certaintyRows(bench, form);
    verdictRows(bench, form, {QStringLiteral("air spring"), QStringLiteral("damping")});
}

}  // namespace

StationForm cavityForm() { return {QStringLiteral("cavity"), rowsKey, build}; }

}  // namespace portwright
