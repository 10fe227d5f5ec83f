// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/port_in_model.h"

#include "core/port/geometry.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Result<Model> tried(const PortOpening& port, const std::optional<RoomForPort>& room = {})
{
    Project p;
    Housing housing = closedHousing(8e-3);
    housing.cavity.roomForPort = room;
    housing.openings.push_back({port, {}, {}});
    p.drivers.push_back(DriverSheet{});
    DriverSheet& driver = p.drivers.back();
    driver.id = housing.driver;
    driver.fs = 70, driver.Qes = 0.6, driver.Qms = 5, driver.Vas = 10e-3, driver.Re = 3.3, driver.Sd = 132e-4;
    p.housings.push_back(housing);
    return modelOf(p, 0);
}

Model modelWith(const PortOpening& port, const std::optional<RoomForPort>& room = {})
{
    const auto model = tried(port, room);
    REQUIRE(model);
    return *model;
}

PortOpening throughWall()
{
    PortOpening port;
    port.diameter = 0.05, port.length = 0.12, port.inside = 0.11, port.wall = 2e-3;
    return port;
}

}  // namespace

TEST_CASE("what was measured for a port stands before what the port there has")
{
    const PortSpace asNow = spaceOf(modelWith(throughWall()), 0);
    CHECK(asNow.wall == Approx(0.01));
    CHECK(asNow.outside == 0);
    CHECK_FALSE(asNow.straight);
    PortOpening ending = throughWall();
    ending.obstacle = 0.07;
    CHECK(*spaceOf(modelWith(ending), 0).straight == Approx(0.18));
    RoomForPort room;
    room.straight = 0.15, room.across = 0.2, room.mouthWidth = 0.09, room.mouthHeight = 0.08, room.wall = 0.004;
    const PortSpace stated = spaceOf(modelWith(ending, room), 0);
    CHECK(*stated.straight == 0.15);
    CHECK(*stated.across == 0.2);
    CHECK(*stated.mouthWidth == 0.09);
    CHECK(*stated.mouthHeight == 0.08);
    CHECK(stated.wall == 0.004);
    CHECK(stated.outside == Approx(0.006));
    const PortSpace another = spaceOf(modelWith(ending, room), -1);
    CHECK(another.outside == 0);
    CHECK(another.empty.netVolume == Approx(8e-3));
}

TEST_CASE("a port taken out and put in again leaves the housing as it was")
{
    rc::prop("any size", [] {
        PortOpening port = throughWall();
        port.diameter = *rc::gen::inRange(20, 80) * 1e-3;
        port.length = *rc::gen::inRange(20, 180) * 1e-3;
        port.inside = port.length * *rc::gen::inRange(0, 11) / 10;
        const auto found = tried(port);
        RC_PRE(found.has_value());  // some do not go into the cavity
        const Model& model = *found;
        const PortSpace space = spaceOf(model, 0);
        RC_ASSERT(std::abs(space.empty.netVolume - 8e-3 - outlineVolume(port)) < 1e-12);
        const Model back = withPort(model, 0, space, port);
        RC_ASSERT(std::abs(back.housing.cavity.netVolume / 8e-3 - 1) < 1e-12);
        RC_ASSERT(back.housing.openings == model.housing.openings);
    });
}
