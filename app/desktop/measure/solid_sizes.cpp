// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/solid_sizes.h"

#include "core/constants.h"

#include <algorithm>
#include <array>
#include <vector>

namespace portwright {
namespace {

struct Size {
    std::string_view key;
    double* value;
};
using Sizes = std::vector<Size>;

Sizes sizesOf(BoxSolid& s) { return {{"width_mm", &s.width}, {"breadth_mm", &s.breadth}, {"height_mm", &s.height}}; }
Sizes sizesOf(WedgeSolid& s) { return {{"width_mm", &s.width}, {"breadth_mm", &s.breadth}, {"height_mm", &s.height}}; }
Sizes sizesOf(RoundFrustumSolid& s)
{
    return {{"diameter_mm", &s.diameter}, {"top_diameter_mm", &s.topDiameter}, {"height_mm", &s.height}};
}
Sizes sizesOf(RectangularFrustumSolid& s)
{
    return {{"width_mm", &s.width},
            {"breadth_mm", &s.breadth},
            {"top_width_mm", &s.topWidth},
            {"top_breadth_mm", &s.topBreadth},
            {"height_mm", &s.height}};
}
Sizes sizesOf(CylinderSolid& s) { return {{"diameter_mm", &s.diameter}, {"height_mm", &s.height}}; }
Sizes sizesOf(EllipsoidCapSolid& s)
{
    return {{"width_mm", &s.width}, {"breadth_mm", &s.breadth}, {"height_mm", &s.height}};
}
Sizes sizesOf(BentTubeSolid& s)
{
    return {{"diameter_mm", &s.diameter}, {"centre_line_radius_mm", &s.centreLineRadius}, {"angle_deg", &s.angle}};
}

Sizes sizesOf(Solid& solid)
{
    return std::visit([](auto& s) { return sizesOf(s); }, solid);
}

/// Where a length that the former solid did not have may come from, best first.
std::array<std::string_view, 4> nearestTo(std::string_view key)
{
    if (key == "top_width_mm") return {"width_mm", "top_diameter_mm", "diameter_mm", ""};
    if (key == "top_breadth_mm") return {"breadth_mm", "top_diameter_mm", "diameter_mm", ""};
    if (key == "top_diameter_mm") return {"top_width_mm", "diameter_mm", "width_mm", ""};
    if (key == "diameter_mm") return {"width_mm", "breadth_mm", "", ""};
    if (key == "centre_line_radius_mm") return {"diameter_mm", "width_mm", "", ""};
    if (key == "height_mm") return {"centre_line_radius_mm", "diameter_mm", "", ""};
    return {"diameter_mm", "width_mm", "", ""};  // width, breadth
}

Solid emptySolid(std::size_t kind)
{
    const std::array<Solid, std::variant_size_v<Solid>> all{
        BoxSolid{},      WedgeSolid{},        RoundFrustumSolid{}, RectangularFrustumSolid{},
        CylinderSolid{}, EllipsoidCapSolid{}, BentTubeSolid{}};
    return all[std::min(kind, all.size() - 1)];
}

}  // namespace

double* sizeIn(Solid& solid, std::string_view key)
{
    for (const Size& size : sizesOf(solid))
        if (size.key == key) return size.value;
    return nullptr;
}

Solid withKind(const Solid& former, std::size_t kind)
{
    if (former.index() == kind) return former;
    Solid source = former, made = emptySolid(kind);
    for (const Size& size : sizesOf(made)) {
        if (size.key == "angle_deg") {
            *size.value = pi / 2;
            continue;
        }
        const double* found = sizeIn(source, size.key);
        for (const std::string_view key : nearestTo(size.key))
            if (!found && !key.empty()) found = sizeIn(source, key);
        *size.value = found ? *found : 0.1;
    }
    return made;
}

}  // namespace portwright
