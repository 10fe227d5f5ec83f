// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/separation.h"

#include "core/response/fed_network.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

using Complex = std::complex<double>;

Model loudHousing(bool shaped)
{
    return modelFrom(referenceAir(), completed(arbitraryDriver()),
                     arbitraryHousing({.computedLosses = true, .shaped = shaped}), arbitraryFeed(), Place{});
}

}  // namespace

TEST_CASE("the factor of separation is that of (4/(3 pi)) rho K u_peak/S for each tube")
{
    const Air air = roundAir();
    const double S = pi * 9e-4, U = 0.02;  // m2, m3/s rms
    const double uPeak = std::numbers::sqrt2 * U / S;
    CHECK(separationFactor(1.5, S, 1, air) * U == Approx(4 / (3 * pi) * 1.2 * 1.5 * uPeak / S).epsilon(1e-14));
    // two tubes share the flow, and stand in parallel: half the speed, half the resistance
    CHECK(separationFactor(1.5, S, 2, air) == Approx(separationFactor(1.5, S, 1, air) / 4).epsilon(1e-14));
    CHECK(separationFactor(0, S, 1, air) == 0);
}

TEST_CASE("each source alone adds up to all of them together")
{
    rc::prop("any housing with its mouths held", [] {
        const Model m = loudHousing(coin());
        const FedNetwork fed = fedNetworkOf(m);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(10, 2000)));
        const auto all = solve(fed.assembled.network, grid, m.air, Derivatives::yes);
        const auto each = solveEach(fed.assembled.network, grid, m.air, Derivatives::yes);
        RC_ASSERT(all && each);
        for (std::size_t i = 0; i < all->node.size(); ++i) {
            Complex sum = 0, dSum = 0;
            double size = 0, dSize = 0;
            for (const Solution& s : each->alone) {
                sum += s.node[i][0], dSum += s.dNode[i][0];
                size += std::abs(s.node[i][0]), dSize += std::abs(s.dNode[i][0]);
            }
            RC_ASSERT(std::abs(sum - all->node[i][0]) <= 1e-9 * size);
            RC_ASSERT(std::abs(dSum - all->dNode[i][0]) <= 1e-9 * dSize);
        }
        // what flows from one mouth to another does not depend on which of them is pressed: the network is reciprocal
        for (std::size_t i = 1; i < each->into.size(); ++i)
            for (std::size_t k = 1; k < i; ++k)
                RC_ASSERT(std::abs(each->into[i][k].value[0] - each->into[k][i].value[0]) <=
                          1e-9 * (std::abs(each->into[i][i].value[0]) + std::abs(each->into[k][k].value[0])));
    });
}

TEST_CASE("at any loudness each mouth holds the pressure that its own flow sets up")
{
    rc::prop("any housing, one port or several, 1 uV to 1 kV", [] {
        const Model m = loudHousing(coin());
        const FedNetwork fed = fedNetworkOf(m);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(10, 2000)));
        const Eigen::ArrayXd drive = Eigen::ArrayXd::Constant(1, logUniform(1e-6, 1e3));
        const auto linear = solveEach(fed.assembled.network, grid, m.air);
        RC_ASSERT(linear.has_value());
        const auto p = mouthPressures(*linear, fed.separation, drive, Eigen::ArrayXd::Zero(1));
        RC_ASSERT(p.size() == fed.separation.size());
        for (std::size_t i = 0; i < p.size(); ++i) {
            Complex U = linear->into[i + 1][0].value[0];
            double size = std::abs(U);
            for (std::size_t k = 0; k < p.size(); ++k) {
                U += linear->into[i + 1][k + 1].value[0] * p[k].value[0];
                size += std::abs(linear->into[i + 1][k + 1].value[0] * p[k].value[0]);
            }
            // the flow is a difference: compared through the pressure that its rounded value would make
            const double r = fed.separation[i] * drive[0];
            RC_ASSERT(std::abs(p[i].value[0] - r * std::abs(U) * U) <=
                      1e-8 * std::abs(p[i].value[0]) + r * 1e-10 * size * size);
        }
    });
}

TEST_CASE("a loud housing is a linear one with the resistance that its own flow makes, and no power is lost track of")
{
    rc::prop("any housing, any feed", [] {
        const Model m = loudHousing(coin());
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(10, 2000)));
        const FedNetwork fed = fedNetworkOf(m);
        const Drive drive = driveOf(m, grid);
        const auto loud = solveFed(fed, m, grid, drive, Derivatives::no);
        RC_ASSERT(loud.has_value());
        const FedFlows flows = flowsOf(m, fed.assembled, *loud, grid);
        Network equal = fed.assembled.network;
        equal.sources.resize(1);
        double heat = 0;
        for (std::size_t j = 0; j < fed.separation.size(); ++j) {
            const Node mouth = fed.assembled.network.sources[j + 1].node;
            const HousingElement* e = &m.elements[fed.element[j]];
            const auto through = std::find_if(flows.openings.begin(), flows.openings.end(),
                                              [&](const auto& o) { return o.element == e; });
            RC_ASSERT(through != flows.openings.end());
            const double U = std::abs(through->outer[0]);
            const double R = fed.separation[j] * drive.size[0] * U;
            heat += R * U * U;
            if (R > 0) {
                equal.elements.push_back(Inertance{mouth, ground, 0, R});
            } else {
                equal.sources.push_back({mouth, 0, {}, {}});
            }
        }
        const auto same = solve(equal, grid, m.air);
        RC_ASSERT(same.has_value());
        const double scale = std::abs(loud->node[fed.assembled.terminal.index][0]);
        for (std::size_t i = 0; i < equal.nodes.size(); ++i)
            RC_ASSERT(std::abs(same->node[i][0] - loud->node[i][0]) <=
                      1e-7 * std::abs(loud->node[i][0]) + 1e-12 * scale);
        // The coils take at least their own resistance's heat and what the jets carry off.
        const double current = std::abs(flows.driver.current.value[0]);
        double in = 0;
        for (std::size_t d : fed.assembled.drivers) {
            const auto& driver = std::get<DriverElement>(fed.assembled.network.elements[d]);
            const auto V = [&](Node n) { return n.index < 0 ? Complex(0) : loud->node[n.index][0]; };
            const Complex I = driverFlows(driver, *loud, grid).current.value[0];
            in += ((V(driver.plus) - V(driver.minus)) * std::conj(I)).real();
        }
        RC_ASSERT(in >= (m.driverCount * m.driver.driver.Re * current * current + heat) * (1 - 1e-9));
    });
}

TEST_CASE("louder, a single port always lets less through for each volt, down to nothing")
{
    rc::prop("any housing with one port that separates", [] {
        Housing h = arbitraryHousing({.computedLosses = true, .openings = false});
        PortOpening port;
        port.diameter = logUniform(0.01, 0.12), port.length = logUniform(0.01, 0.4);
        h.openings.push_back({port, {}, {}});
        const Model m = modelFrom(referenceAir(), completed(arbitraryDriver()), h, arbitraryFeed(), Place{});
        const FedNetwork fed = fedNetworkOf(m);
        RC_ASSERT(fed.separation.size() == 1);
        const Eigen::ArrayXd drive = logGrid(1e-3, 1e6, 60).frequency;
        const double f = logUniform(10, 2000);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(60, f));
        const auto linear = solveEach(fed.assembled.network, grid, m.air);
        RC_ASSERT(linear.has_value());
        const auto p = mouthPressures(*linear, fed.separation, drive, Eigen::ArrayXd::Zero(60));
        const Eigen::ArrayXd U = (linear->into[1][0].value + linear->into[1][1].value * p[0].value).abs2().sqrt() /
                                 linear->into[1][0].value.abs();
        RC_ASSERT(std::isfinite(U.sum()));
        for (Eigen::Index i = 1; i < U.size(); ++i)
            RC_ASSERT(U[i] <= U[i - 1] + 1e-9);
        RC_ASSERT(U[0] > 0.5);
    });
}
