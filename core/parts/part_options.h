// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/parts/cut_list.h"
#include "core/quantity/quantity.h"

#include <optional>
#include <vector>

namespace portwright {

/// What a workshop chooses beside the port itself; m. Defaults are common practice, no source.
struct PartOptions {
    std::optional<double> wall;     ///< of a printed port, 0.8..20 mm; default the port's own, else 3 mm
    bool flange = true;             ///< at a flush outer end of a printed port; one for tubes too near for their own
    double flangeThickness = 5e-3;  ///< 1..30 mm, at least the wall
    double land = 8e-3;             ///< 3..50 mm: hole to screw centres, and from these to the rim of the flange
    /// 3..24, around a slot an even number from 4 on; none: no more than 80 mm apart, 4 at least; 0: glued on, and
    /// the flange is narrower by a land.
    std::optional<int> screws;
    double screwDiameter = 4.2e-3;  ///< 1..12 mm, hole of a screw
    double fit = 0.5e-3;            ///< 0..5 mm: a hole is so much wider than what goes through it
    double cornerRadius = 3e-3;     ///< 0..50 mm, of the hole for a slot of panels
    double chord = 0.05e-3;         ///< 0.01..1 mm: flat facets leave a round by no more than this
    double printerHeight = 0.2;     ///< 20 mm..1 m
    double lip = 8e-3;              ///< 2..50 mm, height of the register lip between printed pieces
    double lipClearance = 0.2e-3;   ///< 0..1 mm between lip and recess
    double panel = 12e-3;           ///< 1..50 mm, thickness of the panels of a slot
    double kerf = 2e-3;             ///< 0..20 mm
    double cutLong = 0;             ///< 0..500 mm added at the inner end, to be trimmed after a sweep
    double clearance = 1;           ///< 0..10 bores free before the inner mouth of a bent port, for its legs
    std::vector<Stock> tubeStock{{1.0, {}}}, panelStock{{1.2, {}}};
    UnitSystem units = UnitSystem::metric;
    bool operator==(const PartOptions&) const = default;
};

/// Errors: the first that is out of the range above, with the range.
Result<void> checkOptions(const PartOptions& options);

}  // namespace portwright
