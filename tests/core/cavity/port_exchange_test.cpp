// SPDX-License-Identifier: GPL-3.0-or-later
// A port exchanged for another one: the net volume that the search reckons with, or why it is another one.
#include "core/cavity/port_exchange.h"

#include "core/port/geometry.h"
#include "core/search/search.h"
#include "tests/core/cavity/stated.h"
#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Deduction taken(DeductionKind kind, std::optional<double> volume = {}, std::optional<double> uncertainty = {})
{
    Deduction d;
    d.kind = kind, d.volume = volume, d.uncertainty = uncertainty;
    return d;
}

PortOpening tube(double bore, double length, double wall = 2e-3)
{
    PortOpening port;
    port.diameter = bore, port.length = length, port.wall = wall;
    return port;
}

Housing housingOf(std::vector<Measurement> measurements, std::vector<Deduction> deductions,
                  std::optional<PortOpening> port = {})
{
    Housing housing = closedHousing(0);
    housing.openings = {{LeakByQ{7}, {}, {}}};
    housing.cavity.measurements = std::move(measurements);
    housing.cavity.deductions = std::move(deductions);
    if (port) housing.openings.push_back({*port, {}, {}});
    return housing;
}

PortExchange exchanged(const Housing& housing, int opening, const std::optional<PortOpening>& port)
{
    const auto result = exchangedPort(housing, opening, port, completed(referenceDriver()), roundAir());
    INFO((result ? "" : result.error().field + ": " + result.error().message));
    REQUIRE(result);
    return *result;
}

NetVolume netOf(const Housing& housing)
{
    const CompleteDriver driver = completed(referenceDriver());
    const Air air = roundAir();
    const auto net = netVolumeOf(housing.cavity, {.housing = housing, .driver = driver, .air = air});
    REQUIRE(net);
    return *net;
}

// As the search has it.
double searched(const Housing& housing, int opening, const PortOpening& port)
{
    const auto whole = resolvedHousing(housing, completed(referenceDriver()), roundAir());
    REQUIRE(whole);
    const Model model = modelOfReference(*whole);
    return withPort(model, opening, spaceOf(model, opening), port).housing.cavity.netVolume;
}

bool says(const PortExchange& exchange, const std::string& words)
{
    return std::any_of(exchange.notes.begin(), exchange.notes.end(),
                       [&](const std::string& note) { return note.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a measured shell with its port taken off by outline gives the net volume of the search with any other port")
{
    rc::prop("random shells, deductions, ports", [] {
        const double shell = logUniform(3e-3, 30e-3), u = logUniform(0.003, 0.1) * shell;
        const double brace = logUniform(0.001, 0.05) * shell;
        const bool ported = coin(), second = ported && coin();
        const PortOpening old = tube(logUniform(0.03, 0.06), logUniform(0.02, 0.15));
        PortOpening next = tube(logUniform(0.03, 0.06), logUniform(0.02, 0.2));
        if (coin()) next.inside = 0.5 * next.length;
        if (coin()) next.innerFlare = 0.01;
        std::vector<Deduction> deductions{taken(DeductionKind::brace, brace)};
        if (ported || coin()) deductions.push_back(taken(DeductionKind::port));
        Housing housing = housingOf({stated(shell, u)}, deductions, ported ? std::optional(old) : std::nullopt);
        if (second) housing.openings.push_back({tube(0.025, 0.03), {}, {}});  // stays
        const int opening = ported ? 1 : -1;

        const PortExchange result = exchanged(housing, opening, next);
        const NetVolume net = netOf(result.housing);
        RC_ASSERT(result.notes.empty());
        RC_ASSERT(std::abs(net.value - searched(housing, opening, next)) < 1e-9 * net.value);
        RC_ASSERT(!net.stated);
        RC_ASSERT(result.housing.cavity.measurements == housing.cavity.measurements);
        // JCGM 100:2008, 5.1.2: independent parts of a sum add in squares; 10 % of each deduction.
        const double ports = outlineVolume(next) + (second ? outlineVolume(tube(0.025, 0.03)) : 0);
        const double expected = std::sqrt(u * u + 0.01 * brace * brace + 0.01 * ports * ports);
        RC_ASSERT(net.uncertainty && std::abs(*net.uncertainty - expected) < 1e-9 * expected);
    });
}

TEST_CASE("a port deduction with a number gives way to one that follows the port, and the difference is told")
{
    const PortOpening old = tube(0.05, 0.12), next = tube(0.06, 0.2);
    Deduction byHand = taken(DeductionKind::port, 0.5e-3, 0.02e-3);
    byHand.name = "the tube";
    const Housing housing = housingOf(
        {stated(8e-3, 0.1e-3)}, {byHand, taken(DeductionKind::brace, 0.1e-3), taken(DeductionKind::port, 0.1e-3)}, old);
    const PortExchange result = exchanged(housing, 1, next);
    const auto& deductions = result.housing.cavity.deductions;
    REQUIRE(deductions.size() == 2);
    CHECK(deductions[0].name == "the tube");
    CHECK(!deductions[0].volume);
    CHECK(!deductions[0].uncertainty);
    CHECK(netOf(result.housing).value == Approx(7.9e-3 - pi * 0.032 * 0.032 * 0.2));
    CHECK(says(result, "was not its outline"));
    // A number that was the outline makes no difference.
    const Housing plain =
        housingOf({stated(8e-3, 0.1e-3)}, {taken(DeductionKind::port, outlineVolume(old), 1e-5)}, old);
    CHECK(exchanged(plain, 1, next).notes.empty());
}

TEST_CASE("beside a port deduction that follows the port one with a number stays: it is for something else")
{
    const Housing housing = housingOf(
        {stated(8e-3, 0.1e-3)}, {taken(DeductionKind::port), taken(DeductionKind::port, 0.1e-3)}, tube(0.05, 0.12));
    const PortExchange result = exchanged(housing, 1, tube(0.06, 0.2));
    CHECK(result.housing.cavity.deductions == housing.cavity.deductions);
    CHECK(netOf(result.housing).value == Approx(searched(housing, 1, tube(0.06, 0.2))).epsilon(1e-12));
}

TEST_CASE("a stated net volume, and one measured with everything in place, is put on by both outlines and told")
{
    rc::prop("random volumes", [] {
        const double net = logUniform(3e-3, 30e-3), u = logUniform(0.003, 0.1) * net;
        const PortOpening old = tube(logUniform(0.03, 0.06), logUniform(0.02, 0.15));
        const PortOpening next = tube(logUniform(0.03, 0.06), logUniform(0.02, 0.2));
        const bool measured = coin(), ported = coin();
        const std::optional<PortOpening> present = ported ? std::optional(old) : std::nullopt;
        Housing housing =
            measured ? housingOf({stated(net, u, InPlace::everything)}, {}, present) : housingOf({}, {}, present);
        if (!measured) housing.cavity.netVolume = net, housing.cavity.netUncertainty = u;
        const PortExchange result = exchanged(housing, ported ? 1 : -1, next);
        const double change = (ported ? outlineVolume(old) : 0) - outlineVolume(next);
        RC_ASSERT(std::abs(result.housing.cavity.netVolume - (net + change)) < 1e-12 * net);
        RC_ASSERT(std::abs(*result.housing.cavity.netUncertainty - std::hypot(u, 0.1 * change)) < 1e-9 * u);
        RC_ASSERT(result.housing.cavity.measurements == housing.cavity.measurements);  // the shape is in them
        RC_ASSERT(says(result, "is stated"));
        RC_ASSERT(std::abs(netOf(result.housing).value - searched(housing, ported ? 1 : -1, next)) < 1e-9 * net);
    });
}

TEST_CASE("a net volume without uncertainty gets none, and a port all outside changes nothing")
{
    Housing housing = housingOf({}, {});
    housing.cavity.netVolume = 5e-3;
    PortOpening outside = tube(0.05, 0.1);
    outside.inside = 0;
    const PortExchange result = exchanged(housing, -1, outside);
    CHECK(result.housing.cavity.netVolume == 5e-3);
    CHECK(!result.housing.cavity.netUncertainty);
    CHECK(result.housing.cavity.deductions.empty());
    CHECK(result.notes.empty());
    CHECK(result.housing.openings.size() == 2);
}

TEST_CASE("a port closed gives its air back, and with the last one the deductions for ports go")
{
    const PortOpening old = tube(0.05, 0.12), other = tube(0.03, 0.05);
    Housing housing =
        housingOf({stated(8e-3, 0.1e-3)}, {taken(DeductionKind::port), taken(DeductionKind::port, 1e-5)}, old);
    const PortExchange closed = exchanged(housing, 1, std::nullopt);
    CHECK(closed.housing.openings.size() == 1);
    CHECK(closed.housing.cavity.deductions.empty());
    CHECK(netOf(closed.housing).value == Approx(8e-3));
    housing.openings.push_back({other, {}, {}});
    const PortExchange one = exchanged(housing, 1, std::nullopt);
    CHECK(one.housing.cavity.deductions == housing.cavity.deductions);
    CHECK(netOf(one.housing).value == Approx(8e-3 - 1e-5 - outlineVolume(other)));
    Housing plain = housingOf({}, {}, old);
    plain.cavity.netVolume = 5e-3;
    const PortExchange put = exchanged(plain, 1, std::nullopt);
    CHECK(put.housing.cavity.netVolume == Approx(5e-3 + outlineVolume(old)));
    CHECK(says(put, "of the old port"));
    CHECK_FALSE(says(put, "of the new one"));
}

TEST_CASE("a port of a second cavity is exchanged there")
{
    Housing housing = closedHousing(5e-3);
    housing.secondCavity.emplace();
    housing.secondCavity->cavity.netVolume = 9e-3;
    housing.secondCavity->hole.diameter = 0.05;
    housing.openings = {{tube(0.05, 0.1), CavityId::second, {}}};
    const PortExchange result = exchanged(housing, 0, tube(0.05, 0.2));
    CHECK(result.housing.cavity == housing.cavity);
    CHECK(result.housing.secondCavity->cavity.netVolume == Approx(9e-3 - pi * 0.027 * 0.027 * 0.1));
}

TEST_CASE("a port larger than the cavity is refused with both numbers, and so is a cavity of which nothing is known")
{
    Housing housing = housingOf({}, {});
    housing.cavity.netVolume = 1e-3;
    const auto result = exchangedPort(housing, -1, tube(0.1, 0.3), completed(referenceDriver()), roundAir());
    REQUIRE(!result);
    CHECK(result.error().field == "cavity/net_volume_l");
    INFO(result.error().message);
    CHECK(result.error().message.find("of the 1.0\u00A0L there are") != std::string::npos);
    const Housing bare = housingOf({stated(1e-3, 1e-5)}, {});
    const auto measured = exchangedPort(bare, -1, tube(0.1, 0.3), completed(referenceDriver()), roundAir());
    REQUIRE(!measured);
    housing.cavity.netVolume = 0;
    const auto unknown = exchangedPort(housing, -1, tube(0.05, 0.1), completed(referenceDriver()), roundAir());
    REQUIRE(!unknown);
    CHECK(unknown.error().field == "cavity/net_volume_l");
}
