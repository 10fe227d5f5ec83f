// SPDX-License-Identifier: GPL-3.0-or-later
// A scan of a million triangles read, oriented and measured, from binary and from text STL. Beside it the bare sum over
// the same triangles, so that a ratio can be told. Times are printed, never asserted.
#include "core/mesh/scan.h"
#include "tests/core/mesh/mesh_makers.h"

#include <benchmark/benchmark.h>
#include <cstring>

using namespace portwright;

namespace {

const Mesh& million()  // a sphere of 300 mm, 1 000 000 triangles
{
    static const Mesh mesh = test::uvSphere(0.15, 501);
    return mesh;
}

std::string binaryStl(const Mesh& mesh)
{
    std::string bytes(80, ' ');
    const auto put = [&bytes](const auto& value) {
        const std::size_t at = bytes.size();
        bytes.resize(at + sizeof value);
        std::memcpy(bytes.data() + at, &value, sizeof value);
    };
    put(std::uint32_t(mesh.triangles.size()));
    for (const Triangle& t : mesh.triangles) {
        for (int i = 0; i < 3; ++i)
            put(0.0f);
        for (const std::uint32_t corner : t)
            for (const double x : mesh.points[corner])
                put(float(x));
        put(std::uint16_t(0));
    }
    return bytes;
}

void readOnce(benchmark::State& state, const std::string& bytes)
{
    const test::MeshFolder folder;
    const auto file = folder.write("million.stl", bytes);
    double volume = 0;
    for (auto _ : state) {
        const auto scan = readScan(file, {.unit = 1e-3, .wall = {}});
        if (!scan) {
            state.SkipWithError(scan.error().message.c_str());
            return;
        }
        volume = scan->volume;
    }
    state.counters["triangles"] = double(million().triangles.size());
    state.counters["litres"] = volume * 1e3;
}

void readBinaryStl(benchmark::State& state) { readOnce(state, binaryStl(test::scaled(million(), 1e3))); }
void readTextStl(benchmark::State& state) { readOnce(state, test::stlText(test::scaled(million(), 1e3))); }

void sumOfTriangles(benchmark::State& state)
{
    for (auto _ : state)
        benchmark::DoNotOptimize(volumeOf(million()));
}

void crossings(benchmark::State& state)
{
    for (auto _ : state)
        benchmark::DoNotOptimize(selfIntersections(million()));
}

void lighterForDrawing(benchmark::State& state)
{
    for (auto _ : state)
        benchmark::DoNotOptimize(reduced(million(), 30000));
}

BENCHMARK(readBinaryStl)->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK(readTextStl)->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK(sumOfTriangles)->Unit(benchmark::kMillisecond);
BENCHMARK(crossings)->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK(lighterForDrawing)->Unit(benchmark::kMillisecond);

}  // namespace
