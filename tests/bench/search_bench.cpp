// SPDX-License-Identifier: GPL-3.0-or-later
// Ports a second that a search reckons, on one thread and on two. Times are printed, never asserted.
#include "core/search/search.h"

#include "../core/support/random_project.h"

#include <benchmark/benchmark.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Model housed(bool sizes)
{
    Housing housing = closedHousing(9e-3);
    if (sizes) housing.cavity.width = 0.2, housing.cavity.breadth = 0.18, housing.cavity.depth = 0.25;
    housing.openings = {{LeakByQ{7}, {}, {}}};
    Model m = modelOfReference(housing, 14.1);
    m.driver.Xmax = 4e-3, m.driver.power = 80;
    return m;
}

SearchRequest wide(const Model& m, double step)
{
    SearchRequest r;
    r.space = spaceOf(m, -1);
    r.space.mostBends = 2;
    r.mostTubes = 3;
    r.tuningFrom = 35, r.tuningTo = 140;
    r.lengthStep = step;
    return r;
}

// What the window and the console ask for where nothing is said.
void defaultSearch(benchmark::State& state)
{
    const Model m = housed(state.range(0) != 0);
    SearchRequest r;
    r.space = spaceOf(m, -1);
    std::size_t candidates = 0;
    for (auto _ : state)
        candidates += searchPorts(m, -1, r)->candidates;
    state.counters["candidates"] = double(candidates) / double(state.iterations());
    state.counters["per_second"] = benchmark::Counter(double(candidates), benchmark::Counter::kIsRate);
}
BENCHMARK(defaultSearch)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond)->UseRealTime();

// The whole search, ranking and final figures of what is shown included: threads, sizes known, steps of length in um.
void wholeSearch(benchmark::State& state)
{
    const Model m = housed(state.range(1) != 0);
    SearchRequest r = wide(m, double(state.range(2)) * 1e-6);
    r.threads = int(state.range(0));
    std::size_t candidates = 0;
    for (auto _ : state)
        candidates += searchPorts(m, -1, r)->candidates;
    state.counters["candidates"] = double(candidates) / double(state.iterations());
    state.counters["per_second"] = benchmark::Counter(double(candidates), benchmark::Counter::kIsRate);
}
BENCHMARK(wholeSearch)
    ->Args({1, 0, 1000})
    ->Args({2, 0, 1000})
    ->Args({2, 1, 1000})
    ->Args({2, 0, 100})
    ->Args({2, 1, 100})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

// The quick evaluator alone, length after length.
void quickEvaluator(benchmark::State& state)
{
    const Model m = housed(false);
    const FastModel fast = fastModelOf(m, {}).value();
    PortOpening port;
    port.diameter = 0.05, port.wall = 2e-3, port.length = 0.15;
    const PortSpace space = spaceOf(m, -1);
    const PortInCavity p = portInCavity(port, space.empty, m.air);
    FastResponse response(fast, fastPortOf(port, p, 17, fast));
    FastPlace place{p.length, p.length, p.inner.l0, p.inner.l2, p.A, p.d, p.A1, p.P, p.A * p.d + p.A1 * p.P};
    int i = 0;
    for (auto _ : state) {
        place.length = 0.1 + 1e-3 * (++i % 200);
        benchmark::DoNotOptimize(response.at(place));
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(quickEvaluator);

// The same port once through the whole model, for comparison.
void wholeModel(benchmark::State& state)
{
    const Model m = housed(false);
    const PortSpace space = spaceOf(m, -1);
    PortOpening port;
    port.diameter = 0.05, port.wall = 2e-3, port.length = 0.15;
    const Grid grid = logGrid(20, 250, fastPoints);
    for (auto _ : state) {
        const Model whole = withPort(m, -1, space, port);
        const auto curves = curvesOf(whole, grid);
        benchmark::DoNotOptimize(limitsOf(whole, *curves));
    }
}
BENCHMARK(wholeModel)->Unit(benchmark::kMicrosecond);

}  // namespace
