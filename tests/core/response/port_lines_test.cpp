// SPDX-License-Identifier: GPL-3.0-or-later
// Ports as lines in cavities of which only sizes or a volume are known, as the whole program reckons them.
#include "core/port/classical.h"
#include "core/port/port_tuning.h"
#include "core/response/curves.h"
#include "core/response/model_choice.h"
#include "core/response/summary.h"

#include "../support/port_table.h"
#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Housing ported(const PortOpening& port, double volume)
{
    Housing h = closedHousing(volume);
    h.driver = "mid";
    h.openings.push_back({port, {}, {}});
    return h;
}

PortOpening tube(double bore, double length)
{
    PortOpening p;
    p.diameter = bore, p.length = length, p.innerEnd = TubeEnd::flush;
    return p;
}

PortOpening& portIn(Housing& h) { return std::get<PortOpening>(h.openings.front().kind); }

Model model(const Housing& h) { return modelFrom(referenceAir(), completed(referenceDriver()), h, Feed{}, Place{}); }

double fb(const Housing& h) { return summaryOf(model(h))->fb.value(); }

// Per cent by which losses move where the load turns, 1/(2 Q^2), and the equation leaves out: 1/Q of the oscillating
// wall layer, 1.15 layer/gap (the impedances checked in tube_losses_test), and of the mouths' radiation, w S/(2 pi c
// L), L with one radius at least for both ends.
double lossShift(const PortOpening& p, double f)
{
    const Air air = referenceAir();
    const double w = 2 * pi * f, layer = std::sqrt(2 * air.mu / (air.rho * w));
    const double gap = p.shape == PortShape::slot ? std::min(p.width, p.height) : radiusOf(p);
    const double radiated = w * countOf(p) * areaOf(p) / (2 * pi * air.c * (p.length + radiusOf(p)));
    return 100 * std::pow(1.15 * layer / gap + radiated, 2) / 2;
}

Project job(const Housing& housing)
{
    Project p;
    DriverSheet s;
    s.id = "mid";
    s.fs = 72, s.Qes = 0.62, s.Qms = 5.1, s.Vas = 2e-3, s.Re = 3.3, s.Sd = 60e-4;
    p.drivers.push_back(s);
    p.housings.push_back(housing);
    return p;
}

double percent(double ours, double theirs) { return 100 * (ours / theirs - 1); }

}  // namespace

TEST_CASE("the tuning of the whole program is that of the equation of lines")
{
    rc::prop("any port that can be built, any sizes", [] {
        const double volume = logUniform(1e-3, 20e-3), side = std::cbrt(volume);
        PortOpening p;
        if (coin()) {
            p.diameter = side * logUniform(0.15, 0.4);
        } else {
            p.shape = PortShape::slot;
            p.height = side * logUniform(0.08, 0.2), p.width = side * logUniform(0.2, 0.7);
            if (coin()) p.sharedWalls = *rc::gen::inRange(0, 3);
        }
        if (coin()) p.count = *rc::gen::inRange(1, 4);
        p.length = logUniform(0.03, 0.3);
        p.innerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
        p.outerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
        if (p.innerEnd == TubeEnd::free) p.inside = std::min(p.length, 0.6 * side), p.wall = 0.003;
        if (coin()) p.innerFlare = 0.3 * std::min(p.length, radiusOf(p));
        if (coin()) p.outerFlare = 0.3 * std::min(p.length, radiusOf(p));
        if (coin()) p.bends = {{0.3, 0.1, {}}};
        if (coin()) p.lossQ = logUniform(2, 500);
        Housing h = ported(p, volume);
        if (coin()) h.cavity.width = side * logUniform(0.8, 1.3), h.cavity.depth = side * logUniform(0.8, 1.3);
        if (coin()) h.cavity.fillFactor = logUniform(1, 1.3);
        if (coin()) h.cavity.driverAt = side * logUniform(0.01, 0.7);
        RC_PRE(!whyImpossible(p, roomOf(h.cavity)));
        const double lines = tuningOf(portInCavity(p, roomOf(h.cavity), referenceAir()));
        RC_PRE(lines < 250);  // above, the mouth radiates so much that its loss moves the tuning
        RC_ASSERT(std::abs(percent(fb(h), lines)) < 0.05 + lossShift(p, lines));
    });
}

TEST_CASE("the whole program tunes boxes of known size as the finite-element table does")
{
    int seen = 0;
    for (const PortCase& c : portCases()) {
        if (c("cavity") != "box" || c("port_count") != "1") continue;
        CAPTURE(c("id"), c("kind"));
        const auto given = [&](const char* column) {
            return c.number(column) > 0 ? std::optional(c.metres(column)) : std::nullopt;
        };
        PortOpening p = tube(2 * c.metres("bore_radius_mm"), c.metres("port_length_mm"));
        if (c("port_shape") == "slot") {
            p.shape = PortShape::slot;
            p.width = c.metres("slot_width_mm"), p.height = c.metres("slot_height_mm");
            if (c("kind") == "box-slot-shelf") p.sharedWalls = 3;
        }
        p.inside = given("port_inside_mm"), p.wall = given("tube_wall_mm");
        p.x = given("port_x_mm"), p.y = given("port_y_mm");
        p.lossQ = 1000;
        Housing h = ported(p, c.number("net_volume_l") / 1e3);
        h.cavity.width = c.metres("cav_width_mm"), h.cavity.breadth = c.metres("cav_breadth_mm");
        h.cavity.depth = c.metres("cav_depth_mm");
        const auto m = modelOf(job(h), 0);
        REQUIRE(m);
        CHECK(m->cavityModel == CavityModel::segmented);
        CHECK(std::abs(percent(summaryOf(*m)->fb.value(), c.number("fb_hz") * m->air.c / 343.2)) < 0.25);
        ++seen;
    }
    CHECK(seen > 15);
}

TEST_CASE("textbook ports, and cavities that ask for one spring, are lumped as ever")
{
    Housing h = ported(tube(0.054, 0.13), 5.2e-3);
    CHECK(model(h).cavityModel == CavityModel::segmented);
    Housing lumped = h, classical = h;
    lumped.cavity.model = CavityModel::lumped;
    portIn(classical).classical = true;
    const Model a = model(lumped), b = model(classical);
    CHECK(a.cavityModel == CavityModel::lumped);
    CHECK(b.cavityModel == CavityModel::lumped);
    CHECK(std::holds_alternative<Compliance>(a.elements[0].element));
    CHECK(std::holds_alternative<Tube>(b.elements[1].element));
    CHECK(summaryOf(b)->fb.value() == Approx(tuningsOf(portIn(h), roomOf(h.cavity), referenceAir()).textbook));
    // Sizes, flares and places change nothing there.
    portIn(classical).innerFlare = 0.02, classical.cavity.depth = 0.4;
    CHECK(summaryOf(model(classical))->fb.value() == summaryOf(b)->fb.value());
}

TEST_CASE("a given loss is w0 Map/Q of all tubes, at both mouths together")
{
    Housing h = ported(tube(0.04, 0.1), 5.2e-3);
    portIn(h).count = 2, portIn(h).lossQ = 60;
    const Model m = model(h);
    int found = 0;
    for (const HousingElement& e : m.elements)
        if (const auto* line = std::get_if<PortLine>(&e.element)) {
            CHECK(line->givenLoss.value() / line->count ==
                  Approx(m.omega0 * portInertance(portIn(h), m.air) / 60).epsilon(1e-12));
            ++found;
        }
    CHECK(found == 1);
}

TEST_CASE("the drivers' place in a box decides what they drive, not what it tunes to")
{
    Housing h = ported(tube(0.05, 0.08), 8e-3);
    h.cavity.width = 0.12, h.cavity.breadth = 0.12, h.cavity.depth = 0.55;
    portIn(h).lossQ = 1000;
    const double beside = fb(h);
    const Model near = model(h);
    h.cavity.driverAt = 0.55;
    CHECK(fb(h) == Approx(beside).epsilon(1e-4));
    const Grid grid = logGrid(250, 350, 20);
    CHECK((*pressureOf(near, grid) - *pressureOf(model(h), grid)).abs().maxCoeff() >
          0.1 * pressureOf(near, grid)->abs().maxCoeff());
    h.cavity.driverAt = 0.6;
    const auto beyond = modelOf(job(h), 0);
    REQUIRE_FALSE(beyond);
    CHECK(beyond.error().field == "/housings/0/cavity/driver_at_mm");
    CHECK(beyond.error().message == "the driver is at 600 mm, but the cavity runs from 0 to 550 mm");
}

TEST_CASE("two openings of one tube are nearly one of two tubes")
{
    Housing two = ported(tube(0.04, 0.1), 8e-3), pair = two;
    two.openings.push_back(two.openings.front());
    portIn(pair).count = 2, portIn(pair).spacing = 0.2;
    pair.cavity.width = two.cavity.width = 0.4, pair.cavity.breadth = two.cavity.breadth = 0.2;
    CHECK(percent(fb(two), fb(pair)) == Approx(0).margin(0.5));
    // Reaching in, their outlines are both taken from the section.
    for (Housing* h : {&two, &pair})
        for (Opening& o : h->openings)
            std::get<PortOpening>(o.kind).inside = 0.06, std::get<PortOpening>(o.kind).wall = 0.003;
    CHECK(percent(fb(two), fb(pair)) == Approx(0).margin(0.7));
}

TEST_CASE("ports that cannot be built are refused with place and sentence, textbook ones are what their sums say")
{
    Housing h = ported(tube(0.05, 0.2), 4.3e-3);
    h.cavity.width = 0.16, h.cavity.breadth = 0.18, h.cavity.depth = 0.16;
    portIn(h).inside = 0.17;
    const auto m = modelOf(job(h), 0);
    REQUIRE_FALSE(m);
    CHECK(m.error().field == "/housings/0/openings/0");
    CHECK(m.error().message.find("do not fit a cavity") != std::string::npos);
    portIn(h).classical = true;
    CHECK(modelOf(job(h), 0));
    portIn(h).classical = false, portIn(h).inside.reset();
    CHECK(modelOf(job(h), 0));
}

TEST_CASE("the choice says what is assumed, and what textbook sums would say")
{
    Housing h = ported(tube(0.06, 0.12), 5.2e-3);
    const ModelChoice assumed = modelChoice(model(h));
    CHECK(assumed.used == CavityModel::segmented);
    CHECK_FALSE(assumed.shapeKnown);
    CHECK(assumed.reason.find("a compact box is assumed") != std::string::npos);
    CHECK(assumed.tuningSegmented.value() == Approx(fb(h)));
    CHECK(assumed.tuningLumped.value() != Approx(fb(h)).epsilon(2e-3));
    h.cavity.width = 0.17, h.cavity.breadth = 0.17;
    CHECK(modelChoice(model(h)).reason.find("a box of the sizes given") != std::string::npos);
}

TEST_CASE("the choice says from where on waves across the cavity would count")
{
    // Room formula: c/(2 W) with c 343.99 m/s and W 300 mm, rounded down.
    Housing h = ported(tube(0.06, 0.12), 5.2e-3);
    h.cavity.width = 0.3, h.cavity.breadth = 0.15;
    CHECK(modelChoice(model(h)).reason.find("Waves across it are not reckoned; the first stands at 570\u00A0Hz.") !=
          std::string::npos);
    // Round, radius 100 mm: 1.8412 c/(2 pi R) is 1008 Hz.
    Housing round = closedHousing(pi * 0.01 * 0.2);
    round.driver = "mid";
    SectionsMeasurement s;
    for (const double at : {0.0, 0.2})
        s.sections.push_back({.at = at, .shape = SectionShape::ellipse, .width = 0.2, .height = 0.2, .unknown = {}});
    round.cavity.measurements.push_back({s, {}, {}, false, {}});
    round.openings.push_back({tube(0.05, 0.1), {}, {}});
    CHECK(modelChoice(model(round)).reason.find("the first stands at 1.00\u00A0kHz") != std::string::npos);
    // One spring has no waves to leave out.
    Housing lumped = h;
    lumped.cavity.model = CavityModel::lumped;
    CHECK(modelChoice(model(lumped)).reason.find("Waves across") == std::string::npos);
}

TEST_CASE("the tuning is that of port and cavity, or there is none: no wave in the cavity is taken for it")
{
    // Series mass M and friction R, by Poiseuille 8 mu L/(pi a^4), on the spring: no turn where R^2 > M/C.
    CHECK_FALSE(summaryOf(model(ported(tube(0.003, 0.3), 6e-3)))->fb);
    double before = 0;
    for (const double bore : {0.006, 0.01, 0.02, 0.05}) {
        CAPTURE(bore);
        const Housing h = ported(tube(bore, 0.3), 6e-3);
        const double lines = tuningOf(portInCavity(tube(bore, 0.3), roomOf(h.cavity), referenceAir()));
        const auto tuned = summaryOf(model(h))->fb;
        const double Q =
            1 / (1.15 * std::sqrt(2 * referenceAir().mu / (referenceAir().rho * 2 * pi * lines)) / bore * 2);
        if (Q > 3) REQUIRE(tuned);
        if (!tuned) continue;
        CHECK(*tuned > before);
        CHECK(*tuned < lines * 1.001);
        CHECK(*tuned > 0.6 * lines);
        before = *tuned;
        if (bore == 0.05) CHECK(*tuned == Approx(lines).epsilon(1e-3));
    }
    CHECK(before > 50);
}

TEST_CASE("a lining does not move the tuning, and leaks no more than the little that they are")
{
    Housing h = ported(tube(0.05, 0.08), 6e-3);
    const double plain = fb(h);
    for (const double q : {100.0, 3.0, 2.0, 1.0}) {
        CAPTURE(q);
        h.cavity.absorptionQ = q;
        CHECK(fb(h) == Approx(plain).epsilon(1e-9));
    }
    h.cavity.absorptionQ.reset();
    const LeakSlit slit{0.1, 0.3e-3, 3e-3};
    h.openings.push_back({slit, {}, {}});
    // Beside the port a mass M of 6/5 rho d/(w h) behind its friction R of 12 mu d/(w h^3): Im Y at the tuning.
    const Air air = referenceAir();
    const double w = 2 * pi * plain, M = 1.2 * air.rho * 3e-3 / (0.1 * 0.3e-3);
    const double R = 12 * air.mu * 3e-3 / (0.1 * std::pow(0.3e-3, 3));
    const double spring = 6e-3 / (air.rho * air.c * air.c);
    const double share = w * M / (R * R + w * w * M * M) / (w * spring);
    CHECK(fb(h) / plain - 1 == Approx(share / 2).epsilon(0.1));
}

TEST_CASE("pipe resonances are in the level of a long port")
{
    Housing h = ported(tube(0.05, 0.5), 8e-3);
    const double rings = pipeResonanceOf(portInCavity(portIn(h), roomOf(h.cavity), referenceAir()));
    CHECK(rings > 280);
    CHECK(rings < 343);
    Housing lumped = h;
    lumped.cavity.model = CavityModel::lumped;
    const Grid grid = logGrid(0.9 * rings, 1.1 * rings, 80);
    const Eigen::ArrayXd apart = curvesOf(model(h), grid)->portAir[0] / curvesOf(model(lumped), grid)->portAir[0];
    CHECK(apart.maxCoeff() > 5);  // far more air moves in the pipe than as one mass
}
