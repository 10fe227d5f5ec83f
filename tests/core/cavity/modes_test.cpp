// SPDX-License-Identifier: GPL-3.0-or-later
// Formulae: P. M. Morse & K. U. Ingard, Theoretical Acoustics (1968), chapter 9 (from memory): rectangular room, closed
// cylinder (zeros of J'm), sphere (zeros of j'n). Zeros from tables (Abramowitz & Stegun 9.5, 10.1).
#include "core/cavity/modes.h"

#include "core/cavity/solids.h"
#include "core/constants.h"

#include "tests/core/cavity/solid_list.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <complex>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double c = 343;

Air roundAir()
{
    Air air;
    air.rho = 1.2, air.c = c;
    return air;
}

CavityModes modesIn(const SolidsMeasurement& solids, int cubes, int count)
{
    const double V = solidsVolume(solids).value().reading.volume;
    const auto modes = modesOf(cellsOf(solids, cellFor(V, cubes)).value(), roundAir(), count);
    INFO((modes ? "" : modes.error().message));
    REQUIRE(modes);
    return *modes;
}

std::vector<double> roomModes(double lx, double ly, double lz)
{
    std::vector<double> f;
    for (int l = 0; l < 6; ++l)
        for (int m = 0; m < 6; ++m)
            for (int n = 0; n < 6; ++n)
                if (l + m + n) f.push_back(c / 2 * std::hypot(l / lx, m / ly, n / lz));
    std::sort(f.begin(), f.end());
    return f;
}

std::vector<double> cylinderModes(double radius, double height)
{
    struct Zero {
        double at;
        int times;
    };
    const Zero zeros[]{{0, 1}, {1.84118, 2}, {3.05424, 2}, {3.83171, 1}, {4.20119, 2}};
    std::vector<double> f;
    for (int q = 0; q < 6; ++q)
        for (const Zero& z : zeros)
            for (int i = 0; i < z.times; ++i)
                if (q > 0 || z.at > 0) f.push_back(c / 2 * std::hypot(q / height, z.at / (pi * radius)));
    std::sort(f.begin(), f.end());
    return f;
}

// Within 1 %, as asked for; a sixth of it for the first mode, so that a drift is seen.
void checkAgainst(const std::vector<double>& exact, const CavityModes& modes)
{
    for (std::size_t m = 0; m < modes.frequency.size(); ++m) {
        INFO("mode " << m + 1);
        CHECK(modes.frequency[m] == Approx(exact[m]).epsilon(m == 0 ? 0.0017 : 0.01));
    }
}

VoxelGrid sphere(double radius, double cell)
{
    VoxelGrid grid;
    grid.cell = cell;
    const int n = int(std::ceil(2 * radius / cell));
    grid.size = {n, n, n};
    const double corner = -n * cell / 2;
    grid.origin = {corner, corner, corner};
    for (int k = 0; k < n; ++k)
        for (int j = 0; j < n; ++j)
            for (int i = 0; i < n; ++i)
                grid.inside.push_back(std::hypot(corner + cell * (i + 0.5), corner + cell * (j + 0.5),
                                                 corner + cell * (k + 0.5)) <= radius);
    return grid;
}

}  // namespace

TEST_CASE("a room's modes follow its formula")
{
    checkAgainst(roomModes(0.41, 0.29, 0.23), modesIn(list({step(BoxSolid{0.41, 0.29, 0.23})}), 4000, 10));
}

TEST_CASE("a room's modes on whole cubes are those of the same sum exactly")
{
    // On n cubes the grid's own answer is (2/h) sin(m pi/(2 n)) in place of m pi/L: to rounding and the solver's 1e-10.
    VoxelGrid grid;
    grid.cell = 0.03;
    grid.size = {12, 9, 8};
    grid.inside.assign(12 * 9 * 8, 1);
    const auto modes = modesOf(coarsened(grid, 1), roundAir(), 6).value();
    std::vector<double> f;
    const auto k = [](int m, int n) { return 2 / 0.03 * std::sin(m * pi / (2 * n)); };
    for (int l = 0; l < 4; ++l)
        for (int m = 0; m < 4; ++m)
            for (int n = 0; n < 4; ++n)
                if (l + m + n) f.push_back(c / (2 * pi) * std::hypot(k(l, 12), k(m, 9), k(n, 8)));
    std::sort(f.begin(), f.end());
    for (std::size_t m = 0; m < 6; ++m)
        CHECK(modes.frequency[m] == Approx(f[m]).epsilon(1e-8));
}

TEST_CASE("a closed cylinder's modes follow the zeros of J'm, in all directions")
{
    for (const SolidAxis axis : {SolidAxis::x, SolidAxis::y, SolidAxis::z})
        checkAgainst(cylinderModes(0.15, 0.37),
                     modesIn(list({step(CylinderSolid{0.3, 0.37}, {}, false, axis)}), 4000, 7));
}

TEST_CASE("a sphere's modes follow the zeros of j'n")
{
    const double radius = 0.15, cell = 0.018;
    const auto modes = modesOf(coarsened(sphere(radius, cell / 6), 6), roundAir(), 9).value();
    const double z[]{2.0816, 2.0816, 2.0816, 3.3421, 3.3421, 3.3421, 3.3421, 3.3421, 4.4934};
    for (std::size_t m = 0; m < 9; ++m)
        CHECK(modes.frequency[m] == Approx(z[m] * c / (2 * pi * radius)).epsilon(0.01));
}

TEST_CASE("a half sphere has the sphere's modes that are even about its base")
{
    const auto modes = modesIn(list({step(EllipsoidCapSolid{0.3, 0.3, 0.15})}), 4000, 6);
    const double z[]{2.0816, 2.0816, 3.3421, 3.3421, 3.3421, 4.4934};
    for (std::size_t m = 0; m < 6; ++m)
        CHECK(modes.frequency[m] == Approx(z[m] * c / (2 * pi * 0.15)).epsilon(0.01));
}

TEST_CASE("a wedge of two equal sides has the square's modes that are even about its diagonal")
{
    const auto modes = modesIn(list({step(WedgeSolid{0.3, 0.2, 0.3})}), 4000, 1);
    CHECK(modes.frequency[0] == Approx(c / 2 / 0.3).epsilon(0.005));  // (1,0) with (0,1)
}

TEST_CASE("cut cubes come at least twice as near to a curved wall as stairs")
{
    const SolidsMeasurement cylinder = list({step(CylinderSolid{0.3, 0.37})});
    const CutCells cells = cellsOf(cylinder, cellFor(0.3 * 0.3 * 0.37 * pi / 4, 4000)).value();
    VoxelGrid stairs = cells.grid;
    for (std::size_t n = 0; n < stairs.inside.size(); ++n)
        stairs.inside[n] = cells.share[n] >= 0.5f;
    const double exact = cylinderModes(0.15, 0.37)[1];
    const auto off = [&](const CutCells& on) {
        return std::abs(modesOf(on, roundAir(), 2).value().frequency[1] / exact - 1);
    };
    CHECK(off(cells) < 0.5 * off(coarsened(stairs, 1)));
}

TEST_CASE("modes are normalised, orthogonal and carry no net air")
{
    const CavityModes modes = modesIn(list({step(RoundFrustumSolid{0.2, 0.3, 0.25})}), 2500, 5);
    Eigen::VectorXd share(modes.pressure[0].size());
    for (std::size_t n = 0; n < modes.cellOf.size(); ++n)
        if (modes.cellOf[n] >= 0) share[modes.cellOf[n]] = double(modes.cells.share[n]);
    share /= share.sum();
    for (std::size_t a = 0; a < 5; ++a) {
        CHECK(std::abs(share.dot(modes.pressure[a])) < 1e-6);  // the eigenvectors' own accuracy
        for (std::size_t b = 0; b < 5; ++b)
            CHECK(share.dot(modes.pressure[a].cwiseProduct(modes.pressure[b])) == Approx(a == b ? 1 : 0).margin(1e-6));
    }
}

TEST_CASE("a tube's first mode is loudest at its ends, of opposite sign, and silent in the middle")
{
    const CavityModes modes = modesIn(list({step(BoxSolid{0.1, 0.1, 0.8})}), 1000, 3);
    const auto at = [&](std::size_t mode, double z) { return couplingAt(modes, mode, {0, 0, z}); };
    CHECK(std::abs(at(0, 0)) == Approx(1).margin(1e-9));
    CHECK(at(0, 0) * at(0, 0.8) == Approx(-1).margin(1e-9));
    CHECK(at(0, 0.4) == Approx(0).margin(1e-6));
    for (const double z : {0.1, 0.25, 0.31, 0.6})  // cos(pi z/L), straight between cubes of L/40
        CHECK(std::abs(at(0, z)) == Approx(std::abs(std::cos(pi * z / 0.8))).margin(0.005));
    CHECK(std::abs(couplingAt(modes, 0, {0, 0, -3})) == Approx(1).margin(1e-9));  // outside: the nearest air
    const auto field = pressureOnGrid(modes, 0);
    CHECK(*std::max_element(field.begin(), field.end()) <= 1.0f);
}

TEST_CASE("the transfer along a tube is its modal sum and, below the modes, its closed form")
{
    const double L = 0.8, S = 0.01, Q = 30;
    const int count = 6;
    const CavityModes modes = modesIn(list({step(BoxSolid{0.1, 0.1, L})}), 4000, count);
    const Air air = roundAir();
    const Grid grid = logGrid(20, 700, 60);
    for (const double from : {0.0, 0.3})
        for (const double to : {0.8, 0.55}) {
            const Eigen::ArrayXcd found = transfer(modes, {0, 0, from}, {0, 0, to}, grid, Q, air);
            for (Eigen::Index i = 0; i < grid.size(); ++i) {
                const double w = grid.omega[i];
                std::complex<double> sum = -1 / (w * w);
                for (int m = 1; m <= count; ++m) {
                    const double wm = m * pi * c / L;
                    sum += 2 * std::cos(m * pi * from / L) * std::cos(m * pi * to / L) /
                           std::complex<double>(wm * wm - w * w, w * wm / Q);
                }
                sum *= std::complex<double>(0, w * air.rho * c * c / (S * L));
                // 64 cubes along: the third mode lies (3 pi/64)^2/24 = 0.09 % low, at Q 30 some 6 % on its flank; and
                // the pressure runs straight between cubes. Between the resonances the sums agree closely.
                const double scale = std::max(std::abs(sum), air.rho * c / S);
                CHECK(std::abs(found[i] - sum) < 0.08 * scale);
            }
        }
    // Without loss, source at one closed end and listener at the other: p/U = rho c/(S) /(j sin kL). 100 Hz is well
    // below the first mode at 214 Hz; modes past the sixth are missing, some 1.5 % of it.
    const Grid low = gridOf(Eigen::ArrayXd::Constant(1, 100.0));
    const double k = 2 * pi * 100 / c;
    const auto found = transfer(modes, {0, 0, 0}, {0, 0, L}, low, 1e9, air)[0];
    const auto exact = air.rho * c / S / (std::complex<double>(0, 1) * std::sin(k * L));
    CHECK(std::abs(found / exact - 1.0) < 0.03);
}

TEST_CASE("the transfer between two places is the same both ways")
{
    const CavityModes modes = modesIn(list({step(CylinderSolid{0.3, 0.2})}), 1500, 6);
    const Grid grid = logGrid(50, 1500, 20);
    const Point3 a{0.1, 0.02, 0.05}, b{-0.05, 0.09, 0.19};
    const auto there = transfer(modes, a, b, grid, 20, roundAir()), back = transfer(modes, b, a, grid, 20, roundAir());
    CHECK((there - back).abs().maxCoeff() < 1e-9 * there.abs().maxCoeff());  // rounding
}

TEST_CASE("a place at the end of a tube is warned of, one where all modes are weak is not")
{
    const CavityModes modes = modesIn(list({step(BoxSolid{0.1, 0.1, 0.8})}), 1000, 3);
    const auto warnings = placeWarnings(modes, {{"driver", {0, 0, 0.4}}, {"port 1", {0, 0, 0.79}}}, 250);
    REQUIRE(warnings.size() == 1);  // only the first mode, 214 Hz, lies below 250 Hz
    CHECK(warnings[0].place == "port 1");
    CHECK(std::abs(warnings[0].coupling) > 0.9);
    CHECK(warnings[0].text.find("port 1") != std::string::npos);
    REQUIRE(warnings[0].quiet);
    CHECK((*warnings[0].quiet)[2] == Approx(0.4).margin(0.03));  // a cube
    CHECK(placeWarnings(modes, {{"port 1", {0, 0, 0.79}}}, 100).empty());
    CHECK_FALSE(quietestWall(modes, 100));
}

TEST_CASE("a place outside the air is as far from it as it lies beyond the wall")
{
    // A tube along z from 0 to 0.5 m, 0.1 m square about the axis; half a cube is how exactly cubes know a wall.
    const CavityModes modes = modesIn(list({step(BoxSolid{.width = 0.1, .breadth = 0.1, .height = 0.5})}), 4000, 3);
    const double cell = modes.cells.grid.cell;
    CHECK(distanceFromAir(modes, {0, 0, 0.25}) == 0);
    CHECK(distanceFromAir(modes, {0, 0, 0}) == 0);  // in the wall itself
    CHECK(distanceFromAir(modes, {0, 0, 0.6}) == Approx(0.1).margin(cell));
    CHECK(distanceFromAir(modes, {0.15, 0, 0.25}) == Approx(0.1).margin(cell));
}

TEST_CASE("air in several pieces: the largest is used, and that is told")
{
    const auto apart = list({step(BoxSolid{0.2, 0.2, 0.3}), step(BoxSolid{0.2, 0.2, 0.1}, {0.5, 0, 0})});
    const CavityModes modes = modesIn(apart, 2000, 2);
    CHECK(modes.frequency[0] == Approx(c / 2 / 0.3).epsilon(0.005));
    CHECK(modes.volume == Approx(0.012).epsilon(2e-3));
    REQUIRE(modes.remarks.size() == 1);
    CHECK(modes.remarks[0].find("75") != std::string::npos);
}

TEST_CASE("what cannot be computed is refused in a sentence")
{
    const auto cells = cellsOf(list({step(BoxSolid{0.3, 0.2, 0.25})}), 0.02).value();
    CHECK(modesOf(cells, roundAir(), 0).error().field == "count");
    CHECK(modesOf(cells, roundAir(), 41).error().field == "count");
    CHECK(modesOf(CutCells{}, roundAir(), 3).error().field == "cells");
    VoxelGrid none;
    none.cell = 0.01, none.size = {3, 3, 3};
    none.inside.assign(27, 0);
    CHECK(modesOf(coarsened(none, 1), roundAir(), 3).error().field == "cells");
    none.inside.assign(27, 1);
    CHECK(modesOf(coarsened(none, 1), roundAir(), 3).error().field == "cell");
}

TEST_CASE("the search for modes can be stopped between any two solves, and reports rising progress")
{
    const auto cells = cellsOf(list({step(BoxSolid{0.3, 0.2, 0.25})}), 0.015).value();
    Watch watch;
    int asked = 0, last = 1'000'000;
    double highest = 0;
    bool falling = false;
    watch.cancelled = [&] { return ++asked >= last; };
    watch.progress = [&](double fraction, std::string_view) {
        falling = falling || fraction < highest - 1e-12;
        highest = fraction;
    };
    REQUIRE(modesOf(cells, roundAir(), 4, watch));
    CHECK_FALSE(falling);
    CHECK(highest == 1);
    const int all = asked;
    CHECK(all > 10);
    for (const int stop : {1, 2, 5, all}) {
        asked = 0, last = stop;
        const auto stopped = modesOf(cells, roundAir(), 4, watch);
        REQUIRE(!stopped);
        CHECK(stopped.error().field == "cancelled");
        CHECK(asked == stop);
    }
}
