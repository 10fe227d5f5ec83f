// SPDX-License-Identifier: GPL-3.0-or-later
// A port taken out of a housing, and another one put in.
#pragma once

#include "core/port/clearances.h"
#include "core/response/model.h"

namespace portwright {

/// What the housing leaves for a port in place of `opening` (index; -1: a new one in the main cavity): its cavity with
/// that port taken out, and the room as it was measured for a port. What was not measured is as the port there has it:
/// its bends, what of it is in the wall or stands outside, and for a straight one the run that its free end tells.
PortSpace spaceOf(const Model& model, int opening);

/// The model with that port in place of `opening` (-1: beside the others), net volume and all.
Model withPort(const Model& model, int opening, const PortSpace& space, const PortOpening& port);

}  // namespace portwright
