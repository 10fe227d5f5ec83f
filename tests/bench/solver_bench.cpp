// SPDX-License-Identifier: GPL-3.0-or-later
// How fast the core is, beside ngspice on the same circuits in the same run. Times are printed, never asserted.
#include "../reference/circuit.h"
#include "../reference/spice.h"

#include "core/port/port_tuning.h"
#include "core/response/curves.h"
#include "core/response/ledger.h"
#include "core/response/limits.h"
#include "core/response/summary.h"
#include "core/response/uncertainty.h"
#include "core/response/verdicts.h"

#include "../core/support/random_project.h"

#include <benchmark/benchmark.h>

using namespace portwright;
using namespace portwright::test;

namespace {

CompleteDriver demoDriver()
{
    CompleteDriver d = completed(referenceDriver());
    d.Xmax = 4e-3;
    d.power = 100;
    return d;
}

Housing vented(double litres)
{
    Housing h = closedHousing(litres * 1e-3);
    PortOpening p;
    p.diameter = 0.054, p.length = 0.13, p.classical = true, p.lossQ = 80;
    h.openings.push_back({LeakByQ{7}, {}, {}});
    h.openings.push_back({p, {}, {}});
    return h;
}

Model model(const Housing& h)
{
    Feed feed;
    feed.voltage = 14.1;
    return modelFrom(referenceAir(), demoDriver(), h, feed, Place{});
}

// All curves of one vented housing over state.range(0) frequencies.
void ventedCurves(benchmark::State& state)
{
    const Model m = model(vented(5.2));
    const Grid grid = logGrid(10, 2000, int(state.range(0)));
    for (auto _ : state)
        benchmark::DoNotOptimize(curvesOf(m, grid));
    state.SetComplexityN(state.range(0));
}
BENCHMARK(ventedCurves)->RangeMultiplier(2)->Range(100, 6400)->Complexity();
BENCHMARK(ventedCurves)->Arg(400);

// The same with computed losses: without separation at the port's ends (0), with it (1), with two ports (2).
Model computed(int separating)
{
    Housing h = vented(5.2);
    auto& port = std::get<PortOpening>(h.openings.back().kind);
    port.lossQ.reset();
    if (separating == 0) port.separationK = 0;
    Opening other = h.openings.back();
    std::get<PortOpening>(other.kind).diameter = 0.03;
    if (separating == 2) h.openings.push_back(other);
    return model(h);
}

void separationCurves(benchmark::State& state)
{
    const Model m = computed(int(state.range(0)));
    const Grid grid = logGrid(10, 2000, 400);
    for (auto _ : state)
        benchmark::DoNotOptimize(curvesOf(m, grid));
}
BENCHMARK(separationCurves)->DenseRange(0, 2);

void separationLimits(benchmark::State& state)
{
    const Model m = computed(int(state.range(0)));
    const auto curves = curvesOf(m, logGrid(10, 2000, 400));
    for (auto _ : state)
        benchmark::DoNotOptimize(limitsOf(m, *curves));
}
BENCHMARK(separationLimits)->DenseRange(0, 2);

void separationVerdicts(benchmark::State& state)
{
    const Model m = computed(int(state.range(0)));
    const auto curves = curvesOf(m, logGrid(10, 2000, 400));
    const auto summary = summaryOf(m);
    for (auto _ : state)
        benchmark::DoNotOptimize(verdictsOf(m, *curves, *summary));
}
BENCHMARK(separationVerdicts)->DenseRange(0, 2)->Unit(benchmark::kMicrosecond);

// The same with a known shape: a cavity of 0.5 m in as many segments as there are sections, or as 2 kHz asks for.
Housing shaped(int sections, CavityModel how)
{
    Housing h = vented(5.2);
    SectionsMeasurement table;
    for (int i = 0; i < sections; ++i) {
        const double width = 0.11 + 0.03 * i / sections;
        table.sections.push_back({.at = 0.5 * i / (sections - 1),
                                  .shape = SectionShape::ellipse,
                                  .width = width,
                                  .height = width,
                                  .unknown = {}});
    }
    h.cavity.measurements.push_back({table, {}, {}, false, {}});
    h.cavity.model = how;
    std::get<PortOpening>(h.openings.back().kind).classical = false;
    return h;
}

void segmentedCurves(benchmark::State& state)
{
    const Model m = model(shaped(int(state.range(0)), CavityModel::segmented));
    const Grid grid = logGrid(10, 2000, 400);
    for (auto _ : state)
        benchmark::DoNotOptimize(curvesOf(m, grid));
    state.SetComplexityN(state.range(0));
}
BENCHMARK(segmentedCurves)->Arg(3)->Arg(10)->Arg(30)->Arg(200)->Complexity();

// From the housing to the model, the choice between the two included.
void segmentedModel(benchmark::State& state)
{
    Housing h = shaped(30, CavityModel::segmented);
    h.cavity.model.reset();
    for (auto _ : state)
        benchmark::DoNotOptimize(model(h));
}
BENCHMARK(segmentedModel);

void segmentedSummary(benchmark::State& state)
{
    const Model m = model(shaped(30, CavityModel::segmented));
    for (auto _ : state)
        benchmark::DoNotOptimize(summaryOf(m));
}
BENCHMARK(segmentedSummary);

// A port with its own ends in a cavity of which only the volume is known: a box of lines.
Housing boxed()
{
    Housing h = vented(5.2);
    auto& port = std::get<PortOpening>(h.openings.back().kind);
    port.classical = false, port.lossQ.reset();
    return h;
}

void boxModel(benchmark::State& state)
{
    const Housing h = boxed();
    for (auto _ : state)
        benchmark::DoNotOptimize(model(h));
}
BENCHMARK(boxModel)->Unit(benchmark::kMicrosecond);

void boxSummary(benchmark::State& state)
{
    const Model m = model(boxed());
    for (auto _ : state)
        benchmark::DoNotOptimize(summaryOf(m));
}
BENCHMARK(boxSummary)->Unit(benchmark::kMicrosecond);

void portInItsCavity(benchmark::State& state)
{
    Housing h = boxed();
    auto& port = std::get<PortOpening>(h.openings.back().kind);
    if (state.range(0) == 0) port.innerEnd = TubeEnd::flush;
    if (state.range(0) == 2) h.cavity.width = 0.17, h.cavity.breadth = 0.19;
    for (auto _ : state)
        benchmark::DoNotOptimize(portInCavity(port, roomOf(h.cavity), referenceAir()));
}
BENCHMARK(portInItsCavity)->DenseRange(0, 2);

void tuningByLines(benchmark::State& state)
{
    const Housing h = boxed();
    const PortInCavity p =
        portInCavity(std::get<PortOpening>(h.openings.back().kind), roomOf(h.cavity), referenceAir());
    for (auto _ : state)
        benchmark::DoNotOptimize(tuningOf(p));
}
BENCHMARK(tuningByLines);

// ngspice's sweep of the same circuit, its reading of the netlist included, and left out.
void ngspiceWholeRun(benchmark::State& state)
{
    Spice spice;
    const Circuit c = circuitOf(referenceAir(), demoDriver(), vented(5.2), Feed{}, 80, "ac dec 174 10 2000");
    for (auto _ : state) {
        spice.run(c.lines);
        benchmark::DoNotOptimize(spice.vector("term"));
    }
}
BENCHMARK(ngspiceWholeRun);

// Edit of six housings: curves, limits, summary and verdicts of each.
void sixHousingsAfterAnEdit(benchmark::State& state)
{
    const Grid grid = logGrid(10, 2000, 400);
    std::vector<Model> models;
    for (int i = 0; i < 6; ++i)
        models.push_back(model(vented(3 + i)));
    for (auto _ : state)
        for (const Model& m : models) {
            const auto curves = curvesOf(m, grid);
            const auto summary = summaryOf(m);
            benchmark::DoNotOptimize(limitsOf(m, *curves));
            benchmark::DoNotOptimize(verdictsOf(m, *curves, *summary));
        }
}
BENCHMARK(sixHousingsAfterAnEdit);

void growthWithHousings(benchmark::State& state)
{
    const Grid grid = logGrid(10, 2000, 400);
    const Model m = model(vented(5.2));
    for (auto _ : state)
        for (int i = 0; i < state.range(0); ++i)
            benchmark::DoNotOptimize(curvesOf(m, grid));
    state.SetComplexityN(state.range(0));
}
BENCHMARK(growthWithHousings)->RangeMultiplier(2)->Range(1, 8)->Complexity();

// More unknown nodes: n drivers in series in a two-cavity housing.
void growthWithNodes(benchmark::State& state)
{
    Housing h = vented(8);
    h.driverCount = int(state.range(0));
    h.wiring = Wiring::series;
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = 4e-3;
    h.secondCavity->hole = {0.04, 0.003, 50.0, {}};
    const Model m = model(h);
    const Grid grid = logGrid(10, 2000, 400);
    for (auto _ : state)
        benchmark::DoNotOptimize(curvesOf(m, grid));
    state.SetComplexityN(state.range(0) + 1);
}
BENCHMARK(growthWithNodes)->DenseRange(1, 8)->Complexity();

void ngspiceGrowthWithNodes(benchmark::State& state)
{
    Housing h = vented(8);
    h.driverCount = int(state.range(0));
    h.wiring = Wiring::series;
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = 4e-3;
    h.secondCavity->hole = {0.04, 0.003, 50.0, {}};
    Spice spice;
    const Circuit c = circuitOf(referenceAir(), demoDriver(), h, Feed{}, 80, "ac dec 174 10 2000");
    for (auto _ : state)
        spice.run(c.lines);
}
BENCHMARK(ngspiceGrowthWithNodes)->DenseRange(1, 8, 7);

// Ranges and bands of one vented housing: its volume and three of its driver's values uncertain.
void uncertaintyOfOneHousing(benchmark::State& state)
{
    Project p;
    DriverSheet d;
    d.id = "mid";
    d.fs = 72, d.Qes = 0.62, d.Qms = 5.1, d.Vas = 9.8e-3, d.Re = 3.3, d.Le = 0.25e-3, d.Sd = 132e-4;
    d.uncertainty = {{"fs_hz", 2}, {"qes", 0.03}, {"vas_l", 0.8}};
    p.drivers.push_back(d);
    Housing h = vented(5.2);
    h.driver = "mid";
    h.cavity.netUncertainty = 0.3e-3;
    p.housings.push_back(h);
    const Grid grid = logGrid(10, 2000, 400);
    for (auto _ : state)
        benchmark::DoNotOptimize(uncertaintyOf(p, 0, grid));
}
BENCHMARK(uncertaintyOfOneHousing);

void ledgerAtTheCursor(benchmark::State& state)
{
    const Model m = model(vented(5.2));
    for (auto _ : state)
        benchmark::DoNotOptimize(ledgerOf(m, 80));
}
BENCHMARK(ledgerAtTheCursor);

}  // namespace
