// SPDX-License-Identifier: GPL-3.0-or-later
// What stands on a comparison sheet: solved housings, their figures, verdicts, inputs and cautions.
#include "plots/sheet/sheet.h"

#include "core/quantity/quantity.h"
#include "core/response/limits.h"
#include "core/response/summary.h"
#include "core/response/verdicts.h"

#include <QCoreApplication>

#include <algorithm>
#include <cmath>
#include <limits>

#ifndef PORTWRIGHT_VERSION
#define PORTWRIGHT_VERSION "0"
#endif

namespace portwright {
namespace {

constexpr double cursorFrequency = 80;  ///< Hz, where the loudest clean level is told
constexpr double lowest = 10, highestFrequency = 2000;
constexpr int points = 400;

QString words(const char* text) { return QCoreApplication::translate("Sheet", text); }
QString shown(double si, Dimension dimension, UnitSystem units)
{
    return QString::fromStdString(formatQuantity(si, dimension, units));
}

QString openingWords(const Opening& opening, UnitSystem units)
{
    if (const auto* port = std::get_if<PortOpening>(&opening.kind)) {
        const QString many =
            countOf(*port) > 1 ? QString::number(countOf(*port)) + QStringLiteral("\u00a0×\u00a0") : QString();
        const QString mouth = port->shape == PortShape::round
                                  ? QStringLiteral("Ø\u00a0") +
                                        QString::fromStdString(formatNumber(port->diameter, Dimension::bore, units))
                                  : QString::fromStdString(formatNumber(port->width, Dimension::length, units)) +
                                        QStringLiteral("\u00a0×\u00a0") +
                                        QString::fromStdString(formatNumber(port->height, Dimension::length, units));
        return many + mouth + QStringLiteral("\u00a0×\u00a0") + shown(port->length, Dimension::length, units);
    }
    if (const auto* leak = std::get_if<LeakByQ>(&opening.kind))
        return words("leak Q\u00a0%1").arg(QString::fromStdString(formatNumber(leak->q, Dimension::quality)));
    if (std::holds_alternative<PassiveRadiator>(opening.kind)) return words("passive radiator");
    return words("leak");
}

QString inputsOf(const Project& project, const Housing& housing, const Model& model, UnitSystem units)
{
    QStringList parts;
    const DriverSheet* sheet = findDriver(project, housing.driver);
    QString driver =
        sheet && !sheet->name.empty() ? QString::fromStdString(sheet->name) : QString::fromStdString(housing.driver);
    if (model.driverCount > 1)
        driver += QStringLiteral(" ×\u00a0%1, %2")
                      .arg(model.driverCount)
                      .arg(model.wiring == Wiring::series ? words("in series") : words("in parallel"));
    parts << driver << words("%1 net").arg(shown(model.housing.cavity.netVolume, Dimension::volume, units));
    if (housing.secondCavity)
        parts << words("second cavity %1")
                     .arg(shown(model.housing.secondCavity->cavity.netVolume, Dimension::volume, units));
    for (const Opening& opening : housing.openings)
        parts << openingWords(opening, units);
    if (model.highPass)
        parts << words("high-pass %1, %2\u00a0dB per octave")
                     .arg(shown(model.highPass->corner, Dimension::frequency, units))
                     .arg(6 * model.highPass->order);
    parts << shown(model.voltage, Dimension::voltage, units);
    return parts.join(QStringLiteral(" · "));
}

std::vector<std::pair<QString, QString>> figuresOf(const Model& model, const Summary& summary, UnitSystem units)
{
    const auto orDash = [units](const std::optional<double>& value, Dimension dimension) {
        return value ? shown(*value, dimension, units) : QString(QChar(0x2013));
    };
    std::vector<std::pair<QString, QString>> figures;
    if (summary.kind == SystemKind::closed)
        figures.emplace_back(words("Resonance"), orDash(summary.fc, Dimension::frequency));
    else
        figures.emplace_back(words("Tuning"), orDash(summary.fb, Dimension::frequency));
    figures.emplace_back(words("3\u00a0dB down at"), orDash(summary.f3, Dimension::frequency));
    std::optional<double> least;
    if (summary.impedanceMinimum) least = summary.impedanceMinimum->impedance;
    figures.emplace_back(words("Least load"), orDash(least, Dimension::resistance));
    const Result<Curves> there = curvesOf(model, gridOf(Eigen::ArrayXd::Constant(1, cursorFrequency)));
    if (!there) return figures;
    const LimitCurves limits = limitsOf(model, *there);
    const bool limited = limits.loudest.size() == 1 && std::isfinite(limits.loudest[0]);
    figures.emplace_back(words("Loudest at 80\u00a0Hz"),
                         limited ? shown(limits.loudest[0], Dimension::level, units) : QString(QChar(0x2013)));
    if (limited) figures.emplace_back(words("set by"), QString::fromStdString(nameOf(limits.limit[0])));
    return figures;
}

QString sharedInputs(const Model& model, UnitSystem units)
{
    const Air& air = model.air;
    return words("Heard at %1, %2. Air %3, %4\u00a0%: density %5, sound %6.")
        .arg(shown(model.distance, Dimension::distance, units),
             model.solidAngle > 2.5 * pi ? words("free space") : words("half space"),
             shown(air.temperature, Dimension::temperature, units),
             QString::number(std::lround(100 * air.relativeHumidity)),
             QString::number(air.rho, 'f', 3) + QStringLiteral("\u00a0kg/m³"),
             shown(air.c, Dimension::airSpeed, units));
}

Result<SheetHousing> sheetHousing(const Project& project, std::size_t index, ComparisonSheet& sheet)
{
    Result<Model> model = modelOf(project, index);
    if (!model) return fail(model.error());
    const Result<Curves> curves = curvesOf(*model, logGrid(lowest, highestFrequency, points));
    if (!curves) return fail(curves.error());
    const Result<Summary> summary = summaryOf(*model);
    if (!summary) return fail(summary.error());
    const Housing& housing = project.housings[index];
    if (const DriverSheet* driver = findDriver(project, housing.driver))
        model->driver.findings = findingsOf(*driver, model->driver, sheet.units);
    SheetHousing out;
    out.slot = int(index);
    out.units = sheet.units;
    out.name = QString::fromStdString(housing.name.empty() ? housing.id : housing.name);
    out.curves = shownCurves(out.slot, out.name, *curves, sheet.units);
    out.loudest = loudestShown(*curves);
    if (const Result<CutInput> input = cutInputOf(project, index)) out.cut = cutGeometry(*input);
    out.figures = figuresOf(*model, *summary, sheet.units);
    for (const Verdict& v : verdictsOf(*model, *curves, *summary, sheet.units))
        out.verdicts.push_back({v.state, QString::fromStdString(v.text)});
    out.inputs = inputsOf(project, housing, *model, sheet.units);
    if (model->driver.Xmax) {  // several drivers: the tightest limit is the one drawn
        const double limit = fromSi(shownUnit(Dimension::travel, sheet.units), *model->driver.Xmax);
        sheet.travelLimitsDiffer = sheet.travelLimitsDiffer || (sheet.travelLimit && *sheet.travelLimit != limit);
        sheet.travelLimit = sheet.travelLimit ? std::min(*sheet.travelLimit, limit) : limit;
    }
    out.curves.travel.judged = model->driver.Xmax.has_value();
    if (model->driver.Xmax)
        out.curves.travel.ownLimit = fromSi(shownUnit(Dimension::travel, sheet.units), *model->driver.Xmax);
    if (!out.curves.air.x.empty())
        sheet.airLimit = fromSi(shownUnit(Dimension::airSpeed, sheet.units), model->portAirLimit);
    if (sheet.inputs.isEmpty()) sheet.inputs = sharedInputs(*model, sheet.units);
    return out;
}

}  // namespace

Result<ComparisonSheet> comparisonOf(const Project& project, const QStringList& housingIds, const QDate& date,
                                     UnitSystem units)
{
    ComparisonSheet sheet;
    sheet.units = units;
    sheet.title = project.title.empty() ? words("Untitled") : QString::fromStdString(project.title);
    for (const QString& id : housingIds)
        if (std::none_of(project.housings.begin(), project.housings.end(),
                         [&](const Housing& h) { return h.id == id.toStdString(); }))
            return fail("/housings", "there is no housing with the id \"" + id.toStdString() + "\"");
    for (std::size_t i = 0; i < project.housings.size(); ++i) {
        if (!housingIds.isEmpty() && !housingIds.contains(QString::fromStdString(project.housings[i].id))) continue;
        Result<SheetHousing> housing = sheetHousing(project, i, sheet);
        if (!housing) return fail(housing.error());
        sheet.housings.push_back(std::move(*housing));
    }
    if (sheet.housings.empty()) return fail("/housings", "the project has no housing to draw; add one");
    double loudest = -std::numeric_limits<double>::infinity();
    for (const SheetHousing& housing : sheet.housings)
        loudest = std::max(loudest, housing.loudest);
    for (const std::string& caution : cautions(loudest, units))
        sheet.cautions << QString::fromStdString(caution);
    sheet.colophon = QStringLiteral("Portwright " PORTWRIGHT_VERSION ", ") + date.toString(Qt::ISODate);
    return sheet;
}

}  // namespace portwright
