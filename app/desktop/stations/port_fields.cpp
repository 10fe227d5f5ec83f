// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/port_fields.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/stations/opening_rows.h"
#include "app/desktop/stations/stations.h"
#include "core/constants.h"
#include "core/port/separation.h"
#include "core/sizing/sizing.h"

#include <QPushButton>

namespace portwright {
namespace {

const PortOpening* portIn(Workbench& bench, std::size_t i)
{
    return kindOf<PortOpening>(bench, bench.document().shown(), i);
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
                         const auto* port = kindOf<PortOpening>(bench, p, index);
                         return port ? take(*port) : 0;
                     },
                 .write =
                     [&bench, index, put](Project& p, int choice) {
                         if (auto* port = kindOf<PortOpening>(bench, p, index)) put(*port, choice);
                     }});
}

void bodyRows(Workbench& bench, Form& form, std::size_t i, const PortOpening& port)
{
    if (port.shape == PortShape::round) {
        needed<PortOpening>(bench, form, i, "port", "diameter_mm", Form::tr("Bore"), &PortOpening::diameter);
    } else {
        needed<PortOpening>(bench, form, i, "port", "width_mm", Form::tr("Width"), &PortOpening::width);
        needed<PortOpening>(bench, form, i, "port", "height_mm", Form::tr("Height"), &PortOpening::height);
    }
    kindRow<PortOpening>(
        bench, form, i, "port", "length_mm", Form::tr("Length"), false,
        [](const PortOpening& p) { return std::optional(p.length); },
        [](PortOpening& p, std::optional<double> si) {
            if (si) p = cutTo(std::move(p), *si);
        });
    counted<PortOpening>(bench, form, i, "port", "count", Form::tr("How many"), &PortOpening::count);
    optionalRow<PortOpening>(bench, form, i, "port", "wall_mm", Form::tr("Its wall"), &PortOpening::wall);
    form.note([&bench, i]() -> std::pair<Mark, QString> {
        const HousingResult* result = bench.chosenResult();
        const QString row = result && !result->computed ? rowOf(result->error) + QLatin1Char('/') : QString();
        if (!row.startsWith(QStringLiteral("openings/%1/").arg(i))) return {};
        return {markOf(result->error, bench.document().shown()), sentenceOf(result->error)};
    });
}

QString endsRemark(Workbench& bench, const PortOpening* port)
{
    if (!port) return {};
    QStringList words;
    if (port->classical) words << Form::tr("by the textbook");
    words << (port->innerEnd == TubeEnd::free ? Form::tr("free inside") : Form::tr("flush inside"));
    const auto flared = [&](const QString& sentence, const std::optional<double>& flare) {
        if (flare.value_or(0) > 0) words << sentence.arg(figureText(*flare, Dimension::length, bench.units()));
    };
    flared(Form::tr("flare %1 in"), port->innerFlare);
    flared(Form::tr("%1 out"), port->outerFlare);
    return words.join(QStringLiteral(", "));
}

void endRows(Workbench& bench, Form& form, std::size_t i, const PortOpening& port)
{
    form.fold(Form::tr("Ends"), QStringLiteral("port/ends"),
              [&bench, i] { return endsRemark(bench, portIn(bench, i)); });
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
        bench, form, i, Form::tr("Reckoned"), {Form::tr("in its cavity"), Form::tr("by the textbook")},
        QStringLiteral("end_correction"), [](const PortOpening& p) { return p.classical ? 1 : 0; },
        [](PortOpening& p, int classical) { p.classical = classical == 1; });
    if (port.classical) {
        form.words([] {
            return Form::tr("The textbook sums know neither flares, bends and place nor the shape of the cavity.");
        });
    } else {
        optionalRow<PortOpening>(bench, form, i, "port", "inner_flare_mm", Form::tr("Inner flare"),
                                 &PortOpening::innerFlare);
        optionalRow<PortOpening>(bench, form, i, "port", "outer_flare_mm", Form::tr("Outer flare"),
                                 &PortOpening::outerFlare);
        if (port.outerEnd == TubeEnd::flush)
            optionalRow<PortOpening>(bench, form, i, "port", "front_mm", Form::tr("Front"), &PortOpening::front)
                ->box()
                ->setEmptyShows(Form::tr("a wall"));
    }
    optionalRow<PortOpening>(bench, form, i, "port", "loss_q", Form::tr("Loss Q"), &PortOpening::lossQ)
        ->box()
        ->setEmptyShows(Form::tr("computed"));  // from bore, length and air, where none is given
    FieldRow* separation = optionalRow<PortOpening>(bench, form, i, "port", "separation_k", Form::tr("End loss K"),
                                                    &PortOpening::separationK);
    form.whenRefreshed([&bench, i, separation] {
        const PortOpening* now = portIn(bench, i);
        if (!now) return;
        PortOpening estimated = *now;
        estimated.separationK.reset();
        separation->box()->setEmptyShows(separation->box()->shownText(separationOf(estimated)));
        separation->setRemark(separationIsEstimated(*now) ? Form::tr("by flare") : QString());
    });
}

QString placeRemark(Workbench& bench, const PortOpening* port)
{
    if (!port) return {};
    QStringList words;
    const auto length = [&](double si) { return figureText(si, Dimension::length, bench.units()); };
    if (port->x || port->y)
        words << Form::tr("mouth at %1, %2")
                     .arg(port->x ? length(*port->x) : QStringLiteral("\u2013"),
                          port->y ? length(*port->y) : QStringLiteral("\u2013"));
    if (port->sharedWalls.value_or(0) > 0 && port->shape == PortShape::slot)
        words << Form::tr("%1 walls shared").arg(*port->sharedWalls);
    if (port->obstacle) words << Form::tr("%1 free before it").arg(length(*port->obstacle));
    return words.isEmpty() ? Form::tr("in the middle") : words.join(QStringLiteral(", "));
}

void placeRows(Workbench& bench, Form& form, std::size_t i, const PortOpening& port)
{
    form.fold(Form::tr("Place"), QStringLiteral("port/place"),
              [&bench, i] { return placeRemark(bench, portIn(bench, i)); });
    optionalRow<PortOpening>(bench, form, i, "port", "inside_mm", Form::tr("Inside"), &PortOpening::inside)
        ->box()
        ->setEmptyShows(port.innerEnd == TubeEnd::free ? Form::tr("all of it") : Form::tr("none"));
    if (port.classical) return;
    const auto placed = [&](const char* key, const QString& label, std::optional<double> PortOpening::* member,
                            const QString& empty) {
        optionalRow<PortOpening>(bench, form, i, "port", key, label, member)->box()->setEmptyShows(empty);
    };
    if (port.shape == PortShape::slot)
        counted<PortOpening>(bench, form, i, "port", "shared_walls", Form::tr("Shared walls"),
                             &PortOpening::sharedWalls);
    placed("x_mm", Form::tr("Mouth at x"), &PortOpening::x, Form::tr("middle"));
    placed("y_mm", Form::tr("Mouth at y"), &PortOpening::y, Form::tr("middle"));
    placed("obstacle_mm", Form::tr("Free ahead"), &PortOpening::obstacle, Form::tr("far wall"));
    if (countOf(port) > 1) placed("spacing_mm", Form::tr("Spacing"), &PortOpening::spacing, Form::tr("touching"));
}

QString bendsRemark(const PortOpening* port)
{
    if (!port) return {};
    if (port->bends.empty()) return Form::tr("straight");
    double sum = 0;
    for (const Bend& bend : port->bends)
        sum += bend.angle;
    const QString degrees = QString::number(std::lround(sum * 180 / pi));
    return port->bends.size() == 1 ? Form::tr("one, %1\u00B0").arg(degrees)
                                   : Form::tr("%1, together %2\u00B0").arg(port->bends.size()).arg(degrees);
}

/// A right angle on a radius of one bore, or of less down to the least that can be bent where the length has no more
/// for it; where it has not even that, of one bore: what is missing is then told.
Bend freshBend(const PortOpening& port)
{
    constexpr double angle = pi / 2;
    const double across = port.shape == PortShape::round ? port.diameter : port.height;
    double left = port.length - port.innerFlare.value_or(0) - port.outerFlare.value_or(0);
    for (const Bend& bend : port.bends)
        left -= bend.angle * bend.radius;
    const double most = std::floor(left / angle * 1e3) / 1e3;
    const double usual = std::round(across * 1e3) / 1e3, least = std::ceil(across / 2 * 1e3) / 1e3;
    return {.angle = angle, .radius = most >= least ? std::min(usual, most) : usual, .unknown = {}};
}

void editBends(Workbench& bench, std::size_t i, const QString& step, const std::function<void(PortOpening&)>& change)
{
    commitTyping();
    bench.document().edit(step, [&](Project& p) {
        if (auto* port = kindOf<PortOpening>(bench, p, i)) change(*port);
    });
}

void bendRow(Workbench& bench, Form& form, std::size_t i, std::size_t k, const char* key, const QString& label,
             double Bend::* member)
{
    kindRow<PortOpening>(
        bench, form, i, "bend", key, label, false,
        [k, member](const PortOpening& p) {
            return k < p.bends.size() ? std::optional(p.bends[k].*member) : std::nullopt;
        },
        [k, member](PortOpening& p, std::optional<double> si) {
            if (k < p.bends.size() && si) p.bends[k].*member = *si;
        },
        QStringLiteral("bends/%1/%2").arg(k).arg(QLatin1String(key)));
}

void bendRows(Workbench& bench, Form& form, std::size_t i, const PortOpening& port)
{
    form.fold(Form::tr("Bends"), QStringLiteral("port/bends"), [&bench, i] { return bendsRemark(portIn(bench, i)); });
    for (std::size_t k = 0; k < port.bends.size(); ++k) {
        bendRow(bench, form, i, k, "angle_deg", Form::tr("Bend %1").arg(k + 1), &Bend::angle);
        bendRow(bench, form, i, k, "radius_mm", Form::tr("Radius %1").arg(k + 1), &Bend::radius);
    }
    std::vector<std::pair<QString, std::function<void()>>> verbs;
    verbs.emplace_back(Form::tr("Add a bend"), [&bench, i] {
        editBends(bench, i, Form::tr("Add Bend"), [](PortOpening& p) { p.bends.push_back(freshBend(p)); });
    });
    if (!port.bends.empty())
        verbs.emplace_back(Form::tr("Remove the last"), [&bench, i] {
            editBends(bench, i, Form::tr("Remove Bend"), [](PortOpening& p) {
                if (!p.bends.empty()) p.bends.pop_back();
            });
        });
    form.buttons(verbs);
    form.words([&bench, i]() -> QString {
        const PortOpening* now = portIn(bench, i);
        if (!now || now->bends.empty()) return {};
        return Form::tr("The length runs along the centre line.");
    });
}

}  // namespace

void portFieldRows(Workbench& bench, Form& form, std::size_t opening, const PortOpening& port)
{
    bodyRows(bench, form, opening, port);
    endRows(bench, form, opening, port);
    placeRows(bench, form, opening, port);
    if (!port.classical) bendRows(bench, form, opening, port);
    form.endFold();
}

QString portFieldsKey(const PortOpening& port)
{
    return QStringLiteral("%1%2%3%4%5%6")
        .arg(int(port.shape))
        .arg(int(port.classical))
        .arg(int(port.innerEnd))
        .arg(int(port.outerEnd))
        .arg(countOf(port) > 1 ? 1 : 0)
        .arg(port.bends.size());
}

}  // namespace portwright
