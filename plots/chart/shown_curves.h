// SPDX-License-Identifier: GPL-3.0-or-later
// From the core's curves (SI) to what the four charts show: dB, travel and air speed in the unit system, ohm.
#pragma once

#include "core/quantity/quantity.h"
#include "core/response/curves.h"
#include "plots/chart/curve.h"

namespace portwright {

struct ShownCurves {
    Curve level, travel, air, impedance;  ///< air: the fastest port at each frequency; empty without a port
};
ShownCurves shownCurves(int slot, const QString& name, const Curves& curves, UnitSystem units = UnitSystem::metric);

/// The same curves with the band between two sets of them (see Uncertainty).
void addBands(ShownCurves& shown, const Curves& lower, const Curves& upper, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
