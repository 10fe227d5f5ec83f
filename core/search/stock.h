// SPDX-License-Identifier: GPL-3.0-or-later
// What a port can be made of: tubes by bore and wall, slots by what fits between panels, and flares. Lists to be
// edited; those that come with the program are common sizes of the trade, no source, to be measured before cutting.
#pragma once

#include "core/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace portwright {

/// A tube by the length; all m.
struct StockTube {
    std::string name;
    double bore = 0, wall = 0;
    double longest = 0;     ///< one piece as sold; 0: any
    double bendRadius = 0;  ///< centre line of its bends (elbows); 0: none are had, it goes straight only
    bool operator==(const StockTube&) const = default;
};

/// A slot of panels of one thickness; all m.
struct StockSlot {
    std::string name;
    double width = 0, height = 0;
    double wall = 0;     ///< panel
    double longest = 0;  ///< of a panel; 0: any
    bool operator==(const StockSlot&) const = default;
};

/// A quarter-round flare for either end.
struct StockFlare {
    std::string name;
    double radius = 0;   ///< m
    double forBore = 0;  ///< m, the bore it is made for; 0: any (routed, printed)
    bool operator==(const StockFlare&) const = default;
};

struct PortStock {
    std::vector<StockTube> tubes;
    std::vector<StockSlot> slotShapes;  ///< not "slots", which is a keyword of Qt
    std::vector<StockFlare> flares;     ///< besides none at all, which is always to be had
    bool operator==(const PortStock&) const = default;
};

/// Bores 38, 50, 63, 76 and 100 mm and drain pipe by its metric sizes, slots from 4, 6, 9 and 12 mm panel, router
/// radii.
PortStock metricPortStock();
/// Pipe of nominal 1 to 4 in with the bores and walls of its common schedule (from memory), slots from inch panels.
PortStock inchPortStock();

/// A table "kind,name,diameter_mm,wall_mm,width_mm,height_mm,length_mm,radius_mm", in which a row is a "tube" (bore as
/// diameter_mm; length_mm longest piece, radius_mm of its bends, both may be empty), a "slot" (width_mm, height_mm), or
/// a "flare" (radius_mm; diameter_mm where it is for one bore). The first two columns and those that a row's kind needs
/// must be there. Errors: field "line 7".
Result<PortStock> readPortStock(std::string_view csv);

/// The table that readPortStock reads back to this stock.
std::string portStockCsv(const PortStock& stock);

}  // namespace portwright
