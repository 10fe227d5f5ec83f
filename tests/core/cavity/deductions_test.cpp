// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/deductions.h"

#include "core/port/geometry.h"

#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening tube(double diameter, double wall, double length)
{
    PortOpening port;
    port.diameter = diameter;
    port.wall = wall;
    port.length = length;
    return port;
}

struct Bench {
    Housing housing = closedHousing(0);
    CompleteDriver driver = completed(referenceDriver());
    Air air = roundAir();
    CavityId cavity = CavityId::main;
    std::vector<std::string> remarks = {};

    DeductionLine only(const Deduction& deduction)
    {
        Cavity of;
        of.deductions = {deduction};
        remarks.clear();
        return deductionLines(of, {housing, driver, air, cavity}, remarks).front();
    }
};

Deduction listed(DeductionKind kind)
{
    Deduction d;
    d.kind = kind;
    return d;
}

}  // namespace

TEST_CASE("a driver is a frustum and a magnet")
{
    // Closed forms: radius 65.1 to 19 mm over 35 mm is 0.213897 L; radius 45 mm by 20 mm is 0.127235 L.
    const DriverShape cone{.coneDiameter = 0.1302, .coilDiameter = 0.038, .coneDepth = 0.035};
    CHECK(displacementOf(cone) * 1e3 == Approx(0.213897).epsilon(1e-5));
    const DriverShape magnet{.magnetDiameter = 0.09, .magnetHeight = 0.02};
    CHECK(displacementOf(magnet) * 1e3 == Approx(0.127235).epsilon(1e-5));
}

TEST_CASE("the estimate of a driver lies where its class lies")
{
    // Litres that the usual classes displace by their piston area (considered guesses of the trade, no source).
    const std::tuple<double, double, double> classes[] = {{90e-4, 0.15, 0.4}, {132e-4, 0.3, 0.7}, {240e-4, 0.5, 1.0}};
    for (const auto& [Sd, least, most] : classes) {
        const double litres = displacementOf(usualShape(Sd)) * 1e3;
        INFO(Sd << " " << litres);
        CHECK(litres > least);
        CHECK(litres < most);
    }
}

TEST_CASE("a port takes its outline inside, and nothing outside")
{
    // pi 32.5^2 mm2 times 180 mm is 0.597295 L.
    PortOpening port = tube(0.06, 0.0025, 0.18);
    CHECK(outlineVolume(port) * 1e3 == Approx(0.597295).epsilon(1e-5));
    port.count = 2;
    CHECK(outlineVolume(port) * 1e3 == Approx(2 * 0.597295).epsilon(1e-5));
    port.inside = 0.06;
    CHECK(outlineVolume(port) * 1e3 == Approx(2 * 0.597295 / 3).epsilon(1e-5));
    port.inside = 0.5;  // no more than there is
    CHECK(outlineVolume(port) * 1e3 == Approx(2 * 0.597295).epsilon(1e-5));
    port.inside.reset();
    port.innerEnd = TubeEnd::flush;
    CHECK(outlineVolume(port) == 0);

    PortOpening slot;
    slot.shape = PortShape::slot;
    slot.width = 0.1, slot.height = 0.02, slot.wall = 0.005, slot.length = 0.2;
    CHECK(outlineVolume(slot) == Approx(0.11 * 0.03 * 0.2));
}

TEST_CASE("the driver's deduction is what is given, else the datasheet's, else an estimate, for each driver")
{
    Bench bench;
    bench.housing.driverCount = 2;
    const DeductionLine estimated = bench.only(listed(DeductionKind::driver));
    CHECK(estimated.volume == Approx(2 * displacementOf(usualShape(0.0133))));
    CHECK(estimated.uncertainty == Approx(0.25 * estimated.volume));
    CHECK(bench.remarks.size() == 1);

    bench.driver.displacement = 0.35e-3;
    const DeductionLine printed = bench.only(listed(DeductionKind::driver));
    CHECK(printed.volume == Approx(0.7e-3));
    CHECK(printed.uncertainty == Approx(0.05 * 0.7e-3));
    CHECK(printed.from == "datasheet");
    CHECK(bench.remarks.empty());

    Deduction given = listed(DeductionKind::driver);
    given.volume = 0.8e-3;
    CHECK(bench.only(given).volume == 0.8e-3);
    CHECK(bench.only(given).uncertainty == Approx(0.08e-3));
    given.uncertainty = 0.02e-3;
    CHECK(bench.only(given).uncertainty == 0.02e-3);
}

TEST_CASE("each cavity pays for its own ports, and only the main one for drivers")
{
    Bench bench;
    bench.housing.secondCavity.emplace();
    Opening first, second;
    first.kind = tube(0.06, 0.0025, 0.18);
    second.kind = tube(0.05, 0, 0.1);
    second.cavity = CavityId::second;
    bench.housing.openings = {first, second};
    CHECK(bench.only(listed(DeductionKind::port)).volume * 1e3 == Approx(0.597295).epsilon(1e-5));
    bench.cavity = CavityId::second;
    CHECK(bench.only(listed(DeductionKind::port)).volume == Approx(pi * 0.025 * 0.025 * 0.1));
    CHECK(bench.only(listed(DeductionKind::driver)).volume == 0);
    CHECK(bench.remarks.size() == 1);
}

TEST_CASE("a brace without a volume takes nothing and is remarked")
{
    Bench bench;
    Deduction brace = listed(DeductionKind::brace);
    CHECK(bench.only(brace).volume == 0);
    REQUIRE(bench.remarks.size() == 1);
    CHECK(bench.remarks[0] == "The deduction \"brace\" has no volume; nothing is taken off for it.");
    brace.volume = 0.1e-3;
    brace.name = "rib";
    CHECK(bench.only(brace).name == "rib");
    CHECK(bench.only(brace).uncertainty == Approx(0.01e-3));
}
