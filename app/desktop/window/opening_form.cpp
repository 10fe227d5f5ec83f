// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/port_rows.h"
#include "app/desktop/window/station_editor.h"

namespace portwright {
namespace {

template <class Kind> using Take = std::function<std::optional<double>(const Kind&)>;
template <class Kind> using Put = std::function<void(Kind&, std::optional<double>)>;

Opening* openingOf(Workbench& bench, Project& project, std::size_t index)
{
    const auto chosen = bench.chosenIn(project);
    if (!chosen || index >= project.housings[*chosen].openings.size()) return nullptr;
    return &project.housings[*chosen].openings[index];
}

/// One quantity of an opening of a certain kind.
template <class Kind>
FieldRow* kindRow(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key,
                  const QString& label, bool optional, Take<Kind> take, Put<Kind> put)
{
    return form.quantity({.object = object,
                          .key = key,
                          .label = label,
                          .field = QStringLiteral("openings/%1/%2").arg(index).arg(QLatin1String(key)),
                          .optional = optional,
                          .read = [&bench, index, take](const Project& p) -> std::optional<double> {
                              const auto chosen = bench.chosenIn(p);
                              if (!chosen || index >= p.housings[*chosen].openings.size()) return {};
                              const auto* kind = std::get_if<Kind>(&p.housings[*chosen].openings[index].kind);
                              return kind ? take(*kind) : std::nullopt;
                          },
                          .write =
                              [&bench, index, put](Project& p, std::optional<double> si) {
                                  if (Opening* opening = openingOf(bench, p, index))
                                      if (auto* kind = std::get_if<Kind>(&opening->kind)) put(*kind, si);
                              }});
}

template <class Kind>
void needed(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key, const QString& label,
            double Kind::* member)
{
    kindRow<Kind>(
        bench, form, index, object, key, label, false, [member](const Kind& k) { return std::optional(k.*member); },
        [member](Kind& k, std::optional<double> si) { k.*member = si.value_or(k.*member); });
}

template <class Kind>
void counted(Workbench& bench, Form& form, std::size_t index, const char* object, std::optional<int> Kind::* member)
{
    kindRow<Kind>(
        bench, form, index, object, "count", Form::tr("How many"), true,
        [member](const Kind& k) { return k.*member ? std::optional(double(*(k.*member))) : std::nullopt; },
        [member](Kind& k, std::optional<double> n) { k.*member = n ? std::optional(int(*n + 0.5)) : std::nullopt; });
}

void portChoice(Workbench& bench, Form& form, std::size_t index, const QString& label, const QStringList& names,
                const QString& key, std::function<int(const PortOpening&)> take,
                std::function<void(PortOpening&, int)> put)
{
    form.choice({.label = label,
                 .names = names,
                 .field = QStringLiteral("openings/%1/%2").arg(index).arg(key),
                 .read =
                     [&bench, index, take](const Project& p) {
                         const auto chosen = bench.chosenIn(p);
                         const auto* port = chosen && index < p.housings[*chosen].openings.size()
                                                ? std::get_if<PortOpening>(&p.housings[*chosen].openings[index].kind)
                                                : nullptr;
                         return port ? take(*port) : 0;
                     },
                 .write =
                     [&bench, index, put](Project& p, int choice) {
                         Opening* opening = openingOf(bench, p, index);
                         if (auto* port = opening ? std::get_if<PortOpening>(&opening->kind) : nullptr)
                             put(*port, choice);
                     }});
}

void rowsOf(const PortOpening& port, Workbench& bench, Form& form, std::size_t i)
{
    if (port.shape == PortShape::round) {
        needed<PortOpening>(bench, form, i, "port", "diameter_mm", Form::tr("Bore"), &PortOpening::diameter);
    } else {
        needed<PortOpening>(bench, form, i, "port", "width_mm", Form::tr("Width"), &PortOpening::width);
        needed<PortOpening>(bench, form, i, "port", "height_mm", Form::tr("Height"), &PortOpening::height);
    }
    needed<PortOpening>(bench, form, i, "port", "length_mm", Form::tr("Length"), &PortOpening::length);
    counted<PortOpening>(bench, form, i, "port", &PortOpening::count);
    const QStringList ends{Form::tr("free"), Form::tr("flush with the wall")};
    portChoice(
        bench, form, i, Form::tr("Inner end"), ends, QStringLiteral("inner_end"),
        [](const PortOpening& p) { return int(p.innerEnd); },
        [](PortOpening& p, int end) { p.innerEnd = TubeEnd(end); });
    portChoice(
        bench, form, i, Form::tr("Outer end"), ends, QStringLiteral("outer_end"),
        [](const PortOpening& p) { return int(p.outerEnd); },
        [](PortOpening& p, int end) { p.outerEnd = TubeEnd(end); });
    portChoice(
        bench, form, i, Form::tr("Reckoned"), {Form::tr("as a tube"), Form::tr("by the textbook")},
        QStringLiteral("end_correction"), [](const PortOpening& p) { return p.classical ? 1 : 0; },
        [](PortOpening& p, int classical) { p.classical = classical == 1; });
    kindRow<PortOpening>(
        bench, form, i, "port", "loss_q", Form::tr("Loss Q"), true, [](const PortOpening& p) { return p.lossQ; },
        [](PortOpening& p, std::optional<double> si) { p.lossQ = si; })
        ->box()
        ->setEmptyShows(Form::tr("computed"));  // from bore, length and air, where none is given
    const auto wallOf = [](const PortOpening& p) { return p.wall; };
    const auto insideOf = [](const PortOpening& p) { return p.inside; };
    kindRow<PortOpening>(bench, form, i, "port", "wall_mm", Form::tr("Its wall"), true, wallOf,
                         [](PortOpening& p, std::optional<double> si) { p.wall = si; });
    kindRow<PortOpening>(bench, form, i, "port", "inside_mm", Form::tr("Inside"), true, insideOf,
                         [](PortOpening& p, std::optional<double> si) { p.inside = si; });
    portFollowRows(bench, form, i);
}

void rowsOf(const LeakByQ&, Workbench& bench, Form& form, std::size_t i)
{
    needed<LeakByQ>(bench, form, i, "leak", "q", Form::tr("Leak Q"), &LeakByQ::q);
}

void rowsOf(const LeakHole&, Workbench& bench, Form& form, std::size_t i)
{
    needed<LeakHole>(bench, form, i, "leak", "diameter_mm", Form::tr("Bore"), &LeakHole::diameter);
    needed<LeakHole>(bench, form, i, "leak", "depth_mm", Form::tr("Depth"), &LeakHole::depth);
    counted<LeakHole>(bench, form, i, "leak", &LeakHole::count);
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
    QString key = QString::fromStdString(housing->name) + (housing->secondCavity ? QLatin1Char('2') : QLatin1Char('1'));
    for (const Opening& opening : housing->openings)
        key += headingOf(opening) + QLatin1Char(';');
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
                 QStringLiteral("tuning"), QStringLiteral("tube")});
}

}  // namespace

StationForm openingForm() { return {QStringLiteral("opening"), rowsKey, build}; }

}  // namespace portwright
