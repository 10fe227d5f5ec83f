// SPDX-License-Identifier: GPL-3.0-or-later
// Where the rider's ear is.
#pragma once

#include "core/constants.h"

#include <optional>

namespace portwright {

enum class Space { half, full };

struct Place {
    std::optional<double> distance;  ///< m, 0.05..1000, default 1
    std::optional<Space> space;      ///< default half
    UnknownKeys unknown;
    bool operator==(const Place&) const = default;
};

double distanceOf(const Place& place);    ///< m
double solidAngleOf(const Place& place);  ///< 2 pi or 4 pi

}  // namespace portwright
