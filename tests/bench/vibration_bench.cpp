// How long one tongue takes, by tier and question.
#include "core/vibration/cut_effect.hpp"
#include "core/vibration/element_chain.hpp"
#include "core/vibration/strip_of_tongue.hpp"
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

// The arithmetic of a solve by itself, on a chain of as many elements as that strip has: multiplications and additions
// a second. One element, whose matrix lies in the first cache, tells what the same loops reach where memory costs
// nothing.
constexpr std::size_t orders = kernel::strip_orders;
using Chain = kernel::ElementChain<orders>;

void fill(Chain& matrix) {
    for (std::size_t e = 0; e < matrix.elements(); ++e)
        for (std::size_t i = 0; i < Chain::element_size; ++i)
            for (std::size_t j = 0; j < Chain::element_size; ++j) {
                const std::size_t apart = i > j ? i - j : j - i;
                matrix.element(e)[i * Chain::element_size + j] =
                    i == j ? 4.0 : -1.0 / static_cast<double>(Chain::element_size + apart);
            }
}

void count_operations(benchmark::State& state, std::size_t each) {
    state.counters["operations"] = static_cast<double>(each);
    state.counters["flops"] = benchmark::Counter(
        static_cast<double>(each), benchmark::Counter::kIsIterationInvariantRate, benchmark::Counter::kIs1000);
}

// What is needed of each: the triangle of an elimination, twice the step's columns of a solve.
void factorise(benchmark::State& state) {
    const auto elements = static_cast<std::size_t>(state.range(0));
    Chain matrix(elements);
    fill(matrix);
    for (auto _ : state) {
        const kernel::ChainFactor<orders> factor(matrix);
        benchmark::DoNotOptimize(&factor);
    }
    std::size_t each = 0;
    for (std::size_t below = Chain::node_size; below < Chain::element_size; ++below)
        each += below + below * (below + 1);
    count_operations(state, elements * each);
}

void factor_solve(benchmark::State& state) {
    const auto elements = static_cast<std::size_t>(state.range(0));
    Chain matrix(elements);
    fill(matrix);
    const kernel::ChainFactor<orders> factor(matrix);
    std::vector<double> x(matrix.size());
    for (auto _ : state) {
        std::fill(x.begin(), x.end(), 1.0);
        factor.solve(x.data());
        benchmark::DoNotOptimize(x.data());
        benchmark::ClobberMemory();
    }
    std::size_t each = 0;
    for (std::size_t below = Chain::node_size; below < Chain::element_size; ++below) each += 2 * (2 * below + 1);
    count_operations(state, elements * each);
}

void mass_times_shape(benchmark::State& state) {
    const auto elements = static_cast<std::size_t>(state.range(0));
    Chain matrix(elements);
    fill(matrix);
    const std::vector<double> shape(matrix.size(), 1.0);
    std::vector<double> product(matrix.size());
    for (auto _ : state) {
        matrix.multiply(shape.data(), product.data());
        benchmark::DoNotOptimize(product.data());
        benchmark::ClobberMemory();
    }
    count_operations(state, elements * 2 * Chain::element_size * Chain::element_size);
}
BENCHMARK(factorise)->ArgName("elements")->Arg(1)->Arg(16)->Unit(benchmark::kMicrosecond);
BENCHMARK(factor_solve)->ArgName("elements")->Arg(1)->Arg(16)->Unit(benchmark::kMicrosecond);
BENCHMARK(mass_times_shape)->ArgName("elements")->Arg(1)->Arg(16)->Unit(benchmark::kMicrosecond);

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
