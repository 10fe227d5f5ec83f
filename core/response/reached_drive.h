// SPDX-License-Identifier: GPL-3.0-or-later
// How loud a feed may be until a flow reaches a size, where ports that separate keep it from growing in proportion.
// Internal to the response.
#pragma once

#include "core/response/fed_network.h"

namespace portwright {

/// The lowest drive [V rms, after the high-pass] at each frequency at which a flow is as large as `limit` [rms];
/// infinite where none is. `flow`: the flow for 1 V with the mouths at 0, then for 1 Pa at each mouth. One mouth:
/// exact, also where the flow does not rise throughout. Several: the first crossing met in doubling steps from far
/// below.
Eigen::ArrayXd reachedDrive(const Superposition& s, const std::vector<const Eigen::ArrayXcd*>& flow,
                            const Eigen::ArrayXd& limit);

}  // namespace portwright
