// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/response/model.h"

#include <optional>

namespace portwright {

/// Where |Z| of the wired group, as swept at a small signal, dips between two peaks [Hz]: of several such dips the one
/// nearest to `tuning` (tuningOf(model), Hz). Only without coil inductance and losses is that the tuning itself (Small
/// 1973): there the air holds the cones still and |Z| = Re; both, and a driver far from its own resonance, pull it
/// away. Nothing where no dip is to be read: one peak, or a dip of less than 1 %.
std::optional<double> impedanceDip(const Model& model, double tuning);

}  // namespace portwright
