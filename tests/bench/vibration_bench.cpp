// How long one tongue takes, by tier and question.
#include "core/vibration/banded_cholesky.hpp"
#include "core/vibration/cut_effect.hpp"
#include "tests/outside/heavy_tip.hpp"
#include "tests/support/tongues.hpp"

#include <benchmark/benchmark.h>
#include <algorithm>
#include <vector>

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

// The arithmetic of a solve by itself, on a band of as many unknowns as that strip has: multiplications and additions a
// second. The strip's rows are of 16 entries; rows of 128 tell what the same loops reach where starting them costs
// little.
kernel::BandedMatrix band(int bandwidth) {
    constexpr int unknowns = 256;
    kernel::BandedMatrix matrix(unknowns, bandwidth);
    for (int i = 0; i < unknowns; ++i)
        for (int j = i; j <= std::min(i + bandwidth, unknowns - 1); ++j)
            matrix.at(i, j) = i == j ? 4.0 : -1.0 / (bandwidth + j - i);
    return matrix;
}

// Summed over the rows; reach is the number of entries right of the diagonal.
double operations(const kernel::BandedMatrix& matrix, double (*of_row)(double reach)) {
    double sum = 0.0;
    for (int i = 0; i < matrix.size(); ++i) sum += of_row(std::min(matrix.bandwidth(), matrix.size() - 1 - i));
    return sum;
}

void count_operations(benchmark::State& state, double each) {
    state.counters["operations"] = each;
    state.counters["flops"] =
        benchmark::Counter(each, benchmark::Counter::kIsIterationInvariantRate, benchmark::Counter::kIs1000);
}

void factorise(benchmark::State& state) {
    const kernel::BandedMatrix matrix = band(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        kernel::BandedMatrix copy = matrix;
        benchmark::DoNotOptimize(copy.factorise());
    }
    count_operations(state, operations(matrix, [](double reach) { return reach + reach * (reach + 1.0); }));
}

// One step of the iteration: a solve with the factor and a product with the mass.
void inverse_step(benchmark::State& state) {
    const kernel::BandedMatrix mass = band(static_cast<int>(state.range(0)));
    kernel::BandedMatrix factor = mass;
    if (!factor.factorise()) state.SkipWithError("not positive definite");
    std::vector<double> shape(static_cast<std::size_t>(mass.size()), 1.0), weighted(shape);
    for (auto _ : state) {
        mass.multiply(shape.data(), weighted.data());
        factor.solve(weighted.data());
        benchmark::DoNotOptimize(weighted.data());
        benchmark::ClobberMemory();
    }
    count_operations(state, operations(mass, [](double reach) { return 8.0 * reach + 3.0; }));
}
BENCHMARK(factorise)->ArgName("bandwidth")->Arg(15)->Arg(127)->Unit(benchmark::kMicrosecond);
BENCHMARK(inverse_step)->ArgName("bandwidth")->Arg(15)->Arg(127)->Unit(benchmark::kMicrosecond);

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
