// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/typing.h"
#include "app/desktop/stations/opening_rows.h"
#include "app/desktop/stations/port_fields.h"
#include "app/desktop/stations/port_rows.h"
#include "app/desktop/stations/station_editor.h"
#include "app/desktop/stations/trim_rows.h"

namespace portwright {
namespace {

void rowsOf(const PortOpening& port, Workbench& bench, Form& form, std::size_t i)
{
    portFieldRows(bench, form, i, port);
    portFollowRows(bench, form, i);
    trimRows(bench, form, i);
}

void rowsOf(const LeakByQ&, Workbench& bench, Form& form, std::size_t i)
{
    needed<LeakByQ>(bench, form, i, "leak", "q", Form::tr("Leak Q"), &LeakByQ::q);
}

void rowsOf(const LeakHole&, Workbench& bench, Form& form, std::size_t i)
{
    needed<LeakHole>(bench, form, i, "leak", "diameter_mm", Form::tr("Bore"), &LeakHole::diameter);
    needed<LeakHole>(bench, form, i, "leak", "depth_mm", Form::tr("Depth"), &LeakHole::depth);
    counted<LeakHole>(bench, form, i, "leak", "count", Form::tr("How many"), &LeakHole::count);
}

void rowsOf(const LeakSlit&, Workbench& bench, Form& form, std::size_t i)
{
    needed<LeakSlit>(bench, form, i, "leak", "width_mm", Form::tr("Width"), &LeakSlit::width);
    needed<LeakSlit>(bench, form, i, "leak", "height_mm", Form::tr("Gap"), &LeakSlit::height);
    needed<LeakSlit>(bench, form, i, "leak", "depth_mm", Form::tr("Depth"), &LeakSlit::depth);
}

void rowsOf(const PassiveRadiator&, Workbench& bench, Form& form, std::size_t i)
{
    needed<PassiveRadiator>(bench, form, i, "passive", "sd_cm2", Form::tr("Sd"), &PassiveRadiator::Sd);
    needed<PassiveRadiator>(bench, form, i, "passive", "mmp_g", Form::tr("Mmp"), &PassiveRadiator::Mmp);
    needed<PassiveRadiator>(bench, form, i, "passive", "cms_mm_n", Form::tr("Cms"), &PassiveRadiator::Cms);
    needed<PassiveRadiator>(bench, form, i, "passive", "rms_kg_s", Form::tr("Rms"), &PassiveRadiator::Rms);
}

QString headingOf(const Opening& opening)
{
    struct Name {
        QString operator()(const LeakByQ&) const { return Form::tr("Leak"); }
        QString operator()(const LeakHole&) const { return Form::tr("Leak, round holes"); }
        QString operator()(const LeakSlit&) const { return Form::tr("Leak, slit"); }
        QString operator()(const PortOpening& p) const
        {
            return p.shape == PortShape::round ? Form::tr("Port, round tube") : Form::tr("Port, slot");
        }
        QString operator()(const PassiveRadiator&) const { return Form::tr("Passive radiator"); }
    };
    return std::visit(Name{}, opening.kind);
}

/// New openings to start from; every number is in view and may be changed at once.
Opening startingOpening(int choice)
{
    Opening opening{.kind = LeakByQ{10}, .cavity = {}, .unknown = {}};
    switch (choice) {
    case 1:
        opening.kind = LeakHole{.diameter = 3e-3, .depth = 3e-3, .count = {}};
        break;
    case 2:
        opening.kind = LeakSlit{.width = 0.1, .height = 0.5e-3, .depth = 5e-3};
        break;
    case 3: {
        PortOpening tube;
        tube.diameter = 50e-3;
        tube.length = 100e-3;
        opening.kind = tube;
        break;
    }
    case 4: {
        PortOpening slot;
        slot.shape = PortShape::slot;
        slot.width = 100e-3;
        slot.height = 25e-3;
        slot.length = 120e-3;
        opening.kind = slot;
        break;
    }
    case 5:
        opening.kind = PassiveRadiator{.Sd = 130e-4, .Mmp = 40e-3, .Cms = 1e-3, .Rms = 1};
        break;
    default:
        break;
    }
    return opening;
}

void addOpening(Workbench& bench, int choice)
{
    commitTyping();
    bench.document().edit(Form::tr("Add Opening"), [&](Project& p) {
        if (const auto chosen = bench.chosenIn(p)) p.housings[*chosen].openings.push_back(startingOpening(choice));
    });
}

void removeOpening(Workbench& bench, std::size_t index)
{
    bench.document().edit(Form::tr("Remove Opening"), [&](Project& p) {
        const auto chosen = bench.chosenIn(p);
        if (chosen && index < p.housings[*chosen].openings.size())
            p.housings[*chosen].openings.erase(p.housings[*chosen].openings.begin() + std::ptrdiff_t(index));
    });
}

QString rowsKey(Workbench& bench)
{
    const Housing* housing = bench.chosenHousing();
    if (!housing) return QStringLiteral("none");
    QString key = QString::fromStdString(housing->name) +
                  (housing->secondCavity ? QLatin1Char('2') : QLatin1Char('1')) +
                  (bench.units() == UnitSystem::us ? QLatin1Char('u') : QLatin1Char('m'));
    for (const Opening& opening : housing->openings) {
        key += headingOf(opening) + QLatin1Char(';');
        if (const auto* port = std::get_if<PortOpening>(&opening.kind)) key += portFieldsKey(*port);
    }
    return key;
}

void build(Workbench& bench, Form& form)
{
    const Housing* housing = bench.chosenHousing();
    form.title(Form::tr("Opening"), housing ? QString::fromStdString(housing->name) : QString(), true);
    if (!housing) return missingHousingRow(form);
    if (housing->openings.empty())
        form.words(
            [] { return Form::tr("Closed and tight: nothing of this cavity reaches the outside but the cone."); });
    for (std::size_t i = 0; i < housing->openings.size(); ++i) {
        form.group(headingOf(housing->openings[i]));
        std::visit([&](const auto& kind) { rowsOf(kind, bench, form, i); }, housing->openings[i].kind);
        if (housing->secondCavity)
            form.choice({.label = Form::tr("Opens"),
                         .names = {Form::tr("the main cavity"), Form::tr("the second cavity")},
                         .field = QStringLiteral("openings/%1/cavity").arg(i),
                         .read =
                             [&bench, i](const Project& p) {
                                 const auto chosen = bench.chosenIn(p);
                                 return chosen && i < p.housings[*chosen].openings.size() &&
                                                p.housings[*chosen].openings[i].cavity == CavityId::second
                                            ? 1
                                            : 0;
                             },
                         .write =
                             [&bench, i](Project& p, int second) {
                                 if (Opening* opening = openingOf(bench, p, i))
                                     opening->cavity = second ? CavityId::second : CavityId::main;
                             }});
        if (std::holds_alternative<PortOpening>(housing->openings[i].kind))
            form.buttons({{Form::tr("Find another\u2026"), [&bench] { emit bench.findWanted(); }},
                          {Form::tr("Make parts\u2026"), [&bench] { emit bench.partsWanted(); }}});
        form.buttons({{Form::tr("Remove this one"), [&bench, i] { removeOpening(bench, i); }}});
    }
    form.group(Form::tr("One more"));
    form.localChoice(Form::tr("Add"),
                     {Form::tr("choose\u2026"), Form::tr("leak by Q"), Form::tr("leaky holes"), Form::tr("leaky slit"),
                      Form::tr("round port"), Form::tr("slot port"), Form::tr("passive radiator")},
                     0, [&bench](int choice) {
                         if (choice > 0) addOpening(bench, choice - 1);
                     });
    verdictRows(bench, form,
                {QStringLiteral("port air"), QStringLiteral("port area"), QStringLiteral("leak"),
                 QStringLiteral("tuning"), QStringLiteral("tube"), QStringLiteral("compression"),
                 QStringLiteral("pipe resonance"), QStringLiteral("textbook tuning")});
}

}  // namespace

StationForm openingForm() { return {QStringLiteral("opening"), rowsKey, build}; }

}  // namespace portwright
