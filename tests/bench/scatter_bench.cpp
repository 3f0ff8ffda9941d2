// Tongues per second of the Monte Carlo: the whole run with its draws and its summary, and the two ways
// to a pitch alone.
#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/pitch_scatter.hpp"
#include "core/uncertainty/random.hpp"
#include "core/uncertainty/reduced_pitch.hpp"
#include "tests/support/tongues.hpp"

#include <benchmark/benchmark.h>

namespace reedwright {

namespace {

// A thinned brass tongue in air, with the spread of a usual lot.
Reed brass() {
    Material material = test::metal(106.5, 8440.0, 0.325);
    material.youngs_modulus.sigma = 3.2 * gigapascal;
    material.density.sigma = 25.0 * kilogram_per_cubic_metre;
    material.poisson_ratio.sigma = Ratio(0.01);
    Reed reed =
        test::reed(material, test::profile({{0, 0.161}, {6, 0.131}, {15, 0.089}}), test::profile({{0, 2}, {15, 2}}));
    reed.seat.give = 0.64;
    reed.seat.give_sigma = 0.32;
    reed.air = Air{};
    return reed;
}

// By each of the instructions that the machine has.
void each_lanes(benchmark::internal::Benchmark* benchmark) {
    for (std::size_t i = 0; i < kernel::lanes_here().size(); ++i) benchmark->Arg(static_cast<std::int64_t>(i));
}

void each_lanes_and_threads(benchmark::internal::Benchmark* benchmark) {
    for (std::size_t i = 0; i < kernel::lanes_here().size(); ++i)
        for (const std::int64_t threads : {1, 2}) benchmark->Args({static_cast<std::int64_t>(i), threads});
}

const kernel::Lanes& lanes_of(benchmark::State& state) {
    const kernel::Lanes& lanes = *kernel::lanes_here()[static_cast<std::size_t>(state.range(0))];
    state.SetLabel(lanes.instructions);
    return lanes;
}

void scatter(benchmark::State& state) {
    const Reed reed = brass();
    ScatterRequest request;
    request.samples = 1000000;
    request.lanes = &lanes_of(state);
    request.threads = static_cast<unsigned>(state.range(1));
    for (auto _ : state) benchmark::DoNotOptimize(pitch_scatter(reed, Model{}, request));
    state.counters["tongues"] = benchmark::Counter(
        static_cast<double>(request.samples) * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(scatter)
    ->Apply(each_lanes_and_threads)
    ->ArgNames({"lanes", "threads"})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

void draws(benchmark::State& state) {
    const RandomSamples random(1, lanes_of(state));
    std::array<double, 256> one, other;
    std::uint64_t first = 0;
    for (auto _ : state) {
        random.normal(first, 0, one, other);
        first += one.size();
        benchmark::ClobberMemory();
    }
    state.counters["normals"] = benchmark::Counter(2.0 * static_cast<double>(first), benchmark::Counter::kIsRate);
}
BENCHMARK(draws)->Apply(each_lanes)->ArgName("lanes");

void reduced_pitch(benchmark::State& state) {
    const ReducedPitch reduced(brass(), Model{}, lanes_of(state));
    const RandomSamples random(1);
    std::array<std::array<double, 256>, 8> columns;
    DeviationColumns spans;
    for (std::size_t i = 0; i < 8; i += 2) random.normal(0, static_cast<std::uint32_t>(i), columns[i], columns[i + 1]);
    for (std::size_t i = 0; i < input_count; ++i) spans[i] = columns[i];
    std::array<double, 256> values;
    for (auto _ : state) {
        reduced.cents(spans, values);
        benchmark::ClobberMemory();
    }
    state.counters["tongues"] =
        benchmark::Counter(256.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(reduced_pitch)->Apply(each_lanes)->ArgName("lanes");

void reduced_strip_built(benchmark::State& state) {
    const Reed reed = brass();
    for (auto _ : state) benchmark::DoNotOptimize(ReducedPitch(reed, Model{}));
}
BENCHMARK(reduced_strip_built)->Unit(benchmark::kMillisecond);

void full_pitch(benchmark::State& state) {
    const Reed reed = brass();
    Deviations z{};
    z.fill(0.5);
    for (auto _ : state) benchmark::DoNotOptimize(full_model_cents(reed, 440.0 * hertz, z, Model{}));
    state.counters["tongues"] =
        benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(full_pitch)->Unit(benchmark::kMicrosecond);

}  // namespace

}  // namespace reedwright
