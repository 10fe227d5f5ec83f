// SPDX-License-Identifier: GPL-3.0-or-later
// A body put together from simple solids.
#pragma once

#include "core/housing/measurement.h"

#include <utility>
#include <vector>

namespace portwright::test {

inline SolidStep step(Solid solid, Point3 at = {0, 0, 0}, bool subtract = false, SolidAxis axis = SolidAxis::z)
{
    SolidStep s;
    s.solid = std::move(solid), s.at = at, s.subtract = subtract, s.axis = axis;
    return s;
}

inline SolidsMeasurement list(std::vector<SolidStep> steps)
{
    SolidsMeasurement m;
    m.steps = std::move(steps);
    return m;
}

}  // namespace portwright::test
