// SPDX-License-Identifier: GPL-3.0-or-later
// The admittances of the elements over a whole grid, with their derivatives by w. Internal to the solver.
#pragma once

#include "core/network/network.h"

namespace portwright {

/// A complex quantity over the grid and its derivative by w (left empty when not wanted).
struct Band {
    Eigen::ArrayXcd value, derivative;
};

/// Admittance of a two-node element.
Band admittanceOf(const Compliance& e, const Grid& grid, const Air& air, Derivatives want);
Band admittanceOf(const Inertance& e, const Grid& grid, const Air& air, Derivatives want);
Band admittanceOf(const Tube& e, const Grid& grid, const Air& air, Derivatives want);
Band admittanceOf(const Diaphragm& e, const Grid& grid, const Air& air, Derivatives want);
Band admittanceOf(const SeriesElement& e, const Grid& grid, const Air& air, Derivatives want);

/// A line between two nodes: U1 = first p1 - across p2, U2 = across p1 - last p2. A closed duct has `first` alone.
struct LineBand {
    Band first, across, last;
};
LineBand admittanceOf(const Duct& e, const Grid& grid, const Air& air, Derivatives want);
LineBand admittanceOf(const PortLine& e, const Grid& grid, const Air& air, Derivatives want);

/// The driver two-port: I = electrical V + coupling dp, U = coupling V - mechanical dp.
struct DriverBand {
    Band electrical;  ///< Zm/D, S
    Band coupling;    ///< Bl Sd/D
    Band mechanical;  ///< Ze Sd^2/D
};
DriverBand admittanceOf(const DriverElement& e, const Grid& grid, Derivatives want);

}  // namespace portwright
