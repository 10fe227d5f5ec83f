// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/part_options.h"

#include <array>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double rounding = 1e-12;  // m: 10 times 1e-6 is a little below 1e-5

}  // namespace

Result<void> checkOptions(const PartOptions& options)
{
    struct Range {
        const char* what;
        double value, low, high;  // m
    };
    const std::array ranges{
        Range{"wall", options.wall.value_or(3e-3), 0.8e-3, 20e-3},
        Range{"flange's thickness", options.flangeThickness, 1e-3, 30e-3},
        Range{"land beside the screws", options.land, 3e-3, 50e-3},
        Range{"screw hole", options.screwDiameter, 1e-3, 12e-3},
        Range{"fit", options.fit, 0, 5e-3},
        Range{"corner's radius", options.cornerRadius, 0, 50e-3},
        Range{"chord tolerance", options.chord, 0.01e-3, 1e-3},
        Range{"printer's height", options.printerHeight, 20e-3, 1},
        Range{"lip", options.lip, 2e-3, 50e-3},
        Range{"lip's clearance", options.lipClearance, 0, 1e-3},
        Range{"panel", options.panel, 1e-3, 50e-3},
        Range{"kerf", options.kerf, 0, 20e-3},
        Range{"allowance for trimming", options.cutLong, 0, 0.5},
    };
    for (const Range& r : ranges)
        if (!(r.value >= r.low - rounding && r.value <= r.high + rounding))
            return fail("", fmt::format("the {} is {} mm; allowed is {} to {} mm", r.what, r.value * 1e3, r.low * 1e3,
                                        r.high * 1e3));
    if (const int screws = options.screws.value_or(0); screws != 0 && (screws < 3 || screws > 24))
        return fail("", fmt::format("there are {} screws; allowed is 3 to 24, or 0 for none", screws));
    if (!(options.clearance >= 0 && options.clearance <= 10))
        return fail(
            "", fmt::format("the clearance before the inner mouth is {} bores; allowed is 0 to 10", options.clearance));
    if (!(options.screwDiameter <= 1.5 * options.land))
        return fail(
            "", fmt::format("screw holes of {} mm leave too little of a land of {} mm; allowed is 1.5 times the land",
                            options.screwDiameter * 1e3, options.land * 1e3));
    return {};
}

}  // namespace portwright
