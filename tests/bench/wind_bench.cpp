// How long a reed in the wind takes to reckon.
#include "core/wind/bend_range.hpp"
#include "core/wind/blow_study.hpp"
#include "core/wind/blown_sound.hpp"
#include "tests/wind/worked_reed.hpp"

#include <benchmark/benchmark.h>

namespace reedwright::test {
namespace {

void one_blow(benchmark::State& state) {
    const BlownReed reed = worked_reed();
    const Pressure pressure = static_cast<double>(state.range(0)) * pascal;
    std::size_t cycles = 0;
    for (auto _ : state) {
        const Sounding sounding = sound(reed, pressure);
        cycles += sounding.cycles;
        benchmark::DoNotOptimize(sounding);
    }
    state.counters["cycles"] = benchmark::Counter(static_cast<double>(cycles), benchmark::Counter::kIsRate);
}
BENCHMARK(one_blow)->Arg(100)->Arg(500)->ArgName("Pa")->Unit(benchmark::kMillisecond);

void threshold_and_choking(benchmark::State& state) {
    const BlownReed reed = worked_reed();
    for (auto _ : state) benchmark::DoNotOptimize(speaking_range(reed));
}
BENCHMARK(threshold_and_choking)->Unit(benchmark::kMicrosecond);

void all_pressure_limits(benchmark::State& state) {
    const BlownReed reed = worked_reed();
    for (auto _ : state) benchmark::DoNotOptimize(pressure_limits(reed));
}
BENCHMARK(all_pressure_limits)->Unit(benchmark::kMillisecond);

void opening_tabulated(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(
            Opening::of_uniform_beam(12.95 * millimetre, 2.1 * millimetre, 0.05 * millimetre, 0.9 * millimetre));
}
BENCHMARK(opening_tabulated)->Unit(benchmark::kMillisecond);

void four_seconds_of_sound(benchmark::State& state) {
    const BlownReed reed = worked_reed();
    for (auto _ : state) benchmark::DoNotOptimize(blown_sound(reed, {500.0 * pascal}));
}
BENCHMARK(four_seconds_of_sound)->Unit(benchmark::kMillisecond);

void bend_range_of_a_cell(benchmark::State& state) {
    BlownReed lower = worked_reed();
    lower.stiffness = 0.8 * lower.stiffness;
    const BlownReed higher = worked_reed();
    for (auto _ : state) benchmark::DoNotOptimize(bend_range(higher, lower, cubic_centimetres(0.4), 300.0 * pascal));
}
BENCHMARK(bend_range_of_a_cell)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace reedwright::test
