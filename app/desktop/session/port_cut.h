// SPDX-License-Identifier: GPL-3.0-or-later
// A port in a housing of the project: its length for a tuning, and cutting it.
#pragma once

#include "core/document/project.h"
#include "core/sizing/sizing.h"

namespace portwright {

/// The length that tunes a housing's one port in its main cavity [Hz], by the whole model, what the port takes of the
/// cavity included: the lines' answer, set right in a few steps. Errors as lengthFor().
Result<SizedPort> lengthInHousing(const Model& model, std::size_t opening, double tuning);

/// The opening that is the only port of the main cavity; none if there is none or more than one.
std::optional<std::size_t> portToTune(const Housing& housing);

/// The same port cut to a length in the same shell: where the net volume is given as a number, it gains or loses what
/// the port then leaves or takes. The length is rounded to 0.1 mm, as fine as a tube is cut.
void cutPort(Project& project, std::size_t housing, std::size_t opening, double length);

}  // namespace portwright
