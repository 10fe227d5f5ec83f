// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/place/place.h"

namespace portwright {

double distanceOf(const Place& place) { return place.distance.value_or(1.0); }

double solidAngleOf(const Place& place) { return (place.space.value_or(Space::half) == Space::half ? 2 : 4) * pi; }

}  // namespace portwright
