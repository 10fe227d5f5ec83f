// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/blanks.h"

#include "core/parts/shop_length.h"
#include "core/port/clearances.h"
#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr double widest = 1, longest = 3;  // m: of anything that is still a port
constexpr double roundings = 1e-9;         // m

Result<void> checkSize(const char* field, const char* what, double value)
{
    if (value > 0 && value <= widest) return {};
    return fail(field, fmt::format("the {} is {} mm; allowed is above 0 to 1000 mm", what, value * 1e3));
}

Result<void> checkBends(const PortOpening& port)
{
    const double across = port.shape == PortShape::round ? port.diameter : port.height;
    for (std::size_t i = 0; i < port.bends.size(); ++i) {
        const Bend& bend = port.bends[i];
        const std::string field = fmt::format("bends/{}", i);
        if (!(bend.angle > 0 && bend.angle <= 2 * pi + roundings))
            return fail(field, fmt::format("the angle is {:.1f}\u00B0; allowed is above 0 to 360\u00B0",
                                           bend.angle * 180 / pi));
        if (!(bend.radius >= across / 2 - roundings))
            return fail(field,
                        fmt::format("the centre line's radius is {}; below {}, half the {}, it would cross itself",
                                    shopLength(bend.radius), shopLength(across / 2),
                                    port.shape == PortShape::round ? "bore" : "slot's height"));
        if (!(bend.radius <= longest))
            return fail(field, fmt::format("the centre line's radius is {}; allowed is up to {}",
                                           shopLength(bend.radius), shopLength(longest)));
    }
    return {};
}

Result<void> checkFlares(const PortOpening& port)
{
    for (const auto& [field, flare] :
         {std::pair{"inner_flare_mm", port.innerFlare}, {"outer_flare_mm", port.outerFlare}})
        if (flare && !(*flare >= 0 && *flare <= widest))
            return fail(field, fmt::format("the flare is {} mm; allowed is 0 to 1000 mm", *flare * 1e3));
    return {};
}

/// "tube, outer end", "tube, after bend 1", "tube, inner end"; "tube" where there is one.
std::string straightName(std::size_t i, std::size_t count, const char* only)
{
    if (count == 1) return only;
    if (i == 0) return fmt::format("{}, outer end", only);
    return i + 1 == count ? fmt::format("{}, inner end", only) : fmt::format("{}, after bend {}", only, i);
}

/// Lengths of the straight pieces from the outer to the inner end; none where bends and flares take all.
std::vector<double> straights(const PortOpening& port, const PartOptions& options, const std::vector<double>& legs)
{
    const double all = lengthOfStraights(port);
    if (all < roundings && options.cutLong < roundings) return {};
    std::vector<double> lengths = legs.size() == port.bends.size() + 1 ? legs : equalLegs(port);
    lengths.front() -= port.outerFlare.value_or(0), lengths.back() -= port.innerFlare.value_or(0);
    for (double& length : lengths)
        length = std::max(length, 0.0);
    lengths.back() += options.cutLong;
    return lengths;
}

void addShaped(PanelBlanks& blanks, const PortOpening& port, const PartOptions& options)
{
    const OwnWalls own = ownWalls(port);
    const double broad = port.width + own.sides * options.panel;
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    for (const Bend& bend : port.bends) {
        const double inner = bend.radius - port.height / 2, outer = bend.radius + port.height / 2;
        const double degrees = bend.angle * 180 / pi;
        blanks.shapedParts.push_back(fmt::format("Bend of {:.1f}\u00B0, inner broad wall: a strip {} wide bent to an "
                                                 "air-side radius of {}, {} long along its "
                                                 "middle layer.",
                                                 degrees, mm(broad), mm(inner),
                                                 mm(bend.angle * std::max(inner - options.panel / 2, 0.0))));
        if (own.flats == 2)
            blanks.shapedParts.push_back(fmt::format("Bend of {:.1f}\u00B0, outer broad wall: a strip {} wide bent to "
                                                     "an air-side radius of {}, {} long along "
                                                     "its middle layer.",
                                                     degrees, mm(broad), mm(outer),
                                                     mm(bend.angle * (outer + options.panel / 2))));
        if (own.sides > 0)
            blanks.shapedParts.push_back(
                fmt::format("Bend of {:.1f}\u00B0, sides: {} ring sector{} from radius {} to {}.", degrees, own.sides,
                            own.sides > 1 ? "s" : "", mm(inner), mm(outer)));
    }
    for (const auto& [end, flare] : {std::pair{"outer", port.outerFlare}, {"inner", port.innerFlare}})
        if (flare.value_or(0) > 0)
            blanks.shapedParts.push_back(fmt::format(
                "Flare at the {} end: quarter rounds of radius {} along {} broad wall{} ({}) and {} side{} ({}).", end,
                mm(*flare), own.flats, own.flats > 1 ? "s" : "", mm(port.width), own.sides, own.sides == 1 ? "" : "s",
                mm(port.height)));
}

}  // namespace

double lengthOfStraights(const PortOpening& port)
{
    return port.length - port.innerFlare.value_or(0) - port.outerFlare.value_or(0) - arcLength(port);
}

Result<void> checkPort(const PortOpening& port)
{
    if (port.shape == PortShape::round) {
        if (const auto fine = checkSize("diameter_mm", "bore", port.diameter); !fine) return fine;
    } else {
        if (const auto fine = checkSize("width_mm", "slot's width", port.width); !fine) return fine;
        if (const auto fine = checkSize("height_mm", "slot's height", port.height); !fine) return fine;
    }
    if (!(port.length >= 0 && port.length <= longest))
        return fail("length_mm", fmt::format("the port is {} mm long; allowed is 0 to 3000 mm", port.length * 1e3));
    if (countOf(port) < 1 || countOf(port) > 16)
        return fail("count", fmt::format("there are {} ports; allowed is 1 to 16", countOf(port)));
    if (const int shared = port.sharedWalls.value_or(0); shared < 0 || shared > 3)
        return fail("shared_walls", fmt::format("{} walls are shared; allowed is 0 to 3", shared));
    if (port.wall && !(*port.wall >= 0 && *port.wall <= 0.1))
        return fail("wall_mm", fmt::format("the wall is {} mm; allowed is 0 to 100 mm", *port.wall * 1e3));
    if (port.spacing && !(*port.spacing > 0 && *port.spacing <= 10))
        return fail("spacing_mm",
                    fmt::format("the spacing is {} mm; allowed is above 0 to 10 000 mm", *port.spacing * 1e3));
    if (const auto fine = checkFlares(port); !fine) return fine;
    if (const auto fine = checkBends(port); !fine) return fine;
    if (lengthOfStraights(port) < -roundings)
        return fail("length_mm",
                    fmt::format("flares and bends take {} along the centre line, and the port is only {} "
                                "long; make it longer, or the flares and bends smaller",
                                shopLength(port.length - lengthOfStraights(port)), shopLength(port.length)));
    return {};
}

Result<TubeBlanks> tubeBlanks(const PortOpening& port, const PartOptions& options, const std::vector<double>& legs)
{
    if (const auto fine = checkPort(port); !fine) return fail(fine.error());
    if (port.shape != PortShape::round) return fail("shape", "a slot is made of panels, not of tube");
    if (port.length <= 0) return fail("length_mm", "the port is a mere hole of no length; there is no tube to cut");
    TubeBlanks blanks;
    blanks.bore = port.diameter, blanks.wall = port.wall.value_or(0), blanks.ports = countOf(port);
    blanks.outerFlare = port.outerFlare.value_or(0), blanks.innerFlare = port.innerFlare.value_or(0);
    const std::vector<double> lengths = straights(port, options, legs);
    for (std::size_t i = 0; i < lengths.size(); ++i)
        if (lengths[i] > roundings)
            blanks.straights.push_back({straightName(i, lengths.size(), "tube"), lengths[i], countOf(port)});
    for (const Bend& bend : port.bends)
        blanks.bends.push_back({bend.angle, bend.radius, bend.angle * bend.radius});
    return blanks;
}

Result<PanelBlanks> panelBlanks(const PortOpening& port, const PartOptions& options, const std::vector<double>& legs)
{
    if (const auto fine = checkPort(port); !fine) return fail(fine.error());
    if (port.shape != PortShape::slot) return fail("shape", "a round port is made of tube, not of panels");
    if (port.length <= 0) return fail("length_mm", "the port is a mere hole of no length; there is no panel to cut");
    PanelBlanks blanks;
    const OwnWalls own = ownWalls(port);
    const std::vector<double> lengths = straights(port, options, legs);
    const auto add = [&](const std::string& name, double width, double length, int count) {
        if (count == 0 || length <= roundings) return;
        blanks.panels.push_back({name, width, length, count * countOf(port)});
        blanks.strips.push_back({name, width, count * countOf(port)});
    };
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        add(straightName(i, lengths.size(), "broad wall"), port.width + own.sides * options.panel, lengths[i],
            own.flats);
        add(straightName(i, lengths.size(), "side wall"), port.height, lengths[i], own.sides);
    }
    addShaped(blanks, port, options);
    return blanks;
}

Result<std::vector<SheetPlan>> panelPlans(const PanelBlanks& blanks, const PartOptions& options)
{
    std::vector<SheetPlan> plans;
    for (std::size_t i = 0; i < blanks.panels.size(); ++i) {
        const double across = blanks.panels[i].length;
        auto sheet = std::find_if(plans.begin(), plans.end(),
                                  [&](const SheetPlan& plan) { return std::abs(plan.across - across) < roundings; });
        if (sheet == plans.end()) sheet = plans.insert(plans.end(), SheetPlan{across, {}, {}});
        sheet->pieces.push_back(blanks.strips[i]);
    }
    for (SheetPlan& sheet : plans) {
        auto plan = cutPlan(sheet.pieces, options.panelStock, options.kerf);
        if (!plan) return fail(plan.error());
        sheet.plan = std::move(*plan);
    }
    return plans;
}

}  // namespace portwright
