// How long it takes to work out the tongues of a design from its notes.
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"

#include <benchmark/benchmark.h>
#include <fmt/format.h>
#include <string>

namespace reedwright {
namespace {

const MaterialLibrary& library() {
    static const MaterialLibrary materials(REEDWRIGHT_SOURCE_DIR "/materials");
    return materials;
}

// So many reeds, four a cell (a design has at most 400 cells), over two octaves again and again, shaped as the ten-hole
// example's.
std::string free_order(std::int64_t reeds) {
    constexpr const char* notes[] = {"C4", "D4", "E4", "F4", "G4", "A4", "B4",
                                     "C5", "D5", "E5", "F5", "G5", "A5", "B5"};
    constexpr const char* rows[] = {"blow", "draw", "blow high", "draw high"};
    std::string text = R"(tuning: {a4: 442 Hz}
tongues:
  length: {lowest: 16 mm, highest: 11.5 mm}
  width: {lowest: 2.2 mm, highest: 1.7 mm}
  profiles: [{up_to: G4, family: heavy-tip, waist: 62 %, tip: 95 %}, {family: taper, tip: 72 %}]
  gauges: [0.18 mm, 0.22 mm, 0.26 mm, 0.30 mm, 0.36 mm]
common: {material: cuzn37-r630, plate_material: cuzn37-plate}
reeds:
)";
    for (std::int64_t i = 0; i < reeds; ++i)
        text += fmt::format("  - {{cell: {}, row: {}, note: {}}}\n", i / 4 + 1, rows[static_cast<std::size_t>(i % 4)],
                            notes[static_cast<std::size_t>(i) % std::size(notes)]);
    return text;
}

void plan(benchmark::State& state, const Document& document) {
    std::size_t reeds = 0;
    for (auto _ : state) {
        Design design = read_design(document, library());
        reeds = plan_tongues(design).size();
    }
    state.counters["reeds"] = static_cast<double>(reeds);
}

void plan_of_ten_holes(benchmark::State& state) {
    plan(state, read_yaml_file(REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml"));
}
BENCHMARK(plan_of_ten_holes)->Unit(benchmark::kMillisecond)->UseRealTime();

void plan_of_reeds(benchmark::State& state) {
    plan(state, read_yaml_text("free order", free_order(state.range(0))));
}
BENCHMARK(plan_of_reeds)->RangeMultiplier(10)->Range(1, 1000)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace reedwright
