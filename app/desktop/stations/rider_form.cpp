// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"
#include "app/desktop/stations/station_editor.h"

namespace portwright {
namespace {

using ReadAir = std::optional<double> AirConditions::*;

void airRow(Workbench& bench, Form& form, const char* key, const QString& label, ReadAir member)
{
    form.quantity({.object = "air",
                   .key = key,
                   .label = label,
                   .field = QStringLiteral("air/") + QLatin1String(key),
                   .optional = true,
                   .read = [member](const Project& p) { return p.air ? (*p.air).*member : std::nullopt; },
                   .write =
                       [member](Project& p, std::optional<double> si) {
                           if (!p.air) p.air = AirConditions{};
                           (*p.air).*member = si;
                       }});
    (void)bench;
}

void placeRows(Form& form)
{
    form.quantity({.object = "place",
                   .key = "distance_m",
                   .label = Form::tr("Distance"),
                   .field = QStringLiteral("place/distance_m"),
                   .optional = true,
                   .read = [](const Project& p) { return p.place ? p.place->distance : std::nullopt; },
                   .write =
                       [](Project& p, std::optional<double> si) {
                           if (!p.place) p.place = Place{};
                           p.place->distance = si;
                       }});
    form.choice({.label = Form::tr("Space"),
                 .names = {Form::tr("half, over a surface"), Form::tr("full, all round")},
                 .field = QStringLiteral("place/space"),
                 .read = [](const Project& p) { return p.place && p.place->space == Space::full ? 1 : 0; },
                 .write =
                     [](Project& p, int full) {
                         if (!p.place) p.place = Place{};
                         p.place->space = full ? Space::full : Space::half;
                     }});
}

void limitRow(Form& form)
{
    form.quantity({.object = "limits",
                   .key = "port_air_m_s",
                   .label = Form::tr("Port air"),
                   .field = QStringLiteral("limits/port_air_m_s"),
                   .optional = true,
                   .read = [](const Project& p) { return p.limits ? p.limits->portAir : std::nullopt; },
                   .write =
                       [](Project& p, std::optional<double> si) {
                           if (!p.limits) p.limits = LimitSettings{};
                           p.limits->portAir = si;
                       }});
}

void airRows(Workbench& bench, Form& form)
{
    airRow(bench, form, "temperature_c", Form::tr("Temperature"), &AirConditions::temperature);
    airRow(bench, form, "relative_humidity_pct", Form::tr("Humidity"), &AirConditions::relativeHumidity);
    form.choice({.label = Form::tr("Pressure"),
                 .names = {Form::tr("from the altitude"), Form::tr("as measured")},
                 .field = QStringLiteral("air/by"),
                 .read = [](const Project& p) { return p.air && p.air->pressure ? 1 : 0; },
                 .write =
                     [](Project& p, int measured) {
                         AirConditions air = p.air.value_or(AirConditions{});
                         const auto now = airAt(air);
                         air.altitude.reset();
                         air.pressure =
                             measured ? std::optional(now ? now->pressure : pressureAtAltitude(0)) : std::nullopt;
                         p.air = air;
                     }});
    if (bench.project().air && bench.project().air->pressure)
        airRow(bench, form, "pressure_pa", Form::tr("Air pressure"), &AirConditions::pressure);
    else
        airRow(bench, form, "altitude_m", Form::tr("Altitude"), &AirConditions::altitude);
    form.group(Form::tr("What follows"));
    const auto air = [&bench]() -> std::optional<Air> {
        const auto found = airAt(bench.document().shown().air.value_or(AirConditions{}));
        return found ? std::optional(*found) : std::nullopt;
    };
    auto* density = new ValueRow(Form::tr("Density"));
    auto* sound = new ValueRow(Form::tr("Sound speed"));
    form.add(density);
    form.add(sound);
    form.whenRefreshed([&bench, density, sound, air] {
        const auto now = air();
        density->setValue(now ? QLocale().toString(now->rho, 'f', 3) : QStringLiteral("\u2013"),
                          QStringLiteral("kg/m\u00B3"));
        sound->setValueSi(now ? std::optional(now->c) : std::nullopt, Dimension::airSpeed, bench.units());
    });
    form.note([&bench]() -> std::pair<Mark, QString> {
        QStringList notes;
        for (const std::string& note : airNotes(bench.document().shown().air.value_or(AirConditions{})))
            notes << QString::fromStdString(note);
        return {Mark::note, notes.join(QLatin1Char(' '))};
    });
}

QString rowsKey(Workbench& bench) { return QString::number(bench.project().air && bench.project().air->pressure); }

void build(Workbench& bench, Form& form)
{
    form.title(Form::tr("Rider"), Form::tr("where the ear is, and in which air"), false);
    form.group(Form::tr("Place"));
    placeRows(form);
    form.group(Form::tr("Limit"));
    limitRow(form);
    form.words([&bench] {
        return Form::tr("peak, mean over the tube; %1 is common practice without a source")
            .arg(figureText(defaultPortAirLimit, Dimension::airSpeed, bench.units()));
    });
    form.group(Form::tr("Air"));
    airRows(bench, form);
}

}  // namespace

StationForm riderForm() { return {QStringLiteral("rider"), rowsKey, build}; }

}  // namespace portwright
