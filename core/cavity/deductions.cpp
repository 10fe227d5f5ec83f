// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/deductions.h"

#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

std::string usualName(DeductionKind kind)
{
    switch (kind) {
    case DeductionKind::driver:
        return "driver";
    case DeductionKind::port:
        return "port";
    case DeductionKind::brace:
        return "brace";
    case DeductionKind::amplifier:
        return "amplifier";
    case DeductionKind::foam:
        return "foam";
    case DeductionKind::other:
        break;
    }
    return "other";
}

double frustum(double diameter, double topDiameter, double height)
{
    const double R = diameter / 2, r = topDiameter / 2;
    return pi * height / 3 * (R * R + R * r + r * r);
}

bool standsIn(const Opening& opening, CavityId cavity) { return opening.cavity.value_or(CavityId::main) == cavity; }

DeductionLine driverLine(const Deduction& deduction, const CavityContext& context, std::vector<std::string>& remarks)
{
    DeductionLine line;
    if (context.cavity != CavityId::main) {
        remarks.push_back("The drivers stand in the main cavity; in the second one they take nothing.");
        line.from = "not in this cavity";
        return line;
    }
    const int count = context.housing.driverCount.value_or(1);
    if (context.driver.displacement) {
        line.volume = count * *context.driver.displacement;
        line.uncertainty = 0.05 * line.volume;
        line.from = "datasheet";
    } else {
        line.volume = count * displacementOf(usualShape(context.driver.driver.Sd));
        line.uncertainty = 0.25 * line.volume;
        line.from = "estimate from the piston area";
        if (!deduction.uncertainty)
            remarks.push_back(fmt::format("What the driver takes, {}, is estimated from its piston area to 25 %; the "
                                          "datasheet's displacement is better.",
                                          formatQuantity(line.volume, Dimension::volume, context.units)));
    }
    return line;
}

DeductionLine portLine(const CavityContext& context)
{
    DeductionLine line;
    line.from = "ports' outline inside";
    line.volume = outlineInside(context);
    line.uncertainty = 0.1 * line.volume;
    return line;
}

DeductionLine lineOf(const Deduction& deduction, const CavityContext& context, std::vector<std::string>& remarks)
{
    const std::string name = deduction.name.empty() ? usualName(deduction.kind) : deduction.name;
    DeductionLine line;
    if (deduction.volume) {
        line.volume = *deduction.volume;
        line.uncertainty = 0.1 * line.volume;
        line.from = "as given";
    } else if (deduction.kind == DeductionKind::driver) {
        line = driverLine(deduction, context, remarks);
    } else if (deduction.kind == DeductionKind::port) {
        line = portLine(context);
    } else {
        remarks.push_back(fmt::format("The deduction \"{}\" has no volume; nothing is taken off for it.", name));
        line.from = "no volume given";
    }
    line.name = name;
    if (deduction.uncertainty) line.uncertainty = *deduction.uncertainty;
    return line;
}

}  // namespace

double displacementOf(const DriverShape& s)
{
    return frustum(s.coneDiameter, s.coilDiameter, s.coneDepth) + frustum(s.coilDiameter, s.coilDiameter, s.neck) +
           frustum(s.magnetDiameter, s.magnetDiameter, s.magnetHeight);
}

DriverShape usualShape(double Sd)
{
    const double d = std::sqrt(4 * Sd / pi);
    return {.coneDiameter = d,
            .coilDiameter = 0.3 * d,
            .coneDepth = 0.2 * d,
            .neck = 0.13 * d,
            .magnetDiameter = 0.62 * d,
            .magnetHeight = 0.2 * d};
}

double outlineInside(const CavityContext& context)
{
    double volume = 0;
    for (const Opening& opening : context.housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&opening.kind); port && standsIn(opening, context.cavity))
            volume += outlineVolume(*port);
    return volume;
}

std::vector<DeductionLine> deductionLines(const Cavity& cavity, const CavityContext& context,
                                          std::vector<std::string>& remarks)
{
    std::vector<DeductionLine> lines;
    lines.reserve(cavity.deductions.size());
    for (const Deduction& deduction : cavity.deductions)
        lines.push_back(lineOf(deduction, context, remarks));
    return lines;
}

}  // namespace portwright
