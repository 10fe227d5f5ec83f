// SPDX-License-Identifier: GPL-3.0-or-later
// What the modes of a cavity are computed from: its solids, or its scan.
#pragma once

#include "app/desktop/measure/scan_desk.h"
#include "core/cavity/modes.h"

#include <memory>
#include <optional>
#include <variant>

namespace portwright {

struct ModesSource {
    int measurement = -1;  ///< its place in the list
    std::variant<SolidsMeasurement, std::shared_ptr<const ReadScan>> shape;
    double volume = 0;  ///< m3, gross
    bool operator==(const ModesSource&) const = default;
};

/// The chosen measurement if it has a shape in space, else the first that has. Nothing, with a sentence on why.
Result<ModesSource> modesSource(const MeasureDesk& desk, const ScanDesk& scans);

/// Cubes and their modes; about `cubes` of them. For a worker thread.
Result<std::shared_ptr<const CavityModes>> modesFrom(const ModesSource& source, int cubes, int count, const Air& air,
                                                     const Watch& watch);

/// Where the driver and `ports` ports may sit, to start from: a scan's openings, largest first; else the middles of the
/// lowest and the highest side.
std::vector<NamedPlace> startingPlaces(const ModesSource& source, int ports);

}  // namespace portwright
