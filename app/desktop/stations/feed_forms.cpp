// SPDX-License-Identifier: GPL-3.0-or-later
// Radio (the high-pass) and Amplifier (voltage or power, rating, cable, parts in series).
#include "app/desktop/stations/station_editor.h"

#include <QPushButton>

#include <cmath>

namespace portwright {
namespace {

const Feed& feedIn(Workbench& bench, const Project& project)
{
    static const Feed none;
    if (const auto chosen = bench.chosenIn(project)) return feedOf(project, project.housings[*chosen]);
    return project.feed ? *project.feed : none;
}

using ReadFeed = std::function<std::optional<double>(const Feed&)>;
using WriteFeed = std::function<void(Feed&, std::optional<double>)>;

FieldRow* feedRow(Workbench& bench, Form& form, const char* object, const char* key, const QString& label,
                  bool optional, ReadFeed read, WriteFeed write)
{
    const QString where = QLatin1String(object) == QLatin1String("feed")
                              ? QStringLiteral("feed/")
                              : QStringLiteral("feed/%1/").arg(QLatin1String(object));
    return form.quantity(
        {.object = object,
         .key = key,
         .label = label,
         .field = where + QLatin1String(key),
         .optional = optional,
         .read = [&bench, read](const Project& p) { return read(feedIn(bench, p)); },
         .write = [&bench, write](Project& p, std::optional<double> si) { write(bench.feedToEdit(p), si); }});
}

const Computed* computedOf(Workbench& bench)
{
    const HousingResult* result = bench.chosenResult();
    return result ? result->computed.get() : nullptr;
}

void highPassRows(Workbench& bench, Form& form)
{
    QStringList names{Form::tr("not in the chain")};
    for (int order = 1; order <= 8; ++order)
        names << Form::tr("%1 dB per octave").arg(6 * order);
    form.choice({.label = Form::tr("High-pass"),
                 .names = names,
                 .field = QStringLiteral("feed/high_pass"),
                 .read =
                     [&bench](const Project& p) {
                         const Feed& f = feedIn(bench, p);
                         return f.highPass ? f.highPass->order : 0;
                     },
                 .write =
                     [&bench](Project& p, int order) {
                         Feed& feed = bench.feedToEdit(p);
                         if (order == 0) {
                             feed.highPass.reset();
                             return;
                         }
                         if (!feed.highPass)
                             feed.highPass =
                                 HighPass{.order = order, .corner = 80, .unknown = {}};  // a place to start from
                         feed.highPass->order = order;
                     }});
    if (!bench.feed().highPass) return;
    feedRow(
        bench, form, "high_pass", "corner_hz", Form::tr("Corner"), false,
        [](const Feed& f) { return f.highPass ? std::optional(f.highPass->corner) : std::nullopt; },
        [](Feed& f, std::optional<double> si) {
            if (f.highPass && si) f.highPass->corner = *si;
        });
}

void lowestCornerRows(Workbench& bench, Form& form)
{
    const auto lowest = [&bench]() -> std::optional<double> {
        const Computed* computed = computedOf(bench);
        if (!computed) return {};
        const auto corner =
            lowestHighPassCorner(computed->model, bench.feed().highPass ? bench.feed().highPass->order : 4);
        return corner ? std::optional(roundedUp(*corner, *corner < 100 ? 2 : 3)) : std::nullopt;
    };
    form.group(Form::tr("What follows"));
    form.derived(Form::tr("Lowest corner"), Dimension::frequency, lowest);
    form.words([&bench, lowest] {
        const Computed* computed = computedOf(bench);
        if (!computed) return QString();
        const int slope = 6 * (bench.feed().highPass ? bench.feed().highPass->order : 4);
        if (lowest())
            return Form::tr("that keeps the cone of %1 inside its Xmax from 20 Hz up, at %2 dB per octave")
                .arg(bench.chosenLetter())
                .arg(slope);
        return computed->model.driver.Xmax
                   ? Form::tr("the cone of %1 needs none from 20 Hz up, or none helps").arg(bench.chosenLetter())
                   : Form::tr("no Xmax: it cannot be told");
    });
    QPushButton* use = form.button(Form::tr("Use this corner"), [&bench, lowest] {
        const auto corner = lowest();
        if (corner)
            bench.document().edit(Form::tr("Set High-Pass"), [&](Project& p) {
                Feed& feed = bench.feedToEdit(p);
                HighPass filter = feed.highPass.value_or(HighPass{});
                filter.corner = *corner;
                feed.highPass = filter;
            });
    });
    form.whenRefreshed([use, lowest] { use->setVisible(lowest().has_value()); });
}

void driveRows(Workbench& bench, Form& form)
{
    form.choice({.label = Form::tr("Drive"),
                 .names = {Form::tr("a voltage"), Form::tr("a power into a load")},
                 .field = QStringLiteral("feed/drive"),
                 .read = [&bench](const Project& p) { return feedIn(bench, p).power ? 1 : 0; },
                 .write =
                     [&bench](Project& p, int byPower) {
                         Feed& feed = bench.feedToEdit(p);
                         const double volts = feedVoltage(feed);
                         const double load = feed.amplifier ? feed.amplifier->impedance : 4.0;
                         feed.voltage = byPower ? std::nullopt : std::optional(volts);
                         feed.power = byPower ? std::optional(volts * volts / load) : std::nullopt;
                         feed.into = byPower ? std::optional(load) : std::nullopt;
                     }});
    if (bench.feed().power) {
        feedRow(
            bench, form, "feed", "power_w", Form::tr("Power"), false, [](const Feed& f) { return f.power; },
            [](Feed& f, std::optional<double> si) { f.power = si ? si : f.power; });
        feedRow(
            bench, form, "feed", "into_ohm", Form::tr("into"), false, [](const Feed& f) { return f.into; },
            [](Feed& f, std::optional<double> si) { f.into = si ? si : f.into; });
        form.derived(Form::tr("Voltage"), Dimension::voltage,
                     [&bench] { return std::optional(feedVoltage(feedIn(bench, bench.document().shown()))); });
    } else {
        feedRow(
            bench, form, "feed", "voltage_v", Form::tr("Voltage"), true, [](const Feed& f) { return f.voltage; },
            [](Feed& f, std::optional<double> si) { f.voltage = si; });
    }
    feedRow(
        bench, form, "feed", "source_ohm", Form::tr("Cable etc."), true,
        [](const Feed& f) { return f.sourceResistance; },
        [](Feed& f, std::optional<double> si) { f.sourceResistance = si; });
}

void ratingRows(Workbench& bench, Form& form)
{
    form.group(Form::tr("Rating"));
    form.choice({.label = Form::tr("Amplifier"),
                 .names = {Form::tr("not judged"), Form::tr("rated at")},
                 .field = QStringLiteral("feed/amplifier"),
                 .read = [&bench](const Project& p) { return feedIn(bench, p).amplifier ? 1 : 0; },
                 .write =
                     [&bench](Project& p, int rated) {
                         Feed& feed = bench.feedToEdit(p);
                         if (!rated)
                             feed.amplifier.reset();
                         else if (!feed.amplifier)
                             feed.amplifier =
                                 AmplifierRating{.power = 50, .impedance = 4, .unknown = {}};  // a place to start from
                     }});
    if (!bench.feed().amplifier) return;
    feedRow(
        bench, form, "amplifier", "rated_w", Form::tr("Rated power"), false,
        [](const Feed& f) { return f.amplifier ? std::optional(f.amplifier->power) : std::nullopt; },
        [](Feed& f, std::optional<double> si) {
            if (f.amplifier && si) f.amplifier->power = *si;
        });
    feedRow(
        bench, form, "amplifier", "rated_ohm", Form::tr("Rated load"), false,
        [](const Feed& f) { return f.amplifier ? std::optional(f.amplifier->impedance) : std::nullopt; },
        [](Feed& f, std::optional<double> si) {
            if (f.amplifier && si) f.amplifier->impedance = *si;
        });
    form.derived(Form::tr("Clips at"), Dimension::voltage, [&bench]() -> std::optional<double> {
        const Feed& f = feedIn(bench, bench.document().shown());
        return f.amplifier ? std::optional(amplifierVoltage(*f.amplifier)) : std::nullopt;
    });
}

template <class Part>
void partRow(Workbench& bench, Form& form, std::size_t i, const char* key, const QString& label, bool optional,
             std::function<std::optional<double>(const Part&)> take,
             std::function<void(Part&, std::optional<double>)> put)
{
    form.quantity(
        {.object = "series_part",
         .key = key,
         .label = label,
         .field = QStringLiteral("feed/series_parts/%1/%2").arg(i).arg(QLatin1String(key)),
         .optional = optional,
         .read = [&bench, i, take](const Project& p) -> std::optional<double> {
             const Feed& f = feedIn(bench, p);
             const auto* part = i < f.seriesParts.size() ? std::get_if<Part>(&f.seriesParts[i].part) : nullptr;
             return part ? take(*part) : std::nullopt;
         },
         .write =
             [&bench, i, put](Project& p, std::optional<double> si) {
                 Feed& f = bench.feedToEdit(p);
                 if (auto* part = i < f.seriesParts.size() ? std::get_if<Part>(&f.seriesParts[i].part) : nullptr)
                     put(*part, si);
             }});
}

void seriesRows(Workbench& bench, Form& form)
{
    form.group(Form::tr("In series with the drivers"));
    const auto& parts = bench.feed().seriesParts;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (std::holds_alternative<SeriesCapacitor>(parts[i].part)) {
            partRow<SeriesCapacitor>(
                bench, form, i, "uf", Form::tr("%1 Capacitor").arg(i + 1), false,
                [](const SeriesCapacitor& c) { return std::optional(c.C); },
                [](SeriesCapacitor& c, std::optional<double> si) { c.C = si.value_or(c.C); });
        } else if (std::holds_alternative<SeriesCoil>(parts[i].part)) {
            partRow<SeriesCoil>(
                bench, form, i, "mh", Form::tr("%1 Coil").arg(i + 1), false,
                [](const SeriesCoil& c) { return std::optional(c.L); },
                [](SeriesCoil& c, std::optional<double> si) { c.L = si.value_or(c.L); });
            partRow<SeriesCoil>(
                bench, form, i, "ohm", Form::tr("%1 its resistance").arg(i + 1), true,
                [](const SeriesCoil& c) { return c.resistance; },
                [](SeriesCoil& c, std::optional<double> si) { c.resistance = si; });
        } else {
            partRow<SeriesResistor>(
                bench, form, i, "ohm", Form::tr("%1 Resistor").arg(i + 1), false,
                [](const SeriesResistor& r) { return std::optional(r.R); },
                [](SeriesResistor& r, std::optional<double> si) { r.R = si.value_or(r.R); });
        }
    }
    form.localChoice(Form::tr("Add"),
                     {Form::tr("choose\u2026"), Form::tr("capacitor"), Form::tr("coil"), Form::tr("resistor")}, 0,
                     [&bench](int choice) {
                         if (choice < 1) return;
                         SeriesPart part;
                         if (choice == 1)
                             part.part = SeriesCapacitor{220e-6};
                         else if (choice == 2)
                             part.part = SeriesCoil{.L = 0.5e-3, .resistance = {}};
                         else
                             part.part = SeriesResistor{1};
                         bench.document().edit(Form::tr("Add Series Part"),
                                               [&](Project& p) { bench.feedToEdit(p).seriesParts.push_back(part); });
                     });
    if (!parts.empty())
        form.buttons({{Form::tr("Remove the last part"), [&bench] {
                           bench.document().edit(Form::tr("Remove Series Part"), [&](Project& p) {
                               if (Feed& f = bench.feedToEdit(p); !f.seriesParts.empty()) f.seriesParts.pop_back();
                           });
                       }}});
}

QString radioKey(Workbench& bench)
{
    return QString::number(bench.ownFeed()) + QString::number(bench.feed().highPass.has_value());
}

void buildRadio(Workbench& bench, Form& form)
{
    form.title(Form::tr("Radio"),
               bench.ownFeed() ? Form::tr("this housing's own feed") : Form::tr("every housing on the project's feed"),
               bench.ownFeed());
    feedScopeRows(bench, form);
    form.group(Form::tr("High-pass, before the amplifier"));
    highPassRows(bench, form);
    lowestCornerRows(bench, form);
    verdictRows(bench, form, {QStringLiteral("high-pass")});
}

QString amplifierKey(Workbench& bench)
{
    const Feed& f = bench.feed();
    QString key = QString::number(bench.ownFeed()) + QString::number(f.power.has_value()) +
                  QString::number(f.amplifier.has_value());
    for (const SeriesPart& part : f.seriesParts)
        key += QString::number(part.part.index());
    return key;
}

void buildAmplifier(Workbench& bench, Form& form)
{
    form.title(Form::tr("Amplifier"),
               bench.ownFeed() ? Form::tr("this housing's own feed") : Form::tr("every housing on the project's feed"),
               bench.ownFeed());
    feedScopeRows(bench, form);
    form.group(Form::tr("What it gives"));
    driveRows(bench, form);
    ratingRows(bench, form);
    seriesRows(bench, form);
    verdictRows(bench, form, {QStringLiteral("amplifier"), QStringLiteral("load"), QStringLiteral("power")});
}

}  // namespace

StationForm radioForm() { return {QStringLiteral("radio"), radioKey, buildRadio}; }
StationForm amplifierForm() { return {QStringLiteral("amplifier"), amplifierKey, buildAmplifier}; }

}  // namespace portwright
