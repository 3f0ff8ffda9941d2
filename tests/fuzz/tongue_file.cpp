// Any text as a tongue file; a tongue that is taken can be solved.
#include "core/tongue/reed_file.hpp"
#include "core/vibration/pitch.hpp"
#include "tests/fuzz/targets.hpp"

namespace reedwright::fuzz {

namespace {

// Every station may cost an element, and a fuzzer wants many runs.
constexpr std::size_t most_stations = 24;

}  // namespace

void tongue_file(std::string_view text) {
    const MaterialLibrary library(REEDWRIGHT_FUZZ_MATERIALS);
    const auto reed = read_or_refused(text, [&] { return read_reed(document_of(text), library); });
    if (!reed) return;
    const std::size_t stations = reed->tongue.thickness.stations().size() + reed->tongue.width.stations().size();
    if (stations > most_stations || reed->tongue.loads.size() > most_stations) return;
    for (const Tier tier : {Tier::beam, Tier::strip}) {
        Model model;
        model.tier = tier;
        const Vibration vibration = vibration_of(*reed, model);
        const ReedPitch pitch = pitch_of(*reed, vibration);
        demand_positive(pitch.in_vacuo.value(), "the pitch in vacuo");
        demand_positive(pitch.pitch.value(), "the pitch");
        // Air only adds mass.
        demand(pitch.pitch <= pitch.in_vacuo, "air raises the pitch");
        demand_positive(vibration.modal_mass().value(), "the modal mass");
        for (const WherePoint& point : vibration.where_map(4))
            demand_finite(point.effect.value(), "the effect of a cut");
    }
}

}  // namespace reedwright::fuzz
