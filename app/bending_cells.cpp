#include "app/bending_cells.hpp"

#include "core/plan/cell_notes.hpp"
#include "core/plan/comb_cells.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/tuning/beats.hpp"
#include "core/tuning/layout.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <atomic>

namespace reedwright::app {

namespace {

Frequency sounding_of(const Instrument& instrument, std::size_t reed) {
    const InstrumentReed& one = instrument.reeds[reed];
    return tremolo_partner(instrument.tuning.pitch(one.note), one.beats);
}

std::vector<BendingCell> cells_of(const Design& design) {
    const Instrument& instrument = design.instrument;
    std::vector<BendingCell> cells;
    for (const CellNote& note : cell_notes(design)) {
        if (note.playing.size() != 1 || note.idle.size() != 1) continue;
        const std::size_t higher = note.playing[0], lower = note.idle[0];
        if (instrument.reeds[lower].valved()) continue;
        const Frequency low = sounding_of(instrument, lower), high = sounding_of(instrument, higher);
        if (high > low) cells.push_back({lower, higher, interval_between(low, high), bend_reach(design, higher), {}});
    }
    std::sort(cells.begin(), cells.end(), [&](const auto& a, const auto& b) {
        return instrument.reeds[a.higher].cell < instrument.reeds[b.higher].cell;
    });
    return cells;
}

}  // namespace

std::vector<BendingCell> bending_cells(const Design& design, Pressure pressure,
                                       const std::function<void(double)>& progress, std::vector<std::string>* assumed) {
    std::vector<BendingCell> cells = cells_of(design);
    if (cells.empty()) return cells;
    const auto blown = blown_reeds(design, design.instrument.bench.temperature, assumed);
    if (assumed != nullptr) {
        // The chamber of a lone opening reed is not used.
        std::erase_if(*assumed, [](const std::string& told) { return told.starts_with("of opening reeds a chamber"); });
        for (std::string& told : volumes_taken(design)) assumed->push_back(std::move(told));
        const Tract tract = TractSweep{}.tract;
        assumed->push_back(
            fmt::format("of the player's tract {:.3g} mm of {:.3g} mm^2 toward the cell and a quality of {:.3g} "
                        "(our choice, no source)",
                        in(tract.length, millimetre), in(tract.section, millimetre * millimetre), tract.quality));
    }
    std::atomic<std::size_t> finished = 0;
    in_parallel(cells.size(), [&](std::size_t i) {
        const Volume volume = design.instrument.reeds[cells[i].higher].reed.cell.volume;
        cells[i].range = bend_range(blown[cells[i].higher], blown[cells[i].lower], volume, pressure);
        if (progress) progress(static_cast<double>(++finished) / static_cast<double>(cells.size()));
    });
    return cells;
}

std::optional<double> from_higher(const Design& design, const BendingCell& cell,
                                  const std::optional<Frequency>& pitch) {
    if (!pitch) return std::nullopt;
    return interval_between(pitch_of(design.instrument.reeds[cell.higher].reed).pitch, *pitch).value();
}

}  // namespace reedwright::app
