// How long one tongue takes, by tier and question.
#include "core/vibration/cut_effect.hpp"
#include "tests/outside/heavy_tip.hpp"
#include "tests/support/tongues.hpp"

#include <benchmark/benchmark.h>

namespace reedwright::test {
namespace {

Reed five_stations() {
    Reed result = reed(metal(110.0, 8530.0, 0.34), profile({{0, 0.14}, {4, 0.09}, {9.6, 0.08}, {12, 0.2}, {16, 0.2}}),
                       profile({{0, 2.4}, {16, 2.4}}));
    result.seat.give = 0.64;
    return result;
}

Reed two_stations() {
    Reed result = reed(metal(110.0, 8530.0, 0.34), profile({{0, 0.16}, {15, 0.08}}), profile({{0, 2}, {15, 2}}));
    result.seat.give = 0.64;
    return result;
}

void pitch(benchmark::State& state, const Reed& reed, Model model) {
    for (auto _ : state) benchmark::DoNotOptimize(vibration_of(reed, model).fundamental());
    state.counters["unknowns"] = vibration_of(reed, model).unknowns();
}

void pitch_with_derivatives(benchmark::State& state, const Reed& reed, Model model) {
    for (auto _ : state) {
        const Vibration vibration = vibration_of(reed, model);
        benchmark::DoNotOptimize(vibration.fundamental());
        benchmark::DoNotOptimize(vibration.sensitivities());
    }
    state.counters["unknowns"] = vibration_of(reed, model).unknowns();
}

void inverse_cut(benchmark::State& state, Model model) {
    const Reed reed = two_stations();
    const Zone tip = parse_zone("tip", reed.tongue.length());
    for (auto _ : state) benchmark::DoNotOptimize(find_depth(reed, tip, 0.1 * millimetre, 12.0 * cent, {}, model));
}

// The strip of which write_matrices writes the matrices (flapping.bin): meshed, assembled and solved.
void strip_that_others_solve(benchmark::State& state) {
    for (auto _ : state) {
        const kernel::Strip strip = kernel::meshed(heavy_tip(0.34, true), {});
        benchmark::DoNotOptimize(kernel::StripSolver<4>(strip, kernel::Parity::even).lowest(1));
    }
}
BENCHMARK(strip_that_others_solve)->Unit(benchmark::kMicrosecond);

// How the cost grows with the number of stations of a taper.
void stations(benchmark::State& state) {
    Stations taper;
    const auto count = static_cast<int>(state.range(0));
    for (int i = 0; i <= count; ++i) taper.push_back({15.0 * i / count, 0.16 - 0.08 * i / count});
    const Reed many = reed(metal(110.0, 8530.0, 0.34), profile(taper), profile({{0, 2}, {15, 2}}));
    for (auto _ : state) benchmark::DoNotOptimize(vibration_of(many).fundamental());
}

BENCHMARK_CAPTURE(pitch, beam_2_stations, two_stations(), beam)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(pitch, beam_5_stations, five_stations(), beam)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(pitch, strip_2_stations, two_stations(), strip)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(pitch, strip_5_stations, five_stations(), strip)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(pitch_with_derivatives, strip_2_stations, two_stations(), strip)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(pitch_with_derivatives, strip_5_stations, five_stations(), strip)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(inverse_cut, beam, beam)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(inverse_cut, strip, strip)->Unit(benchmark::kMicrosecond);
BENCHMARK(stations)->Arg(2)->Arg(5)->Arg(20)->Arg(50)->Arg(200)->Arg(2000)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace reedwright::test
