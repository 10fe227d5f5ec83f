// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/stations.h"
#include "app/desktop/components/figure_text.h"

#include "app/desktop/stations/station_editor.h"
#include "core/driver/sheet.h"
#include "plots/plot_palette.h"

#include <QCoreApplication>

namespace portwright {
namespace {

QString tr(const char* text) { return QCoreApplication::translate("Station", text); }

QString shown(double si, Dimension dimension, UnitSystem units) { return figureText(si, dimension, units); }

/// "17", "4.0": the limit as the verdict's own sentence shows it.
QString limitText(const Verdict& verdict, const QString& unit, int decimals)
{
    const double limit = verdict.limit.value_or(0);
    return QLocale().toString(limit, 'f', limit >= 10 ? 0 : decimals) + QChar(0xA0) + unit;
}

QString shortWords(const Verdict& verdict, const QString& letter, UnitSystem units)
{
    const QString near = verdict.state == State::near ? tr("near") : tr("past");
    const QString subject = QString::fromStdString(verdict.subject);
    const auto limit = [&](Dimension d, int decimals) { return limitText(verdict, unitName(d, units), decimals); };
    if (subject == QLatin1String("cone travel"))
        return verdict.limit ? tr("%1 cone %2 %3").arg(letter, near, limit(Dimension::travel, 1)) : tr("Xmax missing");
    if (subject == QLatin1String("end stop")) return tr("%1 coil strikes its end stop").arg(letter);
    if (subject == QLatin1String("port air"))
        return tr("%1 air %2 %3").arg(letter, near, limit(Dimension::airSpeed, 0));
    if (subject == QLatin1String("power"))
        return verdict.limit ? tr("%1 coil %2 %3").arg(letter, near, limit(Dimension::power, 0)) : tr("power missing");
    if (subject == QLatin1String("amplifier")) return tr("%1 clips at %2").arg(letter, limit(Dimension::voltage, 1));
    if (subject == QLatin1String("load")) return tr("%1 load under %2").arg(letter, limit(Dimension::resistance, 1));
    return tr("%1 %2").arg(letter, subject);
}

/// The same without the words that the station's own name says.
QString briefWords(const Verdict& verdict, const QString& letter, UnitSystem units)
{
    const QString near = verdict.state == State::near ? tr("near") : tr("past");
    const QString subject = QString::fromStdString(verdict.subject);
    const auto limit = [&](Dimension d, int decimals) { return limitText(verdict, unitName(d, units), decimals); };
    const auto past = [&](Dimension d, int decimals) { return tr("%1 %2 %3").arg(letter, near, limit(d, decimals)); };
    if (subject == QLatin1String("end stop")) return tr("%1 end stop").arg(letter);
    if (!verdict.limit) return {};
    if (subject == QLatin1String("cone travel")) return past(Dimension::travel, 1);
    if (subject == QLatin1String("port air")) return past(Dimension::airSpeed, 0);
    if (subject == QLatin1String("power")) return past(Dimension::power, 0);
    if (subject == QLatin1String("amplifier")) return tr("%1 clips %2").arg(letter, limit(Dimension::voltage, 1));
    if (subject == QLatin1String("load")) return tr("%1 under %2").arg(letter, limit(Dimension::resistance, 1));
    return {};
}

/// The letter of a housing where there is more than one to tell apart.
QString lettered(const Project& project, std::size_t index, const QString& words)
{
    return project.housings.size() > 1 ? housingLetter(int(index)) + QChar(0xA0) + words : words;
}

/// The volume reckoned with, typed or measured.
QString volumeOf(const Project& project, std::size_t index, Workbench& bench)
{
    const auto& results = bench.computation().results();
    const bool computed = index < results.size() && results[index].computed;
    const double volume =
        computed ? results[index].computed->model.housing.cavity.netVolume : project.housings[index].cavity.netVolume;
    const QString figure = volume > 0 ? shown(volume, Dimension::volume, bench.units()) : QStringLiteral("\u2013");
    return lettered(project, index, figure);
}

QString openingText(const Housing& housing, UnitSystem units)
{
    const auto number = [units](double si, Dimension d) { return QString::fromStdString(formatNumber(si, d, units)); };
    for (const Opening& opening : housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&opening.kind)) {
            const QString unit = QChar(0xA0) + QString::fromStdString(shownUnit(Dimension::bore, units).name);
            const QString times = countOf(*port) > 1 ? tr("%1 of ").arg(countOf(*port)) : QString();
            const QString bore = port->shape == PortShape::round
                                     ? QStringLiteral("\u00D8 ") + number(port->diameter, Dimension::bore)
                                     : number(port->width, Dimension::bore) + QStringLiteral(" \u00D7 ") +
                                           number(port->height, Dimension::bore);
            return times + bore + QStringLiteral(" \u00D7 ") + number(port->length, Dimension::length) + unit;
        }
    for (const Opening& opening : housing.openings)
        if (std::holds_alternative<PassiveRadiator>(opening.kind)) return tr("passive radiator");
    for (const Opening& opening : housing.openings)
        if (const auto* leak = std::get_if<LeakByQ>(&opening.kind))
            return tr("closed, leak Q %1").arg(QLocale().toString(leak->q, 'g', 3));
    return tr("closed");
}

std::array<StationAt, stationCount> plainStations(Workbench& bench)
{
    const Project& project = bench.document().shown();
    const Feed& feed = bench.feed();
    const UnitSystem units = bench.units();
    const auto chosen = bench.chosenIn(project);
    const DriverSheet* driver = bench.driverIn(project);
    const Place place = project.place.value_or(Place{});
    std::array<StationAt, stationCount> all;
    const auto put = [&](Station station, const QString& name, const QString& figure, Mark mark) {
        all[std::size_t(station)].state =
            StationState{.name = name, .keyFigure = figure, .mark = mark, .tip = {}, .shortFigure = {}};
    };
    if (feed.highPass)
        put(Station::radio, tr("Radio"),
            tr("high-pass %1, %2 dB")
                .arg(shown(feed.highPass->corner, Dimension::frequency, units))
                .arg(6 * feed.highPass->order),
            Mark::fine);
    else
        put(Station::radio, tr("Radio"), tr("not in the chain"), Mark::absent);
    QString amplifier = shown(feedVoltage(feed), Dimension::voltage, units);
    if (feed.amplifier)
        amplifier += tr(" \u00B7 %1 in %2")
                         .arg(shown(feed.amplifier->power, Dimension::power, units),
                              QLocale().toString(feed.amplifier->impedance, 'g', 3) + QStringLiteral("\u00A0\u03A9"));
    put(Station::amplifier, tr("Amplifier"), amplifier, Mark::fine);
    if (driver)
        put(Station::driver, tr("Driver"), QString::fromStdString(driver->name), Mark::fine);
    else
        put(Station::driver, tr("Driver"), tr("choose one first"), Mark::missing);
    if (chosen) {
        put(Station::cavity, tr("Cavity"), volumeOf(project, *chosen, bench), Mark::fine);
        put(Station::opening, tr("Opening"), lettered(project, *chosen, openingText(project.housings[*chosen], units)),
            Mark::fine);
    } else {
        put(Station::cavity, tr("Cavity"), tr("no volume yet"), Mark::missing);
        put(Station::opening, tr("Opening"), tr("closed"), Mark::fine);
    }
    const bool full = place.space == Space::full;
    put(Station::rider, tr("Rider"),
        tr("%1, %2").arg(shown(distanceOf(place), Dimension::distance, units),
                         full ? tr("full space") : tr("half space")),
        Mark::fine);
    return all;
}

int badness(Mark mark)
{
    return mark == Mark::cannot ? 4 : mark == Mark::over ? 3 : mark == Mark::near ? 2 : mark == Mark::missing ? 1 : 0;
}

/// Puts a fault on a station unless a worse one stands there.
void blame(StationAt& at, Mark mark, const QString& words, const std::string& housing, const QString& field,
           const QString& tip, const QString& brief = {})
{
    if (badness(mark) <= badness(at.state.mark) && at.state.mark != Mark::absent) return;
    if (badness(mark) == 0) return;
    at.state.mark = mark;
    at.state.keyFigure = words;
    at.state.tip = tip;
    at.state.shortFigure = brief;
    at.housing = housing;
    at.field = field;
}

QString missingWords(const Error& error)
{
    const QString key = originKeyOf(QString::fromStdString(error.field));
    static const std::map<QString, QString> symbols{{"fs_hz", "fs"},
                                                    {"qes", "Qes"},
                                                    {"qms", "Qms"},
                                                    {"qts", "Qts"},
                                                    {"vas_l", "Vas"},
                                                    {"re_ohm", "Re"},
                                                    {"sd_cm2", "Sd"},
                                                    {"nominal_ohm", "Nominal"},
                                                    {"sensitivity_at", "Sensitivity's meaning"}};
    const auto symbol = symbols.find(key);
    return symbol == symbols.end() ? tr("a value is missing") : tr("%1 missing").arg(symbol->second);
}

}  // namespace

Station stationOf(const Verdict& verdict)
{
    static const std::map<std::string, Station> stations{
        {"cone travel", Station::driver},  {"end stop", Station::driver},     {"power", Station::driver},
        {"driver data", Station::driver},  {"port air", Station::opening},    {"port area", Station::opening},
        {"leak", Station::opening},        {"tuning", Station::opening},      {"tube", Station::opening},
        {"compression", Station::opening}, {"amplifier", Station::amplifier}, {"load", Station::amplifier},
        {"high-pass", Station::radio},     {"air spring", Station::cavity},   {"damping", Station::cavity}};
    const auto found = stations.find(verdict.subject);
    if (found != stations.end()) return found->second;
    return stationOf(Error{"/" + verdict.field, {}});
}

Mark markOf(const Error& error, const Project& project)
{
    const QString field = QString::fromStdString(error.field), key = originKeyOf(field);
    static const std::map<QString, std::optional<double> DriverSheet::*> values{
        {"fs_hz", &DriverSheet::fs},  {"qes", &DriverSheet::Qes},
        {"qms", &DriverSheet::Qms},   {"qts", &DriverSheet::Qts},
        {"vas_l", &DriverSheet::Vas}, {"re_ohm", &DriverSheet::Re},
        {"sd_cm2", &DriverSheet::Sd}, {"nominal_ohm", &DriverSheet::nominalImpedance}};
    if (field.startsWith(QLatin1String("/drivers/"))) {
        const std::size_t at = field.section(QLatin1Char('/'), 2, 2).toULong();
        const auto value = values.find(key);
        if (at >= project.drivers.size()) return Mark::missing;
        if (value == values.end()) return key == QLatin1String("sensitivity_at") ? Mark::missing : Mark::cannot;
        return project.drivers[at].*(value->second) ? Mark::cannot : Mark::missing;
    }
    // A volume that is not above 0 was never given, and a measurement that does not work out is half done.
    const bool unmeasured = key == QLatin1String("net_volume_l") || field.contains(QLatin1String("/measurements"));
    return unmeasured || key == QLatin1String("driver") ? Mark::missing : Mark::cannot;
}

QString rowOf(const Error& error)
{
    const QString field = QString::fromStdString(error.field).mid(1);
    if (field.startsWith(QLatin1String("drivers/"))) return QStringLiteral("driver/") + originKeyOf(field);
    if (field.startsWith(QLatin1String("housings/"))) return field.section(QLatin1Char('/'), 2);
    return field;
}

QString sentenceOf(const Error& error)
{
    const QString text = localSentence(error.message);
    return text.isEmpty() || text.endsWith(QLatin1Char('.')) ? text : text + QLatin1Char('.');
}

Station stationOf(const Error& error)
{
    const QString field = QString::fromStdString(error.field);
    if (field.startsWith(QLatin1String("/air")) || field.startsWith(QLatin1String("/place")) ||
        field.startsWith(QLatin1String("/limits")))
        return Station::rider;
    if (field.contains(QLatin1String("openings"))) return Station::opening;
    if (field.contains(QLatin1String("cavity"))) return Station::cavity;
    if (field.contains(QLatin1String("high_pass"))) return Station::radio;
    if (field.contains(QLatin1String("feed"))) return Station::amplifier;
    return Station::driver;
}

namespace {

using Stations = std::array<StationAt, stationCount>;

/// What is wrong with one housing, each fault on its station.
void blameFor(const HousingResult& result, Workbench& bench, Stations& all)
{
    const QString letter = housingLetter(result.slot);
    if (!result.computed) {
        const Mark mark = markOf(result.error, bench.document().shown());
        blame(all[std::size_t(stationOf(result.error))], mark,
              mark == Mark::missing ? missingWords(result.error) : tr("%1 cannot be").arg(letter), result.id,
              rowOf(result.error), sentenceOf(result.error));
        return;
    }
    for (const Verdict& verdict : result.computed->verdicts) {
        const Mark mark = lineOf(verdict).mark;
        if (mark == Mark::missing && stationOf(verdict) == Station::driver)
            continue;  // a limit that is not known is told on the card; the driver itself is whole
        blame(all[std::size_t(stationOf(verdict))], mark, shortWords(verdict, letter, bench.units()), result.id,
              QString::fromStdString(verdict.field), localSentence(verdict.text),
              briefWords(verdict, letter, bench.units()));
    }
}

/// A housing that fares worse than the chosen one is told in the tip alone.
void tellWorse(Stations& all, const Stations& others)
{
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (badness(others[i].state.mark) <= badness(all[i].state.mark)) continue;
        QString& tip = all[i].state.tip;
        tip += (tip.isEmpty() ? QString() : QStringLiteral("\n")) +
               tr("Another housing is worse: %1").arg(others[i].state.keyFigure);
    }
}

}  // namespace

std::array<StationAt, stationCount> stationsOf(Workbench& bench)
{
    Stations all = plainStations(bench), others;
    const Project& project = bench.document().shown();
    const Housing* chosen = bench.chosenHousing();
    for (const HousingResult& result : bench.computation().results()) {
        const bool own = chosen && result.id == chosen->id;
        if (!own && (!result.visible || (!bench.newcomer().empty() && result.id == bench.newcomer()))) continue;
        blameFor(result, bench, own ? all : others);
    }
    tellWorse(all, others);
    if (project.housings.empty())
        if (const DriverSheet* driver = bench.driverIn(project))
            if (const auto whole = complete(*driver); !whole)
                blame(all[std::size_t(Station::driver)], Mark::missing, missingWords(whole.error()), {},
                      QStringLiteral("driver/") + QString::fromStdString(whole.error().field),
                      QString::fromStdString(whole.error().message));
    return all;
}

std::pair<Station, QString> placeOf(Cause cause, const Computed& computed)
{
    const auto opening = [&](auto wanted) {
        for (std::size_t i = 0; i < computed.model.housing.openings.size(); ++i)
            if (wanted(computed.model.housing.openings[i])) return QStringLiteral("openings/%1").arg(i);
        return QString();
    };
    switch (cause) {
    case Cause::airSpring:
        return {Station::cavity, QStringLiteral("cavity/net_volume_l")};
    case Cause::leakAndLining: {
        const QString leak = opening([](const Opening& o) {
            return !std::holds_alternative<PortOpening>(o.kind) && !std::holds_alternative<PassiveRadiator>(o.kind);
        });
        return leak.isEmpty() ? std::pair(Station::cavity, QStringLiteral("cavity/absorption_q"))
                              : std::pair(Station::opening, leak);
    }
    case Cause::opening:
        return {Station::opening, opening([](const Opening& o) {
                    return std::holds_alternative<PortOpening>(o.kind) ||
                           std::holds_alternative<PassiveRadiator>(o.kind);
                })};
    case Cause::secondCavity:
        return {Station::cavity, QStringLiteral("second_cavity/net_volume_l")};
    case Cause::inductance:
        return {Station::driver, computed.inputs.driver.inductance ? QStringLiteral("driver/inductance")
                                                                   : QStringLiteral("driver/le_mh")};
    case Cause::sourceAndSeries:
        return {Station::amplifier, QStringLiteral("feed/source_ohm")};
    case Cause::highPass:
        return {Station::radio, QStringLiteral("feed/high_pass")};
    case Cause::space:
        return {Station::rider, QStringLiteral("place/space")};
    case Cause::distance:
        return {Station::rider, QStringLiteral("place/distance_m")};
    }
    return {Station::driver, {}};
}

}  // namespace portwright
