// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/housing_edits.h"
#include "app/desktop/components/figure_text.h"

#include "core/port/classical.h"
#include "core/sizing/sizing.h"

#include <QCoreApplication>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr double longestStart = 0.3;  // m: what a fairing or lower has room for, common practice, no source
constexpr double leakOfAPod = 10;     // Q of a common pod

QString tr(const char* text) { return QCoreApplication::translate("Housing", text); }

template <class List> std::string fresh(const List& list, const std::string& stem)
{
    for (int n = 1;; ++n) {
        const std::string id = stem + std::to_string(n);
        if (std::none_of(list.begin(), list.end(), [&](const auto& item) { return item.id == id; })) return id;
    }
}

/// A port of any length in a cavity that is built around it: what is left for the air is always the net volume.
TuningOfCut tuningInNet(const PortOpening& port, double netVolume, const Air& air)
{
    CavityRoom room;
    room.netVolume = netVolume;
    TuningOfCut cut;
    cut.whyNot = [port, room](double length) { return whyImpossible(cutTo(port, length), room); };
    cut.tuning = [port, room, air, whyNot = cut.whyNot](const Cut& c) -> std::optional<double> {
        if (whyNot(c.length)) return std::nullopt;
        return tuningOf(portInCavity(cutTo(port, c.length), room, air));
    };
    return cut;
}

}  // namespace

std::string freshHousingId(const Project& project) { return fresh(project.housings, "housing"); }
std::string freshDriverId(const Project& project) { return fresh(project.drivers, "driver"); }

Result<PortOpening> startingPort(const Project& project, const std::string& driver, int drivers, double volume,
                                 double fb)
{
    const auto air = airAt(project.air.value_or(AirConditions{}));
    if (!air) return fail(air.error());
    constexpr double usualTravel = 4e-3;  // m, where no Xmax is known: only a place to start from
    constexpr double usualArea = 130e-4;  // m2, likewise
    const DriverSheet* sheet = findDriver(project, driver);
    const double displaced = drivers * (sheet ? sheet->Sd.value_or(usualArea) : usualArea) *
                             (sheet ? sheet->Xmax.value_or(usualTravel) : usualTravel);
    PortOpening port;
    double bore = std::clamp(std::ceil(startingBore(fb, displaced) * 1e3), 20.0, 500.0);  // mm
    Result<SizedPort> sized = fail("", "");
    for (; bore >= 3; bore = std::floor(bore * 0.9)) {
        port.diameter = bore / 1e3;
        sized = lengthFor(fb, tuningInNet(port, volume, *air));
        if (sized && sized->length <= longestStart) break;
    }
    if (!sized) return fail(sized.error());
    port.length = std::round(sized->length * 1e4) / 1e4;
    return port;
}

Housing copyOf(const Project& project, std::size_t index)
{
    Housing copy = project.housings[index];
    copy.id = freshHousingId(project);
    copy.name = tr("%1, copy").arg(QString::fromStdString(copy.name)).toStdString();
    return copy;
}

Candidate candidateFrom(const Project& project, const NewHousing& wish, std::optional<std::size_t> like)
{
    if (wish.kind == NewHousing::Kind::copy) {
        if (!like) return {{}, tr("there is no housing to copy")};
        return {copyOf(project, *like), tr("everything as it is in the one copied")};
    }
    Housing housing;
    housing.id = freshHousingId(project);
    if (like) {
        const Housing& model = project.housings[*like];
        housing.driver = model.driver;
        housing.driverCount = model.driverCount;
        housing.wiring = model.wiring;
        housing.feed = model.feed;
    } else if (!project.drivers.empty()) {
        housing.driver = project.drivers.back().id;
    }
    housing.cavity.netVolume = wish.netVolume;
    if (wish.kind == NewHousing::Kind::sealed) {
        housing.name = tr("Sealed, %1").arg(figureText(wish.netVolume, Dimension::volume)).toStdString();
        housing.openings.push_back({.kind = LeakByQ{wish.leakQ}, .cavity = {}, .unknown = {}});
        return {housing, project.housings.empty() ? tr("a common pod; put in your own litres") : QString()};
    }
    const auto port =
        startingPort(project, housing.driver, housing.driverCount.value_or(1), wish.netVolume, wish.tuning);
    if (!port) return {{}, QString::fromStdString(port.error().message)};
    const QString bore = figureText(port->diameter, Dimension::bore);
    const QString length = figureText(port->length, Dimension::length);
    housing.name = tr("Ported, %1 tube").arg(bore).toStdString();
    housing.openings.push_back({.kind = LeakByQ{leakOfAPod}, .cavity = {}, .unknown = {}});
    housing.openings.push_back({.kind = *port, .cavity = {}, .unknown = {}});
    return {housing, tr("\u00D8 %1, %2 long; dotted in all charts").arg(bore, length)};
}

void append(Project& project, Housing housing)
{
    if (!findDriver(project, housing.driver)) {
        if (project.drivers.empty()) {
            DriverSheet none;
            none.id = freshDriverId(project);
            none.name = tr("New driver").toStdString();
            project.drivers.push_back(none);
        }
        housing.driver = project.drivers.front().id;
    }
    project.housings.push_back(std::move(housing));
}

void move(Project& project, std::size_t from, std::size_t to)
{
    if (from >= project.housings.size() || to >= project.housings.size() || from == to) return;
    Housing moved = std::move(project.housings[from]);
    project.housings.erase(project.housings.begin() + std::ptrdiff_t(from));
    project.housings.insert(project.housings.begin() + std::ptrdiff_t(to), std::move(moved));
}

bool removeDriver(Project& project, const std::string& id)
{
    const bool needed =
        std::any_of(project.housings.begin(), project.housings.end(), [&](const Housing& h) { return h.driver == id; });
    if (needed) return false;
    return std::erase_if(project.drivers, [&](const DriverSheet& d) { return d.id == id; }) > 0;
}

}  // namespace portwright
