// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/cells.h"

#include "core/cavity/solids.h"
#include "core/constants.h"
#include "tests/core/support/random_project.h"

#include "tests/core/cavity/solid_list.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

}  // namespace

TEST_CASE("cut cubes hold the volume of every solid")
{
    // 2000 cubes; at the wall some 700 of them are counted to 1/256 and better: 0.2 % of the volume is generous.
    for (const Solid& solid :
         {Solid(BoxSolid{0.31, 0.2, 0.25}), Solid(WedgeSolid{0.31, 0.2, 0.25}),
          Solid(RoundFrustumSolid{0.2, 0.12, 0.2}), Solid(RectangularFrustumSolid{0.3, 0.2, 0.1, 0.16, 0.25}),
          Solid(CylinderSolid{0.21, 0.2}), Solid(EllipsoidCapSolid{0.3, 0.2, 0.12}),
          Solid(BentTubeSolid{0.1, 0.15, 1.9})})
        for (const SolidAxis axis : {SolidAxis::x, SolidAxis::y, SolidAxis::z}) {
            const double V = volumeOf(solid).value();
            const auto cells = cellsOf(list({step(solid, {0.05, 0.3, -0.1}, false, axis)}), cellFor(V, 2000)).value();
            INFO(nameOf(solid) << " along axis " << int(axis));
            CHECK(volumeOf(cells) == Approx(V).epsilon(2e-3));
        }
}

TEST_CASE("the list is worked through in order, and what its places change is told")
{
    const auto block = step(BoxSolid{0.3, 0.3, 0.3});
    const auto hole = step(CylinderSolid{0.1, 0.3}, {0, 0, 0}, true);
    const SolidsMeasurement bored = list({block, hole});
    const double V = 0.027 - pi * 0.0025 * 0.3;
    const CutCells cells = cellsOf(bored, 0.02).value();
    CHECK(volumeOf(cells) == Approx(V).epsilon(2e-3));
    CHECK(overlapRemark(bored, cells).empty());
    const SolidsMeasurement filled = list({block, hole, step(CylinderSolid{0.1, 0.3})});  // and plugged again
    CHECK(volumeOf(cellsOf(filled, 0.02).value()) == Approx(0.027).epsilon(2e-3));
    const SolidsMeasurement twice = list({block, block});
    CHECK(volumeOf(cellsOf(twice, 0.02).value()) == Approx(0.027).epsilon(2e-3));
    CHECK(!overlapRemark(twice, cellsOf(twice, 0.02).value()).empty());
}

TEST_CASE("shares and faces stay between shut and open, and nothing opens into the wall")
{
    rc::prop("any two solids", [] {
        const auto m = list({step(CylinderSolid{logUniform(0.1, 0.3), logUniform(0.1, 0.3)}),
                             step(BoxSolid{logUniform(0.05, 0.3), logUniform(0.05, 0.3), logUniform(0.05, 0.3)},
                                  {logUniform(0.01, 0.2), 0, 0}, coin())});
        const auto cells = cellsOf(m, 0.025);
        RC_PRE(bool(cells));
        const auto& size = cells->grid.size;
        for (int k = 0; k < size[2]; ++k)
            for (int j = 0; j < size[1]; ++j)
                for (int i = 0; i < size[0]; ++i) {
                    const std::size_t n = cells->grid.indexOf(i, j, k);
                    RC_ASSERT(cells->share[n] >= 0 && cells->share[n] <= 1);
                    RC_ASSERT((cells->grid.inside[n] != 0) == (cells->share[n] > 0));
                    for (const auto& open : cells->open) {
                        RC_ASSERT(open[n] >= 0 && open[n] <= 1);
                        if (cells->share[n] == 0) RC_ASSERT(open[n] == 0);
                    }
                    if (i + 1 == size[0]) RC_ASSERT(cells->open[0][n] == 0);
                }
    });
}

TEST_CASE("coarser cubes hold the air of the finer ones")
{
    rc::prop("any grid and factor", [] {
        VoxelGrid fine;
        fine.cell = 0.01;
        fine.size = {*rc::gen::inRange(1, 14), *rc::gen::inRange(1, 14), *rc::gen::inRange(1, 14)};
        fine.inside.resize(std::size_t(fine.size[0] * fine.size[1] * fine.size[2]));
        int air = 0;
        for (auto& cube : fine.inside)
            air += cube = coin();
        const CutCells cells = coarsened(fine, *rc::gen::inRange(1, 6));
        RC_ASSERT(std::abs(volumeOf(cells) - air * 1e-6) <= 1e-5 * air * 1e-6);  // a share is a sum of up to 125 floats
    });
}

TEST_CASE("cubes by one step are the grid itself")
{
    VoxelGrid fine;
    fine.cell = 0.01;
    fine.size = {3, 1, 1};
    fine.inside = {1, 1, 0};
    const CutCells cells = coarsened(fine, 1);
    CHECK(cells.open[0] == std::vector<float>{1, 0, 0});
    CHECK(cells.share == std::vector<float>{1, 1, 0});
}

TEST_CASE("cells that cannot be are refused, and the work can be stopped")
{
    const auto box = list({step(BoxSolid{0.3, 0.2, 0.25})});
    CHECK(cellsOf(box, 0).error().field == "cell");
    CHECK(cellsOf(box, 1e-5).error().field == "cell");
    CHECK(cellsOf(list({step(BoxSolid{0, 0.2, 0.25})}), 0.01).error().field == "steps/0/width_mm");
    Watch watch;
    int asked = 0;
    watch.cancelled = [&] { return ++asked > 5; };
    CHECK(cellsOf(box, 0.01, watch).error().field == "cancelled");
    CHECK(asked == 6);
}
