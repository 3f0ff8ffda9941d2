// The first pitch of the tongue of two stations (vibration_bench) by CalculiX: the same question, asked of a solid
// body.
#include "tests/outside/brick_tongue.hpp"
#include "tests/support/tongues.hpp"

#include <benchmark/benchmark.h>

namespace reedwright::test {
namespace {

void solid_by_calculix(benchmark::State& state) {
    const Reed reed =
        test::reed(metal(110.0, 8530.0, 0.34), profile({{0, 0.16}, {15, 0.08}}), profile({{0, 2}, {15, 2}}));
    for (auto _ : state) {
        const SolidAnswer answer = solid_modes(reed.tongue, Half::flapping, {}, 1);
        state.SetIterationTime(answer.seconds);  // of the program ccx alone, without our meshing
    }
}
BENCHMARK(solid_by_calculix)->Unit(benchmark::kMillisecond)->UseManualTime()->Iterations(1);

}  // namespace
}  // namespace reedwright::test
