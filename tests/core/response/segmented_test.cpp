// SPDX-License-Identifier: GPL-3.0-or-later
// Cavities of known shape, as the whole program reckons them.
#include "core/response/model_choice.h"

#include "core/port/classical.h"
#include "core/response/curves.h"
#include "core/response/ledger.h"
#include "core/response/summary.h"

#include "../support/port_table.h"
#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Measurement sectionsOf(std::vector<std::pair<double, double>> atAndArea)
{
    SectionsMeasurement m;
    for (const auto& [at, area] : atAndArea)
        m.sections.push_back({.at = at, .shape = SectionShape::area, .area = area, .unknown = {}});
    return {m, {}, {}, false, {}};
}

Opening roundPort(double diameter, double length, std::optional<double> at = {})
{
    PortOpening p;
    p.diameter = diameter, p.length = length, p.at = at;
    p.innerEnd = p.outerEnd = TubeEnd::flush;
    return {p, {}, {}};
}

PortOpening& portIn(Housing& h) { return std::get<PortOpening>(h.openings.front().kind); }

// A straight cavity, driver at its first end.
Housing straight(double length, double area)
{
    Housing h = closedHousing(length * area);
    h.driver = "mid";
    h.cavity.measurements.push_back(sectionsOf({{0, area}, {length, area}}));
    return h;
}

Project job(const Housing& housing)
{
    Project p;
    DriverSheet s;
    s.id = "mid";
    s.fs = 72, s.Qes = 0.62, s.Qms = 5.1, s.Vas = 2e-3, s.Re = 3.3, s.Sd = 60e-4;
    p.drivers.push_back(s);
    p.air = AirConditions{};
    p.housings.push_back(housing);
    return p;
}

Model modelOfJob(const Housing& housing)
{
    const auto m = modelOf(job(housing), 0);
    REQUIRE(m.has_value());
    return *m;
}

Eigen::ArrayXd level(const Model& m, const Grid& grid) { return curvesOf(m, grid)->level; }

double percent(double ours, double theirs) { return 100 * (ours / theirs - 1); }

}  // namespace

TEST_CASE("the program tunes long cavities as the finite-element table does, and finds their second resonance")
{
    for (const PortCase& c : portCases()) {
        const bool along = c("kind") == "long", across = c("kind") == "box-long";
        if (!along && !across) continue;
        CAPTURE(c("id"));
        const double length = c.metres(along ? "cav_depth_mm" : "cav_breadth_mm");
        Housing h = straight(length, c.number("net_volume_l") / 1e3 / length);
        h.openings.push_back(roundPort(2 * c.metres("bore_radius_mm"), c.metres("port_length_mm")));
        if (across) portIn(h).at = c.metres("port_y_mm");
        portIn(h).lossQ = 1000;  // as good as none: 1/(8 Q^2) of the tuning
        const Model m = modelOfJob(h);
        REQUIRE(m.cavityModel == CavityModel::segmented);
        const double scale = m.air.c / 343.2;  // the table's sound speed
        const double fb = summaryOf(m)->fb.value();
        CHECK(std::abs(percent(fb, c.number("fb_hz") * scale)) < 0.2);
        if (along) CHECK(std::abs(percent(loadResonance(m, 1.2 * fb).value(), c.number("second_hz") * scale)) < 0.2);
        const ModelChoice choice = modelChoice(m);
        CHECK(choice.tuningSegmented.value() == Approx(fb).epsilon(1e-6));
        if (along) CHECK(choice.tuningLumped.value() > 1.05 * fb);  // the air of a long cavity has mass
    }
}

TEST_CASE("the program tunes tubes that reach into a cavity as the finite-element table does")
{
    int seen = 0;
    for (const PortCase& c : portCases()) {
        const double inside = c.metres("port_inside_mm"), R = c.metres("cav_radius_mm");
        if (c("cavity") != "cylinder" || !(inside > 0) || c.number("flare_inner_mm") > 0) continue;
        CAPTURE(c("id"), c("kind"));
        Housing h = straight(c.metres("cav_depth_mm"), pi * R * R);
        h.cavity.netVolume = c.number("net_volume_l") / 1e3;
        h.openings.push_back(roundPort(2 * c.metres("bore_radius_mm"), c.metres("port_length_mm")));
        portIn(h).innerEnd = TubeEnd::free;
        portIn(h).inside = inside;
        portIn(h).wall = c.metres("tube_wall_mm");
        portIn(h).lossQ = 1000;
        h.cavity.model = CavityModel::segmented;
        const Model m = modelOfJob(h);
        // The form is fitted on cylinders: rms 0.05 %, worst 0.1 % for more than half a radius inside.
        CHECK(std::abs(percent(summaryOf(m)->fb.value(), c.number("fb_hz") * m.air.c / 343.2)) < 0.3);
        ++seen;
    }
    CHECK(seen >= 10);
}

TEST_CASE("a driver's place decides what it drives, not what the air tunes to")
{
    Housing h = straight(0.6, 0.0079);
    h.openings.push_back(roundPort(0.04, 0.06));
    portIn(h).lossQ = 1000;
    const double atEnd = summaryOf(modelOfJob(h))->fb.value();
    h.cavity.driverAt = 0.25;
    CHECK(summaryOf(modelOfJob(h))->fb.value() == Approx(atEnd).epsilon(2e-5));  // a pole; Q 1000 and the walls' part
    h.cavity.driverAt = 0.6;
    CHECK(summaryOf(modelOfJob(h))->fb.value() == Approx(atEnd).epsilon(2e-5));
}

TEST_CASE("far below all resonances the shape does not matter")
{
    rc::prop("any shape, everything by lumped elements", [] {
        Housing h = arbitraryHousing({.secondCavity = true, .shaped = true});
        Housing lumped = h;
        lumped.cavity.model = CavityModel::lumped;
        const CompleteDriver d = completed(arbitraryDriver());
        const Grid low = gridOf(Eigen::ArrayXd::Constant(1, 0.05));
        const auto Z = [&](const Housing& x) {
            return *impedanceOf(modelFrom(referenceAir(), d, x, Feed{}, Place{}), low);
        };
        // walls and (k L)^2; a small chamber behind a hole adds none
        RC_ASSERT(std::abs(Z(h)[0] / Z(lumped)[0] - 1) < 1e-4);
    });
}

TEST_CASE("a cavity seen from its other end is the same cavity")
{
    rc::prop("profile, driver and port turned round", [] {
        const double L = logUniform(0.15, 0.9);
        std::vector<std::pair<double, double>> forth, back;
        for (int i = 0; i < 4; ++i)
            forth.emplace_back(L * i / 3, logUniform(0.006, 0.04));
        for (int i = 3; i >= 0; --i)
            back.emplace_back(L - forth[i].first, forth[i].second);
        Housing a = closedHousing(5e-3), b = a;
        a.cavity.measurements = {sectionsOf(forth)}, b.cavity.measurements = {sectionsOf(back)};
        a.cavity.model = b.cavity.model = CavityModel::segmented;
        const double driver = L * *rc::gen::inRange(0, 101) / 100.0, port = L * *rc::gen::inRange(0, 101) / 100.0;
        RC_PRE(std::abs(port - L / 2) > 1e-6 && std::abs(driver - L / 2) > 1e-6);
        a.cavity.driverAt = driver, b.cavity.driverAt = L - driver;
        a.openings.push_back(roundPort(0.04, 0.08, port)), b.openings.push_back(roundPort(0.04, 0.08, L - port));
        const CompleteDriver d = completed(referenceDriver());
        const Grid grid = logGrid(20, 2000, 30);
        const auto p = [&](const Housing& x) {
            return *pressureOf(modelFrom(referenceAir(), d, x, Feed{}, Place{}), grid);
        };
        const Eigen::ArrayXcd one = p(a), other = p(b);
        RC_ASSERT(((one - other).abs() <= 1e-6 * one.abs().maxCoeff()).all());
    });
}

TEST_CASE("a section that says nothing new changes nothing")
{
    Housing h = straight(0.5, 0.01), more = h;
    more.cavity.measurements = {sectionsOf({{0, 0.01}, {0.13, 0.01}, {0.31, 0.01}, {0.5, 0.01}})};
    h.openings.push_back(roundPort(0.05, 0.1)), more.openings = h.openings;
    const Grid grid = logGrid(20, 2000, 50);
    CHECK((level(modelOfJob(h), grid) - level(modelOfJob(more), grid)).abs().maxCoeff() < 1e-9);
}

TEST_CASE("lengths doubled, every resonance is half")
{
    const auto resonances = [](double k) {
        Housing h = straight(0.4 * k, 0.008 * k * k);
        h.openings.push_back(roundPort(0.04 * k, 0.08 * k));
        portIn(h).lossQ = 1000;
        h.cavity.model = CavityModel::segmented;
        const Model m = modelOfJob(h);
        const double fb = loadResonance(m).value();
        return std::pair(fb, loadResonance(m, 1.3 * fb).value());
    };
    const auto small = resonances(1), large = resonances(2);
    CHECK(small.first / large.first == Approx(2).epsilon(1e-5));  // wall losses differ, and move it by 1/(8 Q^2)
    CHECK(small.second / large.second == Approx(2).epsilon(1e-4));
}

TEST_CASE("a classical port keeps its inertance in a segmented cavity, and w0 is that of the lumped one")
{
    Housing h = straight(0.6, 0.008);
    h.openings.push_back(roundPort(0.05, 0.12));
    portIn(h).classical = true;
    portIn(h).lossQ = 60;
    h.openings.push_back({LeakByQ{7}, {}, {}});
    Housing lumped = h;
    h.cavity.model = CavityModel::segmented;
    lumped.cavity.model = CavityModel::lumped;
    const Model a = modelOfJob(h), b = modelOfJob(lumped);
    CHECK(a.cavityModel == CavityModel::segmented);
    CHECK(a.omega0 == b.omega0);
    CHECK(a.Cab == b.Cab);
    CHECK(summaryOf(a)->fb.value() == summaryOf(b)->fb.value());  // both are w0/2pi by definition
    int found = 0;
    for (const HousingElement& e : a.elements)
        if (const auto* M = std::get_if<Inertance>(&e.element); M && e.cause == Cause::opening) {
            CHECK(M->M == portInertance(portIn(h), a.air));
            CHECK(M->R == a.omega0 * M->M / 60);
            ++found;
        }
    CHECK(found == 1);
    const Model port = [&] {
        Housing line = h;
        portIn(line).classical = false;
        return modelOfJob(line);
    }();
    CHECK(loadResonance(port).value() != Approx(loadResonance(a).value()).epsilon(1e-3));
}

TEST_CASE("the ledger of a segmented cavity adds up, and its lining is its own line")
{
    Housing h = straight(0.6, 0.008);
    h.openings.push_back(roundPort(0.05, 0.12));
    h.openings.push_back({LeakByQ{7}, {}, {}});
    h.cavity.absorptionQ = 8;
    const Model m = modelOfJob(h);
    REQUIRE(m.cavityModel == CavityModel::segmented);
    const auto ledger = ledgerOf(m, 280);
    REQUIRE(ledger.has_value());
    double sum = ledger->start;
    for (const LedgerEntry& e : ledger->entries)
        sum += e.step;
    CHECK(sum == Approx(ledger->end).margin(1e-9));
    CHECK(ledger->end == Approx(level(m, gridOf(Eigen::ArrayXd::Constant(1, 280)))[0]).margin(1e-9));
    Housing unlined = h;
    unlined.cavity.absorptionQ.reset();
    const auto bare = ledgerOf(modelOfJob(unlined), 280);
    CHECK(bare->entries[0].step == Approx(ledger->entries[0].step).margin(1e-9));  // the air spring is without lining
    CHECK(std::abs(bare->entries[1].step - ledger->entries[1].step) > 0.01);
}

TEST_CASE("a short cavity is one spring, a long one is segments, and either can be asked for")
{
    Housing small = straight(0.10, 0.016);
    const Model m = modelOfJob(small);
    CHECK(m.cavityModel == CavityModel::lumped);
    const ModelChoice one = modelChoice(m);
    CHECK(one.shapeKnown);
    CHECK(one.lumpedOutFrom.value_or(1e9) > lumpedServesTo);
    CHECK_FALSE(one.tuningLumped);  // closed
    small.cavity.model = CavityModel::segmented;
    CHECK(modelOfJob(small).cavityModel == CavityModel::segmented);

    Housing large = straight(0.9, 0.008);
    const ModelChoice choice = modelChoice(job(large), 0).value();
    CHECK(choice.used == CavityModel::segmented);
    const double from = choice.lumpedOutFrom.value();
    CHECK(from < lumpedServesTo);
    CHECK(choice.reason.find("segments") != std::string::npos);
    large.cavity.model = CavityModel::lumped;
    const Model lumped = modelOfJob(large);
    CHECK(lumped.cavityModel == CavityModel::lumped);
    // At that frequency the two differ by 1 dB, and by less everywhere below.
    large.cavity.model = CavityModel::segmented;
    const Grid below = logGrid(10, from, 300);
    const Eigen::ArrayXd apart = (level(lumped, below) - level(modelOfJob(large), below)).abs();
    CHECK(apart.maxCoeff() == Approx(1).margin(1e-3));
    CHECK(apart[299] == Approx(1).margin(1e-3));

    // With a port the two tune apart, and below tuning that alone is more than 1 dB.
    large.cavity.model.reset();
    large.openings.push_back(roundPort(0.06, 0.12));
    const ModelChoice vented = modelChoice(job(large), 0).value();
    CHECK(vented.lumpedOutFrom.value() == 10);
    CHECK(vented.reason.find("would tune it to") != std::string::npos);

    Housing shapeless = closedHousing(5e-3);
    shapeless.driver = "mid";
    const ModelChoice none = modelChoice(job(shapeless), 0).value();
    CHECK_FALSE(none.shapeKnown);
    CHECK(none.used == CavityModel::lumped);
    CHECK(none.reason.find("not known") != std::string::npos);
}

TEST_CASE("a changed opening in the same cavity keeps the model that was chosen")
{
    Housing large = straight(0.9, 0.008);
    large.openings.push_back(roundPort(0.06, 0.12));
    const Model m = modelOfJob(large);
    Housing longer = large;
    portIn(longer).length = 0.2;
    const Model changed = withHousing(m, longer);
    CHECK(changed.cavityModel == CavityModel::segmented);
    CHECK(loadResonance(changed).value() == Approx(loadResonance(modelOfJob(longer)).value()).epsilon(1e-9));
}

TEST_CASE("a place beyond the shape is refused with both lengths")
{
    Housing h = straight(0.6, 0.008);
    h.cavity.driverAt = 0.7;
    const auto m = modelOf(job(h), 0);
    REQUIRE_FALSE(m.has_value());
    CHECK(m.error().field == "/housings/0/cavity/driver_at_mm");
    CHECK(m.error().message == "the driver is at 700 mm, but the cavity's shape runs from 0 to 600 mm");
    h.cavity.driverAt.reset();
    h.openings.push_back(roundPort(0.05, 0.1, 0.61));
    CHECK(modelOf(job(h), 0).error().field == "/housings/0/openings/0/at_mm");
    h.cavity.model = CavityModel::lumped;  // places mean nothing to one spring
    CHECK(modelOf(job(h), 0).has_value());
}

TEST_CASE("waves in port and cavity show in the level, and the bass corner is looked for below them")
{
    Housing h = straight(0.5, 0.012);
    h.openings.push_back(roundPort(0.06, 0.12));
    Housing lumped = h;
    lumped.cavity.model = CavityModel::lumped;
    const Model m = modelOfJob(h);
    const double standing = loadResonance(m, 1.2 * loadResonance(m).value()).value();
    CHECK(standing > 300);  // c/2L is 343 Hz
    CHECK(standing < 420);
    const double f3 = summaryOf(m)->f3.value();
    CHECK(f3 < standing / 1.1);
    CHECK(summaryOf(m)->referenceLevel ==
          Approx(summaryOf(modelOfJob(lumped))->referenceLevel).margin(1e-6));  // the cone's mass alone
    const Grid around = logGrid(standing * 0.7, standing * 1.3, 200);
    CHECK((level(m, around) - level(modelOfJob(lumped), around)).abs().maxCoeff() > 3);
}
