// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/housing/profile.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace portwright {

bool isUsable(const Profile& p)
{
    const std::size_t n = p.at.size();
    const auto finite = [](double x) { return std::isfinite(x); };
    const auto good = [](double x) { return std::isfinite(x) && x >= 0; };
    return n >= 2 && p.area.size() == n && (p.perimeter.empty() || p.perimeter.size() == n) &&
           std::all_of(p.at.begin(), p.at.end(), finite) && std::all_of(p.area.begin(), p.area.end(), good) &&
           std::all_of(p.perimeter.begin(), p.perimeter.end(), good) &&
           std::adjacent_find(p.at.begin(), p.at.end(), std::greater_equal<>()) == p.at.end() &&
           std::any_of(p.area.begin(), p.area.end(), [](double area) { return area > 0; });
}

}  // namespace portwright
