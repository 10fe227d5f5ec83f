// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/port_in_model.h"

#include "core/cavity/shape.h"

#include <algorithm>

namespace portwright {

namespace {

void addMeasured(PortSpace& space, const RoomForPort& room)
{
    space.straight = room.straight, space.across = room.across;
    space.mouthWidth = room.mouthWidth, space.mouthHeight = room.mouthHeight;
    space.wall = room.wall.value_or(space.wall);
}

// What is not measured: a flush port ends with its wall, one that stands out may do so again.
void addAsNow(PortSpace& space, const PortOpening& port, const RoomForPort& measured)
{
    constexpr int mostSearched = 2;
    const double inside = insideOf(port), rest = std::max(port.length - inside, 0.0);
    space.mostBends = std::clamp(int(port.bends.size()), space.mostBends, mostSearched);
    if (measured.wall)
        space.outside = std::max(rest - *measured.wall, 0.0);
    else
        (port.outerEnd == TubeEnd::flush ? space.wall : space.outside) = rest;
    if (!measured.straight && port.bends.empty() && port.obstacle) space.straight = inside + *port.obstacle;
}

}  // namespace

PortSpace spaceOf(const Model& model, int opening)
{
    PortSpace space;
    const Cavity& cavity = cavityOf(model.housing, opening);
    const RoomForPort measured = cavity.roomForPort.value_or(RoomForPort{});
    space.empty = roomOf(cavity);
    if (!cavity.measurements.empty())
        if (const auto shape = shapeOf(cavity, {})) space.empty.depth = shape->length();
    addMeasured(space, measured);
    if (opening >= 0)
        if (const auto* port = std::get_if<PortOpening>(&model.housing.openings[std::size_t(opening)].kind)) {
            space.empty.netVolume += outlineVolume(*port);
            addAsNow(space, *port, measured);
        }
    return space;
}

Model withPort(const Model& model, int opening, const PortSpace& space, const PortOpening& port)
{
    Housing housing = model.housing;
    cavityOf(housing, opening).netVolume = space.empty.netVolume - outlineVolume(port);
    if (opening < 0)
        housing.openings.push_back({port, {}, {}});
    else
        housing.openings[std::size_t(opening)].kind = port;
    return withHousing(model, housing);
}

}  // namespace portwright
