// SPDX-License-Identifier: GPL-3.0-or-later
// What takes air from the bare shell: driver, ports, braces and the rest.
#pragma once

#include "core/cavity/reading.h"

namespace portwright {

struct DeductionLine {
    std::string name;
    double volume = 0, uncertainty = 0;  ///< m3
    std::string from;  ///< "as given", "datasheet", "estimate from the piston area", "ports' outline inside"
};

/// The solid of a driver behind its mounting plane, m: a frustum from cone to coil, the neck on to the magnet, and the
/// magnet. The basket's struts are left out, the air between them belongs to the cavity.
struct DriverShape {
    double coneDiameter = 0, coilDiameter = 0, coneDepth = 0, neck = 0, magnetDiameter = 0, magnetHeight = 0;
};

double displacementOf(const DriverShape& shape);  ///< m3

/// Usual proportions of a driver with piston area Sd [m2], d = sqrt(4 Sd/pi): cone depth 0.2 d, coil 0.3 d, neck 0.13
/// d, magnet 0.62 d wide and 0.2 d high (common practice, no source; the cut drawing uses them too).
DriverShape usualShape(double Sd);

/// Air that all ports of the cavity take inside, m3; see outlineVolume() of core/port/geometry.h. The air in the tubes
/// belongs to the ports, not the cavity.
double outlineInside(const CavityContext& context);

/// One line for each deduction of a cavity, in order. Driver: the given volume, else the datasheet's displacement, else
/// the estimate above, each times the number of drivers. Ports: the given volume, else the outline of the ports of this
/// cavity. Uncertainty where not given: 10 %, driver by datasheet 5 %, estimated 25 % (common practice, no source).
/// Sentences on what gives no volume go to remarks.
std::vector<DeductionLine> deductionLines(const Cavity& cavity, const CavityContext& context,
                                          std::vector<std::string>& remarks);

}  // namespace portwright
