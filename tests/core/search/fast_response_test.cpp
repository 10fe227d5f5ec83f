// SPDX-License-Identifier: GPL-3.0-or-later
// The quick evaluator of the search against the network solver on the same lines, and against the whole model.
#include "core/search/fast_response.h"

#include "core/port/geometry.h"
#include "core/response/summary.h"
#include "core/search/search.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Duct duct(Node from, Node to, double length, double area, double fill, double absorption, bool closed)
{
    Duct d;
    d.from = from, d.to = to, d.closed = closed, d.walls = false, d.fill = fill, d.absorption = absorption;
    d.slices.push_back({length, area, area, 0});
    return d;
}

// The housing of a lumped model with port and cavity as the lines that portInCavity says, the port in the wall at 0 and
// the driver at a place of its own.
Model onLines(Model m, const PortOpening& port, const PortInCavity& p, int opening, double driverAt)
{
    const double tau = m.housing.cavity.absorptionQ ? 1 / (m.omega0 * *m.housing.cavity.absorptionQ) : 0;
    std::erase_if(m.elements,
                  [&](const HousingElement& e) { return e.cause == Cause::airSpring || e.opening == opening; });
    m.cavityModel = CavityModel::segmented;
    m.stations = {"at the port"};
    const Node mouth{firstStation};
    const auto add = [&](Node from, Node to, double length, double area, bool closed) {
        if (length > 0)
            m.elements.push_back(
                {.element = duct(from, to, length, area, p.fill, tau, closed), .cause = Cause::airSpring});
    };
    if (driverAt < p.P) {
        add(mainCavity, ground, driverAt, p.A1, true);
        add(mainCavity, mouth, p.P - driverAt, p.A1, false);
        add(mouth, ground, p.d, p.A, true);
    } else {
        add(mouth, ground, p.P, p.A1, true);
        add(mainCavity, mouth, driverAt - p.P, p.A, false);
        add(mainCavity, ground, p.P + p.d - driverAt, p.A, true);
    }
    PortLine line;
    line.from = mouth, line.to = ground;
    line.radius = p.radius, line.slotHeight = p.slotHeight, line.area = areaOf(port), line.length = p.length;
    line.count = p.count, line.inner = p.inner, line.outer = p.outer;
    m.elements.push_back({.element = line,
                          .cause = Cause::opening,
                          .opening = opening,
                          .toOutside = true,
                          .sectionOfOne = areaOf(port),
                          .count = p.count});
    return m;
}

struct Case {
    Model lumped;  // with the port at the end of its openings
    PortOpening port;
    CavityRoom room;
};

Case arbitraryCase(bool absorption)
{
    Case c;
    c.port.diameter = logUniform(0.025, 0.1), c.port.wall = 2e-3;
    if (coin()) {
        c.port.shape = PortShape::slot;
        c.port.width = logUniform(0.04, 0.12), c.port.height = logUniform(0.01, 0.03);
    }
    if (coin()) c.port.count = *rc::gen::inRange(2, 4);
    c.port.length = logUniform(0.03, 0.35);
    if (coin()) c.port.innerFlare = c.port.outerFlare = 0.2 * radiusOf(c.port);
    c.port.inside = c.port.length * *rc::gen::inRange(0, 11) / 10.0;
    c.port.innerEnd = *c.port.inside > 0 ? TubeEnd::free : TubeEnd::flush;
    c.port.separationK = 0;
    c.room.netVolume = logUniform(3e-3, 40e-3);
    c.room.depth = std::max(logUniform(0.15, 0.5), *c.port.inside + 0.05);
    Housing housing = closedHousing(c.room.netVolume);
    housing.cavity.model = CavityModel::lumped;
    housing.driverCount = *rc::gen::inRange(1, 3);
    housing.wiring = coin() ? Wiring::parallel : Wiring::series;
    housing.cavity.fillFactor = 1 + *rc::gen::inRange(0, 3) / 10.0;
    c.room.fill = *housing.cavity.fillFactor;
    if (absorption) housing.cavity.absorptionQ = logUniform(30, 200);
    housing.openings.push_back({LeakByQ{logUniform(5, 50)}, {}, {}});
    if (coin()) housing.openings.push_back({LeakHole{3e-3, 4e-3, {}}, {}, {}});
    housing.openings.push_back({c.port, {}, {}});
    Feed feed;
    feed.voltage = logUniform(1, 20), feed.sourceResistance = coin() ? 0.2 : 0;
    if (coin()) feed.highPass = HighPass{4, 50, {}};
    if (coin()) feed.seriesParts = {{SeriesCapacitor{400e-6}, {}}};
    feed.amplifier = AmplifierRating{50, 4, {}};
    CompleteDriver driver = completed(referenceDriver());
    driver.Xmax = 4e-3, driver.power = 80;
    c.lumped = modelFrom(roundAir(), driver, housing, feed, Place{});
    return c;
}

Grid gridOf(const FastModel& f)
{
    Eigen::ArrayXd frequency(fastPoints);
    for (int i = 0; i < fastPoints; ++i)
        frequency[i] = f.frequency[std::size_t(i)];
    return portwright::gridOf(frequency);
}

struct Slow {
    double loudest = 1e300, ripple = 0, travel = 0, f3 = 0;
};
Slow slowScores(const Model& m, const FastModel& fast)
{
    const Grid grid = gridOf(fast);
    const auto curves = curvesOf(m, grid);
    RC_ASSERT(curves.has_value());
    const LimitCurves limits = limitsOf(m, *curves);
    Slow s;
    double high = -1e300, low = 1e300;
    for (int i = fast.bandFrom; i < fast.bandTo; ++i) {
        s.loudest = std::min(s.loudest, limits.loudest[i]);
        high = std::max(high, curves->level[i]), low = std::min(low, curves->level[i]);
    }
    s.ripple = high - low;
    s.travel = curves->coneTravel.maxCoeff();
    const auto summary = summaryOf(m);
    RC_ASSERT(summary.has_value());
    s.f3 = summary->f3.value_or(0);
    return s;
}

FastPlace placeOf(const PortOpening& port, const PortInCavity& p)
{
    return {p.length, port.length, p.inner.l0, p.inner.l2, p.A, p.d, p.A1, p.P, p.A * p.d + p.A1 * p.P};
}

}  // namespace

TEST_CASE("the quick evaluator is the network on the same lines")
{
    rc::prop("any port, cavity, feed", [] {
        const bool absorption = coin();
        const Case c = arbitraryCase(absorption);
        const PortInCavity p = portInCavity(c.port, c.room, roundAir());
        // Where the mouth has hardly any air the lines are not what the volume is.
        RC_PRE(std::abs((p.A * p.d + p.A1 * p.P) / c.room.netVolume - 1) < 1e-6);
        const int opening = int(c.lumped.housing.openings.size()) - 1;
        const double driverAt = (p.P + p.d) * *rc::gen::inRange(1, 10) / 10.0 + 1e-4;
        const Model lines = onLines(c.lumped, c.port, p, opening, driverAt);
        Model placed = c.lumped;
        placed.housing.openings.pop_back();  // the port
        placed.housing.cavity.driverAt = driverAt, placed.housing.cavity.depth = c.room.depth;
        const FastModel fast = fastModelOf(placed, {}).value();
        const FastPort port = fastPortOf(c.port, p, c.lumped.portAirLimit, fast);
        const FastScores scores = FastResponse(fast, port).at(placeOf(c.port, p));
        const Slow slow = slowScores(lines, fast);
        // Lining is put at the driver and at the mouth instead of along the lines: some tenths of a decibel.
        const double dB = absorption ? 0.4 : 1e-4;
        RC_ASSERT(std::abs(scores.loudest - slow.loudest) < dB);
        RC_ASSERT(std::abs(scores.ripple - slow.ripple) < 2 * dB);
        RC_ASSERT(std::abs(scores.travel / slow.travel - 1) < (absorption ? 0.05 : 1e-5));
        // Between two of the two dozen frequencies f3 is a straight line in logarithms: out by half a step at most.
        double step = 1;
        for (std::size_t i = 1; i < fastPoints; ++i)
            step = std::max(step, fast.frequency[i] / fast.frequency[i - 1]);
        const double halfStep = (step - 1) / 2;
        const double from = fast.frequency[0], to = fast.frequency[std::size_t(fast.f3From)];
        if (slow.f3 > from && slow.f3 < to && std::isfinite(scores.f3) && scores.f3 > from)
            RC_ASSERT(std::abs(scores.f3 / slow.f3 - 1) < halfStep);
    });
}

TEST_CASE("both ends of the band are among the frequencies, which rise")
{
    rc::prop("any band", [] {
        FastBand band;
        band.lowest = logUniform(5, 100);
        band.from = coin() ? band.lowest : std::max(10.0, band.lowest * logUniform(1.001, 20));
        band.from = std::max(band.from, 10.0);
        band.to = std::min(2000.0, band.from * logUniform(1.01, 50));
        RC_PRE(band.to > band.from && band.lowest <= band.from);
        const FastModel fast = fastModelOf(modelOfReference(closedHousing(logUniform(1e-3, 30e-3)), 10), band).value();
        for (std::size_t i = 1; i < fastPoints; ++i)
            RC_ASSERT(fast.frequency[i] > fast.frequency[i - 1]);
        RC_ASSERT(std::abs(fast.frequency[0] / band.lowest - 1) < 1e-9);
        RC_ASSERT(std::abs(fast.frequency[std::size_t(fast.bandFrom)] / band.from - 1) < 1e-9);
        RC_ASSERT(std::abs(fast.frequency[std::size_t(fast.bandTo) - 1] / band.to - 1) < 1e-9);
        RC_ASSERT(fast.bandTo - fast.bandFrom > 2);
    });
}

TEST_CASE("running along the lengths is the same as each length by itself")
{
    Housing housing = closedHousing(8e-3);
    housing.openings = {{LeakByQ{7}, {}, {}}};
    const FastModel fast = fastModelOf(modelOfReference(housing, 10), {}).value();
    PortOpening port;
    port.diameter = 0.05, port.wall = 2e-3;
    CavityRoom empty;
    empty.netVolume = 8e-3, empty.depth = 0.6;
    const auto at = [&](double length) {
        port.length = length;
        CavityRoom room = empty;
        room.netVolume -= outlineVolume(port);
        return portInCavity(port, room, roundAir());
    };
    FastResponse running(fast, fastPortOf(port, at(0.1), 17, fast));
    for (int i = 0; i < 400; ++i) {
        const double length = 0.05 + 1e-3 * i;
        const PortInCavity p = at(length);
        const FastScores one = FastResponse(fast, fastPortOf(port, p, 17, fast)).at(placeOf(port, p));
        const FastScores run = running.at(placeOf(port, p));
        CHECK(run.loudest == Approx(one.loudest).margin(1e-8));
        CHECK(run.ripple == Approx(one.ripple).margin(1e-8));
        CHECK(run.travel == Approx(one.travel).epsilon(1e-9));
        CHECK(run.f3 == Approx(one.f3).epsilon(1e-9));
    }
}

TEST_CASE("a length that rounding alone has changed is the same length")
{
    Housing housing = closedHousing(8e-3);
    housing.cavity.driverAt = 0.07;
    housing.openings = {{LeakByQ{7}, {}, {}}};
    const FastModel fast = fastModelOf(modelOfReference(housing, 10), {}).value();
    PortOpening port;
    port.diameter = 0.05, port.wall = 2e-3, port.length = 0.12;
    CavityRoom room;
    room.netVolume = 8e-3, room.depth = 0.3;
    const PortInCavity p = portInCavity(port, room, roundAir());
    FastResponse running(fast, fastPortOf(port, p, 17, fast));
    FastPlace place = placeOf(port, p);
    const FastScores first = running.at(place);
    place.d += 1e-16, place.P -= 1e-16, place.length += 1e-16;
    const FastScores second = running.at(place);
    CHECK(second.loudest == Approx(first.loudest).margin(1e-9));
    CHECK(second.travel == Approx(first.travel).epsilon(1e-9));
}

TEST_CASE("the quick evaluator agrees with the whole model of the program at a small signal")
{
    // What the whole model has besides: the driver where the file puts it, walls of the cavity, losses as they are. 0.3
    // dB and 3 % of travel up to 160 Hz.
    rc::prop("a port in a compact cavity", [] {
        Housing housing = closedHousing(logUniform(4e-3, 15e-3));
        housing.cavity.depth = std::cbrt(housing.cavity.netVolume);
        housing.cavity.width = housing.cavity.breadth = housing.cavity.depth;
        housing.openings = {{LeakByQ{10}, {}, {}}};
        Model base = modelOfReference(housing, 2.83);
        base.driver.Xmax = 4e-3;
        PortSpace space = spaceOf(base, -1);
        PortOpening body;
        body.diameter = logUniform(0.03, 0.07), body.wall = 2e-3, body.separationK = 0;
        const double longest = longestPort(body, 0, 0, space);
        RC_PRE(longest > 0.03);
        const PortOpening port = madePort(body, longest * *rc::gen::inRange(3, 11) / 10.0, 0, 0, space);
        const Model whole = withPort(base, -1, space, port);
        const FastModel fast = fastModelOf(base, {}).value();
        CavityRoom room = space.empty;
        room.netVolume -= outlineVolume(port);
        const PortInCavity p = portInCavity(port, room, roundAir());
        const FastScores scores = FastResponse(fast, fastPortOf(port, p, base.portAirLimit, fast)).at(placeOf(port, p));
        const Slow slow = slowScores(whole, fast);
        RC_ASSERT(std::abs(scores.loudest - slow.loudest) < 0.3);
        RC_ASSERT(std::abs(scores.ripple - slow.ripple) < 0.3);
        RC_ASSERT(std::abs(scores.travel / slow.travel - 1) < 0.03);
    });
}

TEST_CASE("another port of the housing stays in")
{
    Housing housing = closedHousing(10e-3);
    housing.cavity.width = housing.cavity.breadth = housing.cavity.depth = std::cbrt(10e-3);
    PortOpening other;
    other.diameter = 0.03, other.length = 0.05, other.innerEnd = TubeEnd::flush, other.separationK = 0;
    housing.openings = {{LeakByQ{10}, {}, {}}, {other, {}, {}}};
    Model base = modelOfReference(housing, 2.83);
    base.driver.Xmax = 4e-3;
    const PortSpace space = spaceOf(base, -1);
    PortOpening body;
    body.diameter = 0.05, body.wall = 2e-3, body.separationK = 0;
    const PortOpening port = madePort(body, 0.08, 0, 0, space);
    CavityRoom room = space.empty;
    room.netVolume -= outlineVolume(port);
    const PortInCavity p = portInCavity(port, room, roundAir());
    const FastModel fast = fastModelOf(base, {}).value();
    const FastScores with = FastResponse(fast, fastPortOf(port, p, base.portAirLimit, fast)).at(placeOf(port, p));
    base.housing.openings.pop_back();
    const FastModel alone = fastModelOf(base, {}).value();
    const FastScores without = FastResponse(alone, fastPortOf(port, p, base.portAirLimit, alone)).at(placeOf(port, p));
    base.housing = housing;
    const Model whole = withPort(base, -1, space, port);
    const Grid grid = gridOf(fast);
    const auto curves = curvesOf(whole, grid);
    REQUIRE(curves);
    double high = -1e300, low = 1e300;
    for (int i = fast.bandFrom; i < fast.bandTo; ++i)
        high = std::max(high, curves->level[i]), low = std::min(low, curves->level[i]);
    // As a lumped tube with textbook ends it is right to some tenths of a decibel; left out it would not be.
    CHECK(with.ripple == Approx(high - low).margin(0.5));
    CHECK(std::abs(without.ripple - (high - low)) > 1);
}

TEST_CASE("what separation at the ends takes from the clean level is in the quick evaluator")
{
    // Against the whole model, which solves it exactly: 0.5 dB, where 1 to 4 are taken.
    rc::prop("a port in a compact cavity", [] {
        Housing housing = closedHousing(logUniform(4e-3, 15e-3));
        housing.cavity.width = housing.cavity.breadth = housing.cavity.depth = std::cbrt(housing.cavity.netVolume);
        housing.openings = {{LeakByQ{10}, {}, {}}};
        Model base = modelOfReference(housing, 2.83);
        base.driver.Xmax = 4e-3, base.driver.power = 80;
        const PortSpace space = spaceOf(base, -1);
        PortOpening body;
        body.diameter = logUniform(0.03, 0.07), body.wall = 2e-3;
        if (coin()) body.innerFlare = body.outerFlare = 0.3 * radiusOf(body);
        const double longest = longestPort(body, 0, 0, space);
        RC_PRE(longest > 0.05);
        const PortOpening port = madePort(body, longest * *rc::gen::inRange(5, 11) / 10.0, 0, 0, space);
        const FastModel fast = fastModelOf(base, {}).value();
        CavityRoom room = space.empty;
        room.netVolume -= outlineVolume(port);
        const PortInCavity p = portInCavity(port, room, roundAir());
        FastPort quick = fastPortOf(port, p, base.portAirLimit, fast);
        const FastScores with = FastResponse(fast, quick).at(placeOf(port, p));
        const Slow slow = slowScores(withPort(base, -1, space, port), fast);
        RC_LOG() << "with " << with.loudest << " slow " << slow.loudest << "\n";
        RC_ASSERT(std::abs(with.loudest - slow.loudest) < 0.5);
        quick.separation = 0;
        const double without = FastResponse(fast, quick).at(placeOf(port, p)).loudest;
        RC_ASSERT(std::abs(with.loudest - slow.loudest) < std::abs(without - slow.loudest) + 0.1);
    });
}
