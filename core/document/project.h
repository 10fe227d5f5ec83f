// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/air/air.h"
#include "core/driver/sheet.h"
#include "core/feed/feed.h"
#include "core/housing/housing.h"
#include "core/place/place.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct LimitSettings {
    std::optional<double> portAir;  ///< m/s peak, 1..100, default 17 (common practice, no source)
    UnknownKeys unknown;
    bool operator==(const LimitSettings&) const = default;
};

/// One job on one motorcycle. A plain value: copied to threads, compared, undone, written.
struct Project {
    std::string title, notes;
    std::optional<AirConditions> air;
    std::vector<DriverSheet> drivers;
    std::vector<Housing> housings;
    std::optional<Feed> feed;
    std::optional<Place> place;
    std::optional<LimitSettings> limits;
    UnknownKeys unknown;
    bool operator==(const Project&) const = default;
};

inline constexpr double defaultPortAirLimit = 17.0;  ///< m/s peak, common practice, no source

double portAirLimit(const Project& project);                                   ///< m/s peak
const Feed& feedOf(const Project& project, const Housing& housing);            ///< the one in force
const DriverSheet* findDriver(const Project& project, const std::string& id);  ///< null if there is none

}  // namespace portwright
