// How long the work on a whole instrument takes to reckon.
#include "core/plan/instrument_file.hpp"
#include "core/retune/instrument_cuts.hpp"

#include <benchmark/benchmark.h>
#include <string>

namespace reedwright {
namespace {

const std::string folder = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/";
const MaterialLibrary& library() {
    static const MaterialLibrary materials(REEDWRIGHT_SOURCE_DIR "/materials");
    return materials;
}

void twenty_reeds_from_readings_to_cuts(benchmark::State& state) {
    const Instrument instrument = read_instrument_file(folder + "instrument.yaml", library());
    const Readings readings = read_readings_file(folder + "readings.csv", instrument);
    WorkRules rules;
    rules.tuning = instrument.tuning;
    for (auto _ : state) benchmark::DoNotOptimize(instrument_cuts(instrument, readings, rules));
}
BENCHMARK(twenty_reeds_from_readings_to_cuts)->Unit(benchmark::kMillisecond)->UseRealTime();

void twenty_reeds_from_their_file(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(read_instrument_file(folder + "instrument.yaml", library()));
}
BENCHMARK(twenty_reeds_from_their_file)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace reedwright
