// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/solids.h"

#include "core/constants.h"
#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

double litres(const Solid& solid) { return volumeOf(solid).value() * 1e3; }

SolidStep step(Solid solid, bool subtract = false, Point3 at = {0, 0, 0}, SolidAxis axis = SolidAxis::z)
{
    SolidStep s;
    s.solid = std::move(solid), s.subtract = subtract, s.at = at, s.axis = axis;
    return s;
}

SolidsMeasurement list(std::vector<SolidStep> steps)
{
    SolidsMeasurement m;
    m.steps = std::move(steps);
    return m;
}

double side() { return logUniform(0.02, 1); }

Solid arbitrarySolid()
{
    switch (*rc::gen::inRange(0, 7)) {
    case 0:
        return BoxSolid{side(), side(), side()};
    case 1:
        return WedgeSolid{side(), side(), side()};
    case 2:
        return RoundFrustumSolid{side(), side(), side()};
    case 3:
        return RectangularFrustumSolid{side(), side(), side(), side(), side()};
    case 4:
        return CylinderSolid{side(), side()};
    case 5:
        return EllipsoidCapSolid{side(), side(), side()};
    default:
        break;
    }
    const double d = side();
    return BentTubeSolid{d, d * logUniform(0.5, 3), logUniform(0.1, 2 * pi)};
}

// The solid with one of its lengths (in the order of lengthsOf) moved.
Solid moved(Solid solid, std::size_t index, double by)
{
    const auto at = [&](std::initializer_list<double*> sizes) { **(sizes.begin() + index) += by; };
    if (auto* s = std::get_if<BoxSolid>(&solid)) at({&s->width, &s->breadth, &s->height});
    if (auto* s = std::get_if<WedgeSolid>(&solid)) at({&s->width, &s->breadth, &s->height});
    if (auto* s = std::get_if<RoundFrustumSolid>(&solid)) at({&s->diameter, &s->topDiameter, &s->height});
    if (auto* s = std::get_if<RectangularFrustumSolid>(&solid))
        at({&s->width, &s->breadth, &s->topWidth, &s->topBreadth, &s->height});
    if (auto* s = std::get_if<CylinderSolid>(&solid)) at({&s->diameter, &s->height});
    if (auto* s = std::get_if<EllipsoidCapSolid>(&solid)) at({&s->width, &s->breadth, &s->height});
    if (auto* s = std::get_if<BentTubeSolid>(&solid)) {
        if (index == 2) by /= s->centreLineRadius;  // a length along the centre line
        at({&s->diameter, &s->centreLineRadius, &s->angle});
    }
    return solid;
}

}  // namespace

// Check values: worked out apart from this program by the closed forms named, printed to seven digits.
TEST_CASE("every solid has the volume of its formula")
{
    CHECK(litres(BoxSolid{0.3, 0.2, 0.25}) == Approx(15).epsilon(1e-12));
    CHECK(litres(WedgeSolid{0.3, 0.2, 0.25}) == Approx(7.5).epsilon(1e-12));
    CHECK(litres(RoundFrustumSolid{0.2, 0.12, 0.2}) == Approx(4.105014).epsilon(2e-7));
    CHECK(litres(RectangularFrustumSolid{0.3, 0.2, 0.24, 0.16, 0.25}) == Approx(12.2).epsilon(1e-12));
    // Ends that are not similar: the root formula h/3 (A1 + A2 + sqrt(A1 A2)) would give 11.0355 L.
    CHECK(litres(RectangularFrustumSolid{0.3, 0.2, 0.3, 0.1, 0.25}) == Approx(11.25).epsilon(1e-12));
    CHECK(litres(CylinderSolid{0.1, 0.2}) == Approx(1.5707963).epsilon(1e-7));
    CHECK(litres(EllipsoidCapSolid{0.3, 0.2, 0.12}) == Approx(3.769911).epsilon(2e-7));
    CHECK(litres(BentTubeSolid{0.06, 0.1, pi / 2}) == Approx(0.444132).epsilon(1e-6));  // Pappus
}

TEST_CASE("every solid is contained in its bounds and fills its volume of them")
{
    // Counted on 200 000 random points: standard error of a share p of the bounds is sqrt(p (1 - p)/n); 5 of them.
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> even(0, 1);
    const std::vector<Solid> solids{
        BoxSolid{0.3, 0.2, 0.25},          WedgeSolid{0.3, 0.2, 0.25},
        RoundFrustumSolid{0.2, 0.12, 0.2}, RectangularFrustumSolid{0.3, 0.1, 0.2, 0.16, 0.25},
        CylinderSolid{0.1, 0.2},           EllipsoidCapSolid{0.3, 0.2, 0.12},
        BentTubeSolid{0.06, 0.1, 1.2},     BentTubeSolid{0.06, 0.03, 2.5},
        BentTubeSolid{0.06, 0.1, 4.5}};
    for (const Solid& solid : solids)
        for (const SolidAxis axis : {SolidAxis::x, SolidAxis::y, SolidAxis::z}) {
            const SolidStep placed = step(solid, false, {0.3, -0.2, 0.1}, axis);
            const SolidBounds b = boundsOf(placed);
            Point3 low, size;  // half as much again all round, so that nothing outside the bounds goes unseen
            double space = 1;
            for (std::size_t i = 0; i < 3; ++i) {
                const double edge = b.high[i] - b.low[i];
                low[i] = b.low[i] - edge / 4, size[i] = 1.5 * edge, space *= size[i];
            }
            int hits = 0;
            const int n = 200'000;
            for (int k = 0; k < n; ++k) {
                Point3 p;
                bool bounded = true;
                for (std::size_t i = 0; i < 3; ++i) {
                    p[i] = low[i] + size[i] * even(random);
                    bounded = bounded && p[i] >= b.low[i] && p[i] <= b.high[i];
                }
                const bool in = contains(placed, p);
                hits += in;
                if (in && !bounded) FAIL(nameOf(solid) << " reaches out of its bounds");
            }
            const double share = volumeOf(solid).value() / space;
            INFO(nameOf(solid) << " axis " << int(axis));
            CHECK(double(hits) / n == Approx(share).margin(5 * std::sqrt(share * (1 - share) / n)));
        }
}

TEST_CASE("a solid stands on its base, width and breadth in cyclic order")
{
    const BoxSolid box{0.4, 0.2, 0.6};
    const SolidStep along = step(box, false, {1, 2, 3}, SolidAxis::x);  // width along y, breadth along z
    CHECK(contains(along, {1.59, 2.19, 3.09}));
    CHECK_FALSE(contains(along, {0.99, 2, 3}));
    CHECK_FALSE(contains(along, {1.3, 2, 3.11}));
    const SolidStep wedge = step(WedgeSolid{0.4, 0.2, 0.6});
    CHECK(contains(wedge, {-0.19, 0, 0.55}));
    CHECK_FALSE(contains(wedge, {0.19, 0, 0.55}));
    const SolidStep tube = step(BentTubeSolid{0.1, 0.2, pi / 2});
    CHECK(contains(tube, {0, 0, 0.001}));    // starts upwards at the base
    CHECK(contains(tube, {0.199, 0, 0.2}));  // and ends sideways
    CHECK_FALSE(contains(tube, {0.201, 0, 0.2}));
    CHECK_FALSE(contains(tube, {0, 0, -0.001}));
}

TEST_CASE("a solid k times as large holds k cubed as much")
{
    rc::prop("any solid", [] {
        const double k = logUniform(0.2, 3);
        Solid small = arbitrarySolid(), large = small;
        const std::size_t lengths = lengthsOf(small).size();
        for (std::size_t i = 0; i < lengths; ++i) {
            const SolidLength l = lengthsOf(small)[i];
            if (l.length) large = moved(large, i, (k - 1) * l.value);
        }
        const double expected = volumeOf(small).value() * k * k * k;
        RC_ASSERT(std::abs(volumeOf(large).value() / expected - 1) < 1e-12);  // rounding
    });
}

TEST_CASE("solids that degenerate become one another")
{
    rc::prop("any sizes", [] {
        const double w = side(), b = side(), h = side();
        const auto same = [](const Solid& x, const Solid& y) {
            return std::abs(volumeOf(x).value() / volumeOf(y).value() - 1) < 1e-12;  // rounding
        };
        RC_ASSERT(same(RectangularFrustumSolid{w, b, w, b, h}, BoxSolid{w, b, h}));
        RC_ASSERT(same(RectangularFrustumSolid{w, b, 0, b, h}, WedgeSolid{w, b, h}));
        RC_ASSERT(same(RoundFrustumSolid{w, w, h}, CylinderSolid{w, h}));
        RC_ASSERT(std::abs(3 * volumeOf(RoundFrustumSolid{w, 0, h}).value() / volumeOf(CylinderSolid{w, h}).value() -
                           1) < 1e-12);
        RC_ASSERT(std::abs(2 * volumeOf(WedgeSolid{w, b, h}).value() / volumeOf(BoxSolid{w, b, h}).value() - 1) <
                  1e-12);
    });
}

TEST_CASE("each slope is the change of volume with that length")
{
    rc::prop("any solid", [] {
        const Solid solid = arbitrarySolid();
        const auto lengths = lengthsOf(solid);
        const double V = volumeOf(solid).value();
        for (std::size_t i = 0; i < lengths.size(); ++i) {
            // Volumes are of third degree at most: a symmetric difference over 2e-6 m is right to 1e-8 of V/length.
            const double d = 1e-6;
            const auto shifted = [&](double by) {
                double sum = 0;
                for (const SolidLength& l : lengthsOf(moved(solid, i, by)))
                    sum += l.value;  // keeps the moved solid in use where volumeOf refuses a too tight bend
                return volumeOf(moved(solid, i, by)).value_or(std::nan("") * sum);
            };
            const double slope = (shifted(d) - shifted(-d)) / (2 * d);
            if (std::isnan(slope)) continue;
            const bool angle = !lengths[i].length;
            const double scale = angle ? V : V / lengths[i].value;
            RC_ASSERT(std::abs(slope - lengths[i].slope) < 1e-6 * std::max(scale, std::abs(slope)));
        }
    });
}

TEST_CASE("lines add up as signed, whatever their order")
{
    const auto m = list(
        {step(BoxSolid{0.3, 0.2, 0.25}), step(CylinderSolid{0.1, 0.2}, true), step(EllipsoidCapSolid{0.3, 0.2, 0.12})});
    const auto worked = solidsVolume(m).value();
    REQUIRE(worked.lines.size() == 3);
    CHECK(worked.lines[1].volume == Approx(-1.5707963e-3));
    CHECK(worked.lines[1].total == Approx(13.4292037e-3));
    CHECK(worked.reading.volume == Approx(17.1991148e-3).epsilon(1e-7));
    CHECK(worked.lines[0].name == "Box 1");
}

TEST_CASE("the uncertainty from lengths is that of a Monte-Carlo run")
{
    // 40 000 runs: a standard deviation is then known to 1/sqrt(2 n) = 0.35 %; five of them and the curvature: 2 %.
    SolidsMeasurement m = list({step(RectangularFrustumSolid{0.31, 0.2, 0.23, 0.16, 0.25}),
                                step(CylinderSolid{0.1, 0.27}, true), step(BentTubeSolid{0.06, 0.11, 1.1})});
    m.lengthUncertainty = 2e-3;
    std::mt19937_64 random(11);
    std::normal_distribution<double> error(0, 2e-3);
    double sum = 0, squares = 0;
    const int n = 40'000;
    for (int k = 0; k < n; ++k) {
        SolidsMeasurement drawn = m;
        for (SolidStep& s : drawn.steps)
            for (std::size_t i = 0; i < lengthsOf(s.solid).size(); ++i)
                s.solid = moved(s.solid, i, error(random));
        const double V = runningList(drawn).back().total;
        sum += V, squares += V * V;
    }
    const double deviation = std::sqrt(squares / n - sum / n * (sum / n));
    CHECK(solidsVolume(m).value().fromLengths == Approx(deviation).epsilon(0.02));
}

TEST_CASE("a length that enters twice counts twice")
{
    // A square box: dV = 2 a h da + a^2 dh, by hand; and by Monte-Carlo with one draw for both sides.
    SolidsMeasurement m = list({step(BoxSolid{0.2, 0.2, 0.3})});
    m.lengthUncertainty = 1e-3;
    const double square = std::hypot(2 * 0.2 * 0.3, 0.04) * 1e-3;
    CHECK(solidsVolume(m).value().fromLengths == Approx(square).epsilon(1e-12));
    // Two solids that share an edge of 0.31 m: the shared length moves both.
    SolidsMeasurement two = list({step(BoxSolid{0.31, 0.2, 0.25}), step(WedgeSolid{0.31, 0.15, 0.1})});
    two.lengthUncertainty = 1e-3;
    std::mt19937_64 random(5);
    std::normal_distribution<double> error(0, 1e-3);
    double sum = 0, squares = 0;
    const int n = 40'000;
    for (int k = 0; k < n; ++k) {
        const double w = 0.31 + error(random);
        const double V =
            w * (0.2 + error(random)) * (0.25 + error(random)) + w * (0.15 + error(random)) * (0.1 + error(random)) / 2;
        sum += V, squares += V * V;
    }
    const double deviation = std::sqrt(squares / n - sum / n * (sum / n));
    CHECK(solidsVolume(two).value().fromLengths == Approx(deviation).epsilon(0.02));
    // Where a shared length would cancel, it is taken as measured twice: never too sure.
    SolidsMeasurement less = two;
    less.steps[1].subtract = true;
    CHECK(solidsVolume(less).value().fromLengths > 0.9 * std::hypot(0.05, std::hypot(0.0775, 0.062)) * 1e-3);
}

TEST_CASE("bad solids are refused in a sentence that names them")
{
    const auto refused = [](Solid solid) {
        const auto result = readingOf(list({step(BoxSolid{0.3, 0.2, 0.25}), step(std::move(solid))}));
        REQUIRE(!result);
        return result.error();
    };
    CHECK(refused(BoxSolid{0, 0.2, 0.3}).field == "steps/1/width_mm");
    CHECK(refused(BoxSolid{0.1, std::nan(""), 0.3}).field == "steps/1/breadth_mm");
    CHECK(refused(CylinderSolid{0.1, INFINITY}).field == "steps/1/height_mm");
    CHECK(refused(CylinderSolid{0.1, -0.1}).field == "steps/1/height_mm");
    CHECK(refused(RoundFrustumSolid{0.1, -0.1, 0.2}).field == "steps/1/top_diameter_mm");
    CHECK(refused(BentTubeSolid{0.1, 0.04, 1}).field == "steps/1/centre_line_radius_mm");
    CHECK(refused(BentTubeSolid{0.1, 0.1, 7}).field == "steps/1/angle_deg");
    CHECK(refused(BoxSolid{0, 0.2, 0.3}).message.find("width") != std::string::npos);
    CHECK(readingOf(SolidsMeasurement{}).error().field == "steps");
    CHECK(readingOf(list({step(CylinderSolid{0.1, 0.2}, true)})).error().field == "steps");
    // The list goes on past a bad line.
    const auto lines = runningList(list({step(BoxSolid{0, 0.2, 0.3}), step(BoxSolid{0.1, 0.1, 0.1})}));
    CHECK(lines[0].error);
    CHECK(lines[1].total == Approx(1e-3));
}
