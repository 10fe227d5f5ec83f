// SPDX-License-Identifier: GPL-3.0-or-later
// Resonances of a cavity beside a dense solver on the same cells in the same run. Times are printed, never asserted.
#include "core/cavity/modes.h"
#include "core/cavity/solids.h"

#include <Eigen/Eigenvalues>
#include <benchmark/benchmark.h>

using namespace portwright;

namespace {

SolidsMeasurement saddlebag()
{
    SolidsMeasurement m;
    SolidStep body, slope, lid;
    body.solid = BoxSolid{0.42, 0.24, 0.22};
    slope.solid = WedgeSolid{0.42, 0.24, 0.12}, slope.at = {0, 0, 0.22};
    lid.solid = CylinderSolid{0.08, 0.2}, lid.subtract = true, lid.at = {0.1, 0.03, 0};
    m.steps = {body, slope, lid};
    return m;
}

CutCells cellsWith(int count)
{
    const SolidsMeasurement m = saddlebag();
    return *cellsOf(m, cellFor(solidsVolume(m)->reading.volume, count));
}

void cells(benchmark::State& state)
{
    for (auto _ : state)
        benchmark::DoNotOptimize(cellsWith(int(state.range(0))));
}
BENCHMARK(cells)->Arg(30000)->Unit(benchmark::kMillisecond);

void eightModes(benchmark::State& state)
{
    const CutCells cut = cellsWith(int(state.range(0)));
    for (auto _ : state)
        benchmark::DoNotOptimize(modesOf(cut, referenceAir(), 8));
    state.counters["cubes"] = double(modesOf(cut, referenceAir(), 8)->pressure[0].size());
}
BENCHMARK(eightModes)->Arg(1000)->Arg(30000)->Unit(benchmark::kMillisecond);

// All eigenvalues of the same matrix, filled in: what a solver that does not know how empty it is would take.
void denseEigenvalues(benchmark::State& state)
{
    const CutCells cut = cellsWith(int(state.range(0)));
    const CavityModes modes = *modesOf(cut, referenceAir(), 8);
    const Eigen::Index n = modes.pressure[0].size();
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(n, n);
    const auto& size = cut.grid.size;
    const std::size_t stride[]{1, std::size_t(size[0]), std::size_t(size[0]) * std::size_t(size[1])};
    for (std::size_t cell = 0; cell < cut.share.size(); ++cell)
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const double open = double(cut.open[axis][cell]);
            if (open == 0 || modes.cellOf[cell] < 0 || modes.cellOf[cell + stride[axis]] < 0) continue;
            const int a = modes.cellOf[cell], b = modes.cellOf[cell + stride[axis]];
            const double sa = double(cut.share[cell]), sb = double(cut.share[cell + stride[axis]]);
            A(a, a) += open / sa, A(b, b) += open / sb;
            A(a, b) = A(b, a) = -open / std::sqrt(sa * sb);
        }
    double first = 0;
    for (auto _ : state)
        first = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(A, Eigen::EigenvaluesOnly).eigenvalues()[1];
    const double hertz = referenceAir().c / (2 * pi * cut.grid.cell) * std::sqrt(first);
    state.counters["first_ratio"] = hertz / modes.frequency[0];  // 1: both agree
}
BENCHMARK(denseEigenvalues)->Arg(1000)->Unit(benchmark::kMillisecond);

}  // namespace
