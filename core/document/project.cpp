// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/project.h"

#include <algorithm>

namespace portwright {

double portAirLimit(const Project& project)
{
    return project.limits ? project.limits->portAir.value_or(defaultPortAirLimit) : defaultPortAirLimit;
}

const Feed& feedOf(const Project& project, const Housing& housing)
{
    static const Feed usual;
    if (housing.feed) return *housing.feed;
    return project.feed ? *project.feed : usual;
}

const DriverSheet* findDriver(const Project& project, const std::string& id)
{
    const auto found = std::find_if(project.drivers.begin(), project.drivers.end(),
                                    [&id](const DriverSheet& d) { return d.id == id; });
    return found == project.drivers.end() ? nullptr : &*found;
}

}  // namespace portwright
