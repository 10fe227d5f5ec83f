// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/quantity/quantity.h"

#include <string>

namespace portwright {

/// A length as it is set on a saw or a rule: "163.0 mm", in inches beside it "163.0 mm (6.417 in)" for a US shop.
std::string shopLength(double metres, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
