// SPDX-License-Identifier: GPL-3.0-or-later
// Ports that open from a second cavity, reckoned as lines in a box of their own behind the hole.
#include "core/port/classical.h"
#include "core/port/port_tuning.h"
#include "core/response/curves.h"
#include "core/response/fed_network.h"
#include "core/response/ledger.h"
#include "core/response/limits.h"
#include "core/response/model_choice.h"
#include "core/response/summary.h"
#include "core/response/uncertainty.h"
#include "core/response/verdicts.h"
#include "core/sizing/sizing.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

PortOpening tube(double bore, double length)
{
    PortOpening p;
    p.diameter = bore, p.length = length, p.innerEnd = TubeEnd::flush, p.lossQ = 1000;
    return p;
}

// A main cavity, and a second one with a port behind a hole.
Housing chambers(double main, double second, const Hole& hole, const PortOpening& port)
{
    Housing h = closedHousing(main);
    h.driver = "mid";
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = second;
    h.secondCavity->hole = hole;
    h.openings.push_back({port, CavityId::second, {}});
    return h;
}

PortOpening& portIn(Housing& h) { return std::get<PortOpening>(h.openings.back().kind); }
Cavity& second(Housing& h) { return h.secondCavity->cavity; }

Model model(const Housing& h) { return modelFrom(roundAir(), completed(referenceDriver()), h, Feed{}, Place{}); }
double fb(const Housing& h) { return tuningOf(model(h)).value(); }

Project job(const Housing& housing)
{
    Project p;
    DriverSheet s;
    s.id = "mid";
    s.fs = 72, s.Qes = 0.62, s.Qms = 5.1, s.Vas = 9.8e-3, s.Re = 3.3, s.Sd = 132e-4, s.Xmax = 4e-3, s.power = 80;
    p.drivers.push_back(s);
    p.housings.push_back(housing);
    return p;
}

const Hole wide{10, 1e-4, 1e9, {}};  // as good as no wall between the cavities
const Hole plain{0.05, 0.004, 50.0, {}};

const PortLine* lineOf(const Model& m)
{
    for (const HousingElement& e : m.elements)
        if (const auto* line = std::get_if<PortLine>(&e.element); line && e.cause == Cause::secondCavity) return line;
    return nullptr;
}

// A box with a flush port in each of two chambers, by hand from walls and lines alone: rho c times the susceptance at
// the drivers, which stand beside the main one's port; the hole is opposite the second one's.
struct TwoBoxes {
    double mainArea, mainDepth, secondArea, secondDepth;  // m2, m
    double holeMass;                                      // m of air over its section: 1/m
    PortInCavity first, second;

    static double reactance(const PortInCavity& p, double k)  // of a port, over rho c, 1/m2
    {
        const double z = p.outer.length * k;
        return (std::tan(k * p.length + std::atan(z)) + k * (p.inner.l0 + p.inner.l2 * k * k)) / p.S;
    }
    double susceptance(double f, const Air& air) const
    {
        const double k = 2 * pi * f / air.c, t = std::tan(k * secondDepth);
        // the second port's reactance seen through its box: a line of impedance 1/A
        const double X = reactance(second, k), Zc = 1 / secondArea;
        const double there = Zc * (X + Zc * t) / (Zc - X * t);
        return mainArea * std::tan(k * mainDepth) - 1 / reactance(first, k) - 1 / (k * holeMass + there);
    }
    double tuning(const Air& air) const
    {
        double low = 10;
        while (susceptance(low, air) < 0)
            low += 0.5;
        double high = low;
        low -= 0.5;
        for (int i = 0; i < 60; ++i)
            (susceptance((low + high) / 2, air) < 0 ? low : high) = (low + high) / 2;
        return low;
    }
};

}  // namespace

TEST_CASE("without a wall to speak of before it, a second cavity tunes its port as a main one does")
{
    rc::prop("any box, port flush or reaching in, hardly any air before the hole", [] {
        const double volume = logUniform(2e-3, 20e-3), side = std::cbrt(volume);
        PortOpening p = tube(side * logUniform(0.15, 0.4), logUniform(0.03, 0.2));
        if (coin()) p.innerEnd = TubeEnd::free, p.inside = std::min(p.length, 0.6 * side), p.wall = 0.003;
        Housing h = chambers(1e-9, volume, wide, p);
        if (coin()) second(h).width = side * logUniform(0.8, 1.3), second(h).depth = side * logUniform(0.8, 1.3);
        if (coin()) second(h).driverAt = side * logUniform(0.01, 0.7);
        RC_PRE(!whyImpossible(p, roomOf(second(h))));
        const double lines = tuningOf(portInCavity(p, roomOf(second(h)), roundAir()));
        RC_PRE(lines < 250);
        RC_ASSERT(std::abs(fb(h) / lines - 1) < 1e-3);  // the radiation of its mouth is not in the equation
    });
}

TEST_CASE("through a wide hole two cavities are nearly one of their volume")
{
    for (const double share : {0.2, 0.5, 0.8}) {
        CAPTURE(share);
        Housing one = closedHousing(8e-3);
        one.openings.push_back({tube(0.05, 0.12), {}, {}});
        // The smaller the second one, the nearer its walls to the mouth, and the narrower the way to it: 2 % at 0.8.
        CHECK(fb(chambers(share * 8e-3, (1 - share) * 8e-3, wide, tube(0.05, 0.12))) == Approx(fb(one)).epsilon(0.025));
    }
}

TEST_CASE("far below all resonances lines in a second cavity are its lumped spring and the masses on the way")
{
    rc::prop("any port and hole", [] {
        Housing h =
            chambers(logUniform(1e-3, 20e-3), logUniform(2e-3, 20e-3), plain, tube(0.04, logUniform(0.02, 0.2)));
        if (coin()) portIn(h).innerEnd = TubeEnd::free, portIn(h).inside = 0.02;
        if (coin()) second(h).fillFactor = logUniform(1, 1.4);
        const Model m = model(h);
        double volume = 0, way = 0;  // m3; of the path from hole to mouth, 1/m
        for (const HousingElement& e : m.elements)
            if (const auto* duct = std::get_if<Duct>(&e.element))
                for (const DuctSlice& s : duct->slices) {
                    volume += s.length * (s.firstArea + s.lastArea + std::sqrt(s.firstArea * s.lastArea)) / 3;
                    if (!duct->closed) way += s.length / std::sqrt(s.firstArea * s.lastArea);
                }
        RC_ASSERT(std::abs(volume / second(h).netVolume - 1) < 1e-9);
        const PortLine line = *lineOf(m);
        const double a = plain.diameter / 2, S = pi * a * a;
        const double hole = m.air.rho * (plain.depth + 2 * 0.8217 * a) / S;
        const double port = m.air.rho * ((line.length + line.inner.l0 + line.outer.length) / line.area + way);
        // Load for 1 Pa at the drivers, all openings masses: w Im Y -> -1/(hole + port) + w^2 (springs), where the
        // second spring counts by the share of the pressure that reaches it.
        const Network air = airOf(withoutGivenLosses(m));
        const double w = 2 * pi * 0.5;
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, 0.5));
        const auto s = solve(air, grid, m.air);
        RC_ASSERT(s.has_value());
        const double Y = flowFrom(air.sources.front().node, air, *s, grid, m.air).value[0].imag();
        RC_ASSERT(std::abs(-Y * w * (hole + port) - 1) < 1e-3);  // (f/fb)^2
    });
}

TEST_CASE("the tuning of ports in both cavities is that of walls and lines written down by hand")
{
    rc::prop("flush ports, round hole", [] {
        const double V1 = logUniform(2e-3, 12e-3), V2 = logUniform(2e-3, 12e-3);
        const PortOpening p1 = tube(0.045, logUniform(0.05, 0.2)), p2 = tube(0.04, logUniform(0.05, 0.2));
        const Hole hole{logUniform(0.03, 0.08), logUniform(0.002, 0.02), 1e9, {}};
        Housing h = chambers(V1, V2, hole, p2);
        h.openings.insert(h.openings.begin(), {p1, {}, {}});
        const Air air = roundAir();
        TwoBoxes boxes;
        boxes.first = portInCavity(p1, roomOf(h.cavity), air);
        boxes.second = portInCavity(p2, roomOf(second(h)), air);
        boxes.mainArea = boxes.first.A, boxes.mainDepth = boxes.first.d;
        boxes.secondArea = boxes.second.A, boxes.secondDepth = boxes.second.d;
        const double a = hole.diameter / 2;
        boxes.holeMass = (hole.depth + 2 * 0.8217 * a) / (pi * a * a);
        RC_ASSERT(std::abs(fb(h) / boxes.tuning(air) - 1) < 1e-3);
        RC_ASSERT(std::abs(summaryOf(model(h))->fb.value() / fb(h) - 1) < 1e-9);
    });
}

TEST_CASE("what the hole's place may change is told: little in a compact second cavity, much in a long one")
{
    const auto moved = [](Housing h) {
        const double opposite = fb(h);
        second(h).driverAt = 0;
        return fb(h) / opposite - 1;
    };
    for (const double volume : {2e-3, 5e-3, 12e-3})
        for (const double share : {0.1, 0.2, 0.3, 0.4}) {  // of the bore in its section
            const double bore = 2 * share * std::cbrt(volume) / std::sqrt(pi);
            CAPTURE(volume, share);
            const double off = moved(chambers(4e-3, volume, plain, tube(bore, 0.1)));
            CHECK(off > 0);  // less air on the way
            CHECK(off < 0.4 * share * share);
        }
    Housing deep = chambers(4e-3, 6e-3, plain, tube(0.05, 0.1));
    second(deep).depth = 0.8;
    CHECK(moved(deep) > 0.05);

    Housing h = chambers(4e-3, 5e-3, plain, tube(0.05, 0.1));
    const std::string told = leftOutOfRanges(model(h));
    CHECK(told.find(fmt::format("beside the port instead would move the tuning by {:.0f}\u00A0%", 100 * moved(h))) !=
          std::string::npos);
    second(h).driverAt = 0;
    CHECK(leftOutOfRanges(model(h)).find("beside the port") == std::string::npos);
}

TEST_CASE("classical ports, and second cavities that ask for one spring, are lumped as ever")
{
    Housing h = chambers(4e-3, 5e-3, plain, tube(0.05, 0.12));
    CHECK(lineOf(model(h)));
    CHECK(model(h).cavityModel == CavityModel::lumped);  // of the main one, which has no port
    Housing classical = h, asked = h;
    portIn(classical).classical = true;
    second(asked).model = CavityModel::lumped;
    for (const Housing& lumped : {classical, asked}) {
        const Model m = model(lumped);
        CHECK_FALSE(lineOf(m));
        CHECK(m.stations.empty());
        CHECK(std::holds_alternative<Compliance>(m.elements[0].element));
        CHECK(std::holds_alternative<Inertance>(m.elements[1].element));
        CHECK(std::get<Compliance>(m.elements[2].element).C ==
              Approx(5e-3 / (m.air.rho * m.air.c * m.air.c)).epsilon(1e-12));
    }
    // Sizes change nothing there, and much where lines are asked for.
    Housing sized = classical;
    second(sized).depth = 0.6;
    CHECK(fb(sized) == fb(classical));
    Housing lines = h;
    second(lines).depth = 0.6;
    CHECK(std::abs(fb(lines) / fb(h) - 1) > 0.02);
    // One cavity's wish is not the other's.
    Housing main = h;
    main.cavity.model = CavityModel::lumped;
    CHECK(lineOf(model(main)));
}

TEST_CASE("losses by Q in a second cavity refer to the main one's w0")
{
    Housing h = chambers(4e-3, 5e-3, plain, tube(0.05, 0.12));
    portIn(h).lossQ = 60, second(h).absorptionQ = 25;
    const Model m = model(h);
    const Driver d = referenceDriver();
    const double ws = 2 * pi * fs(d);
    CHECK(m.omega0 == Approx(ws * std::sqrt(1 + d.Cms * d.Sd * d.Sd / m.Cab)).epsilon(1e-12));
    CHECK(lineOf(m)->givenLoss.value() == Approx(m.omega0 * portInertance(portIn(h), m.air) / 60).epsilon(1e-12));
    int ducts = 0;
    for (const HousingElement& e : m.elements)
        if (const auto* duct = std::get_if<Duct>(&e.element)) {
            CHECK(duct->absorption == Approx(1 / (m.omega0 * 25)).epsilon(1e-12));
            ++ducts;
        }
    CHECK(ducts == 1);  // a flush port: from the hole to its wall
}

TEST_CASE("ports of a second cavity that cannot be built are refused where they stand")
{
    Housing h = chambers(4e-3, 4.3e-3, plain, tube(0.05, 0.2));
    second(h).width = 0.16, second(h).breadth = 0.18, second(h).depth = 0.16;
    portIn(h).inside = 0.17;
    const auto refused = modelOf(job(h), 0);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().field == "/housings/0/openings/0");
    CHECK(refused.error().message.find("do not fit a cavity") != std::string::npos);
    portIn(h).inside.reset();
    CHECK(modelOf(job(h), 0));
    second(h).driverAt = 0.2;
    const auto beyond = modelOf(job(h), 0);
    REQUIRE_FALSE(beyond);
    CHECK(beyond.error().field == "/housings/0/second_cavity/driver_at_mm");
    CHECK(beyond.error().message == "the hole is at 200 mm, but the second cavity runs from 0 to 160 mm");
    portIn(h).classical = true, portIn(h).inside = 0.17;
    CHECK(modelOf(job(h), 0));
}

TEST_CASE("sized in its second cavity, a port tunes to what was asked")
{
    Housing h = chambers(3e-3, 6e-3, plain, tube(0.05, 0.12));
    portIn(h).innerEnd = TubeEnd::free, portIn(h).wall = 0.003;
    const Model m = model(h);
    const auto now = tuningAt(0.12, tuningOfCut(m, 0));
    REQUIRE(now);
    CHECK(now->tuning == Approx(fb(h)).epsilon(1e-9));
    const auto longer = lengthFor(0.9 * now->tuning, tuningOfCut(m, 0));
    REQUIRE(longer);
    Housing cut = h;
    portIn(cut).length = longer->length;
    second(cut).netVolume -= outlineVolume(portIn(cut)) - outlineVolume(portIn(h));
    CHECK(fb(cut) == Approx(0.9 * now->tuning).epsilon(1e-6));
    CHECK(longer->length > 0.12);
}

TEST_CASE("ledger, limits, verdicts, ranges and port air speed serve ports of both cavities")
{
    Housing h = chambers(3e-3, 6e-3, plain, tube(0.03, 0.12));
    portIn(h).lossQ.reset();
    h.openings.insert(h.openings.begin(), {LeakByQ{10}, {}, {}});
    h.openings.insert(h.openings.begin(), {tube(0.03, 0.1), {}, {}});
    std::get<PortOpening>(h.openings[0].kind).lossQ.reset();
    second(h).netUncertainty = 0.3e-3;
    Project p = job(h);
    p.feed = Feed{};
    p.feed->voltage = 12;
    const auto m = modelOf(p, 0);
    REQUIRE(m);
    CHECK(m->cavityModel == CavityModel::segmented);
    const auto curves = curvesOf(*m, logGrid(10, 2000, 200));
    REQUIRE(curves);
    CHECK(curves->portOpening == std::vector<int>{0, 2});
    CHECK(curves->portAir[1].maxCoeff() > 5);  // m/s
    CHECK(curves->portAir[1].isFinite().all());
    const auto summary = summaryOf(*m);
    REQUIRE(summary);
    CHECK(summary->f3);
    const LimitCurves limits = limitsOf(*m, *curves);
    CHECK(limits.loudest.isFinite().all());
    int judged = 0;
    for (const Verdict& v : verdictsOf(*m, *curves, *summary))
        if (v.subject == "port air") ++judged;
    CHECK(judged == 2);
    for (const double f : {30.0, 63.0, 120.0, 400.0}) {
        const auto ledger = ledgerOf(*m, f);
        REQUIRE(ledger);
        double sum = ledger->start;
        for (const LedgerEntry& e : ledger->entries)
            sum += e.step;
        const auto there = curvesOf(*m, logGrid(f, f, 1));
        CHECK(sum == Approx(there->level[0]).margin(1e-9));
    }
    const auto ranges = uncertaintyOf(p, 0, logGrid(20, 200, 20));
    REQUIRE(ranges);
    CHECK(ranges->tuning->uncertainty > 0);
    // Both boxes are assumed: the one that may be further off is told.
    const double spread =
        std::max(assumedShapeSpread(std::get<PortOpening>(h.openings[0].kind), roomOf(h.cavity), m->air),
                 assumedShapeSpread(portIn(h), roomOf(second(h)), m->air));
    CHECK(leftOutOfRanges(*m).find("another box of this") != std::string::npos);
    CHECK(spread > 0.002);
    CHECK(modelChoice(*m).reason.find("second cavity") != std::string::npos);
}

TEST_CASE("a 3 dB point is found above what a second cavity's hole does")
{
    // The hole's mass between two springs resonates like a standing wave, but is none.
    Housing h = chambers(1.5e-3, 3e-3, {0.05, 0.004, 50.0, {}}, tube(0.04, 0.05));
    Housing lumped = h;
    second(lumped).model = CavityModel::lumped;
    const auto ours = summaryOf(model(h)), theirs = summaryOf(model(lumped));
    REQUIRE(ours);
    REQUIRE(ours->f3);
    CHECK(*ours->f3 == Approx(*theirs->f3).epsilon(0.05));
    CHECK(ours->referenceLevel == Approx(theirs->referenceLevel).margin(1e-3));
}
