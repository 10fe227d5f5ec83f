// SPDX-License-Identifier: GPL-3.0-or-later
// From the core's curves (SI) to what the four charts show: dB, mm, m/s, ohm.
#pragma once

#include "core/response/curves.h"
#include "plots/curve.h"

namespace portwright {

struct ShownCurves {
    Curve level, travel, air, impedance;  ///< air: the fastest port at each frequency; empty without a port
};
ShownCurves shownCurves(int slot, const QString& name, const Curves& curves);

}  // namespace portwright
