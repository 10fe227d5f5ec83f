// SPDX-License-Identifier: GPL-3.0-or-later
// One spring or a row of segments: which a cavity is reckoned with, and what the other would say.
#pragma once

#include "core/cavity/shape.h"
#include "core/response/model.h"

namespace portwright {

/// The rule for a cavity that does not say: segmented where the lumped model's level is out by more than 1 dB anywhere
/// from 10 Hz to lumpedServesTo, the range that tuning, f3, travel and port air are judged in.
inline constexpr double lumpedServesTo = 500;  ///< Hz
inline constexpr double lumpedMayBeOutBy = 1;  ///< dB
bool lumpedIsOut(const Model& lumped, const Model& segmented);

/// The choice for a housing of a project, with the tuning both ways. Errors as modelOf.
Result<ModelChoice> modelChoice(const Project& project, std::size_t housing);
ModelChoice modelChoice(const Model& model);

}  // namespace portwright
