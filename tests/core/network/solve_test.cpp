// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/network.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Network divider()
{
    Network n;
    const Node in = n.addNode("in"), out = n.addNode("out");
    n.elements.push_back(SeriesElement{in, out, 3, 0, 0});
    n.elements.push_back(SeriesElement{out, ground, 1, 0, 0});
    n.sources.push_back({in, 8, {}, {}});
    return n;
}

}  // namespace

TEST_CASE("a resistive divider divides")
{
    const auto s = solve(divider(), logGrid(10, 1000, 5), roundAir());
    REQUIRE(s);
    for (Eigen::Index i = 0; i < 5; ++i)
        CHECK(std::abs(s->node[1][i] - 2.0) < 1e-15);
}

TEST_CASE("an ill-posed network is an error that names the node")
{
    const Grid grid = logGrid(10, 1000, 3);
    Network none = divider();
    none.sources.clear();
    CHECK(solve(none, grid, roundAir()).error().message.find("no source") != std::string::npos);

    Network floating = divider();
    const Node a = floating.addNode("left behind"), b = floating.addNode("also left");
    floating.elements.push_back(SeriesElement{a, b, 1, 0, 0});
    CHECK(solve(floating, grid, roundAir()).error().message.find("left behind") != std::string::npos);

    Network lonely = divider();
    lonely.addNode("alone");
    CHECK(solve(lonely, grid, roundAir()).error().message.find("alone") != std::string::npos);

    Network twice = divider();
    twice.sources.push_back({twice.sources[0].node, 1, {}, {}});
    CHECK(solve(twice, grid, roundAir()).error().message.find("in") != std::string::npos);

    Network wire = divider();
    wire.elements.push_back(Inertance{Node{1}, ground, 0, 0});
    CHECK(solve(wire, grid, roundAir()).error().message.find("out") != std::string::npos);

    Network beyond = divider();
    beyond.elements.push_back(Compliance{Node{7}, 1, 0});
    CHECK_FALSE(solve(beyond, grid, roundAir()));
}

TEST_CASE("a lossless resonance exactly on a grid point is an error, not a number")
{
    Network n;
    const Node in = n.addNode("in"), tank = n.addNode("tank");
    n.elements.push_back(SeriesElement{in, tank, 0, 0, 1e-3});
    n.elements.push_back(SeriesElement{in, tank, 0, 0, 1e-3});
    n.elements.push_back(SeriesElement{tank, ground, 0, 1 / (4 * pi * pi * 1e4 * 2e-3), 0});  // 100 Hz with 2 mF
    n.sources.push_back({in, 1, {}, {}});
    const auto s = solve(n, gridOf(Eigen::ArrayXd::Constant(1, 100.0)), roundAir());
    if (s)
        CHECK(std::abs(s->node[1][0]) > 1e10);  // rounding may leave a tiny but finite pivot
    else
        CHECK(s.error().message.find("tank") != std::string::npos);
}

TEST_CASE("a node that resonates by itself is solved as exactly as any other")
{
    // Node b has C to ground and M to a, in resonance at 100 Hz: its own admittance vanishes there, the answer does
    // not.
    const double C = 1e-7, M = 1 / (4 * pi * pi * 1e4 * C);
    Network n;
    const Node in = n.addNode("in"), b = n.addNode("b"), a = n.addNode("a");
    n.elements.push_back(Inertance{in, a, 0, 1e5});
    n.elements.push_back(Inertance{a, b, M, 0});
    n.elements.push_back(Compliance{b, C, 0});
    n.elements.push_back(Compliance{a, 3e-7, 0});
    n.sources.push_back({in, 1, {}, {}});
    for (double f : {100.0, 100.0 * (1 + 1e-9), 99.0}) {
        const auto s = solve(n, gridOf(Eigen::ArrayXd::Constant(1, f)), roundAir());
        REQUIRE(s);
        const std::complex<double> jw(0, 2 * pi * f);
        const auto Yb = 1.0 / (jw * M + 1.0 / (jw * C));
        const auto pa = 1e-5 / (1e-5 + jw * 3e-7 + Yb);
        const auto pb = pa / (1.0 + jw * jw * M * C);
        if (f == 99.0) {
            CHECK(std::abs(s->node[a.index][0] - pa) < 1e-11 * std::abs(pa));
            CHECK(std::abs(s->node[b.index][0] - pb) < 1e-11 * std::abs(pb));
        } else {
            CHECK(std::abs(s->node[a.index][0]) < 1e-6);  // the branch shorts a
            // all of the source's flow, 1e-5 m3/s, goes into C
            CHECK(std::abs(s->node[b.index][0] - 1e-5 / (jw * C)) < 1e-5 * std::abs(1e-5 / (jw * C)));
        }
    }
}

TEST_CASE(
    "two drivers driven apart leave the cavity at rest, and together they share it")  // table of two T1 in 16 L, Python
{
    const Air air = roundAir();
    const auto travel = [&](double second, double f) {
        Network n;
        const Node left = n.addNode("left"), right = n.addNode("right"), box = n.addNode("box");
        n.elements.push_back(DriverElement{left, ground, ground, box, referenceDriver()});
        n.elements.push_back(DriverElement{right, ground, ground, box, referenceDriver()});
        n.elements.push_back(Compliance{box, 0.016 / (air.rho * air.c * air.c), 0});
        n.sources.push_back({left, 2.83, {}, {}});
        n.sources.push_back({right, second, {}, {}});
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, f));
        const auto s = solve(n, grid, air);
        REQUIRE(s);
        const auto x = [&](int i) {
            return std::abs(driverFlows(std::get<DriverElement>(n.elements[i]), *s, grid).cone.value[0]) /
                   (0.0133 * grid.omega[0]) * 1e3;
        };
        return std::pair(x(0), x(1));
    };
    const double f[] = {30, 60, 100}, together[] = {1.010444, 0.900863, 0.627066},
                 apart[] = {1.846752, 1.047240, 0.568593};
    const double alone[] = {1.375040, 0.933260, 0.588514}, shorted[] = {0.570098, 0.288371, 0.109114};
    for (int i = 0; i < 3; ++i) {
        CHECK(travel(2.83, f[i]).first == Approx(together[i]).epsilon(1e-5));
        CHECK(travel(-2.83, f[i]).first == Approx(apart[i]).epsilon(1e-5));
        CHECK(travel(0, f[i]).first == Approx(alone[i]).epsilon(1e-5));
        CHECK(travel(0, f[i]).second == Approx(shorted[i]).epsilon(1e-5));
    }
}

TEST_CASE("the derivatives of a solution are its slopes")
{
    rc::prop("any housing, any feed", [] {
        const bool shaped = coin();
        const Model m =
            modelFrom(roundAir(), completed(arbitraryDriver()),
                      arbitraryHousing({.computedLosses = true, .shaped = shaped}), arbitraryFeed(), Place{});
        const Assembled a = assemble(m);
        const double f = logUniform(10, 2000), h = 1e-6;
        const auto at = [&](double x) {
            return solve(a.network, gridOf(Eigen::ArrayXd::Constant(1, x)), m.air, Derivatives::yes);
        };
        const auto middle = at(f), up = at(f * (1 + h)), down = at(f * (1 - h));
        RC_ASSERT(middle && up && down);
        for (std::size_t i = 0; i < middle->node.size(); ++i) {
            const auto slope = (up->node[i][0] - down->node[i][0]) / (2 * h * f * 2 * pi);
            // Rounding of the difference, and the third derivative at the sharpest Q: (2 Q h)^2, Q 300; standing waves
            // in a wide cavity, damped by its walls alone, reach 2000.
            const double tolerance = (shaped ? 1e-7 : 1e-8) * std::abs(middle->node[i][0]) / (f * 2 * pi) +
                                     (shaped ? 2e-5 : 1e-6) * std::abs(slope);
            RC_ASSERT(std::abs(slope - middle->dNode[i][0]) <= tolerance);
        }
    });
}
