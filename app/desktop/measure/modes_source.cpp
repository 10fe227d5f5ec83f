// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/modes_source.h"

#include "core/cavity/solids.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr int finer = 6;  // cubes counted along each edge of a cube that a scan's wall cuts

std::optional<ModesSource> sourceAt(const MeasureDesk& desk, const ScanDesk& scans, int at)
{
    const Measurement& m = desk.cavity()->measurements[std::size_t(at)];
    const double volume = std::size_t(at) < desk.readings().size() ? desk.readings()[std::size_t(at)].volume : 0;
    if (!(volume > 0)) return {};
    if (const auto* solids = std::get_if<SolidsMeasurement>(&m.method))
        return ModesSource{.measurement = at,
                           .shape = SolidsMeasurement{solids->steps, solids->lengthUncertainty},
                           .volume = volume};  // not its places: the modes do not depend on them
    if (const auto* scan = std::get_if<ScanMeasurement>(&m.method))
        if (auto read = scans.loaded(*scan))
            return ModesSource{.measurement = at, .shape = std::move(read), .volume = volume};
    return {};
}

Result<CutCells> cellsFrom(const ModesSource& source, double cell, const Watch& watch)
{
    if (const auto* solids = std::get_if<SolidsMeasurement>(&source.shape)) return cellsOf(*solids, cell, watch);
    const auto& scan = std::get<std::shared_ptr<const ReadScan>>(source.shape);
    const auto voxels = voxelsOf(scan->scan.mesh, cell / finer, watch);
    if (!voxels) return fail(voxels.error());
    return coarsened(*voxels, finer);
}

std::array<Point3, 2> lowAndHigh(const SolidsMeasurement& solids)
{
    Point3 low{1e9, 1e9, 1e9}, high{-1e9, -1e9, -1e9};
    for (const SolidStep& step : solids.steps) {
        if (step.subtract) continue;
        const auto box = boundsOf(step);
        for (std::size_t i = 0; i < 3; ++i) {
            low[i] = std::min(low[i], box.low[i]);
            high[i] = std::max(high[i], box.high[i]);
        }
    }
    Point3 bottom, top;
    for (std::size_t i = 0; i < 3; ++i)
        bottom[i] = top[i] = (low[i] + high[i]) / 2;
    bottom[2] = low[2];
    top[2] = high[2];
    return {bottom, top};
}

}  // namespace

Result<ModesSource> modesSource(const MeasureDesk& desk, const ScanDesk& scans)
{
    const Cavity* cavity = desk.cavity();
    if (!cavity) return fail({}, MeasureDesk::tr("No housing is chosen.").toStdString());
    const int count = int(cavity->measurements.size());
    if (desk.current() >= 0)
        if (auto found = sourceAt(desk, scans, desk.current())) return *found;
    bool scanned = false;
    for (int i = 0; i < count; ++i) {
        if (auto found = sourceAt(desk, scans, i)) return *found;
        const auto* scan = std::get_if<ScanMeasurement>(&cavity->measurements[std::size_t(i)].method);
        scanned = scanned || (scan && !scan->file.empty());
    }
    return fail(
        {}, (scanned ? MeasureDesk::tr("The scan's mesh is not in the project: read it again under Readings.")
                     : MeasureDesk::tr("Modes need a shape in space: describe the cavity by solids, or open a scan."))
                .toStdString());
}

Result<std::shared_ptr<const CavityModes>> modesFrom(const ModesSource& source, int cubes, int count, const Air& air,
                                                     const Watch& watch)
{
    report(watch, 0, MeasureDesk::tr("filling it with cubes").toStdString());
    const auto cells = cellsFrom(source, cellFor(source.volume, cubes), watch);
    if (!cells) return fail(cells.error());
    auto modes = modesOf(*cells, air, count, watch);
    if (!modes) return fail(modes.error());
    if (const auto* solids = std::get_if<SolidsMeasurement>(&source.shape))
        if (const std::string remark = overlapRemark(*solids, *cells); !remark.empty())
            modes->remarks.push_back(remark);
    return std::make_shared<const CavityModes>(std::move(*modes));
}

std::vector<NamedPlace> startingPlaces(const ModesSource& source, int ports)
{
    std::vector<NamedPlace> places{{.name = MeasureDesk::tr("driver").toStdString(), .at = {}}};
    for (int i = 1; i <= ports; ++i)
        places.push_back({.name = MeasureDesk::tr("port %1").arg(i).toStdString(), .at = {}});
    if (const auto* solids = std::get_if<SolidsMeasurement>(&source.shape)) {
        const auto [bottom, top] = lowAndHigh(*solids);
        for (std::size_t i = 0; i < places.size(); ++i)
            places[i].at = i == 0 ? bottom : top;
    } else {
        const auto& openings = std::get<std::shared_ptr<const ReadScan>>(source.shape)->picture.openings;
        for (std::size_t i = 0; i < places.size() && !openings.empty(); ++i)
            places[i].at = openings[std::min(i, openings.size() - 1)].centre;
    }
    for (NamedPlace& one : places)
        for (double& along : one.at)
            along = std::round(along * 1e3) / 1e3;  // nobody reads a place finer than a millimetre
    return places;
}

}  // namespace portwright
