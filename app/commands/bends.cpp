#include "app/commands/commands.hpp"
#include "app/progress_bar.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/cell_notes.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/tuning/beats.hpp"
#include "core/tuning/layout.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/bend_range.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <atomic>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// Nearer than this, rule and model say the same.
constexpr double agree_cents = 10.0;

const char* const uncertainty =
    "The model's floor is a bound and known to some tens of cents at best: a bent note\nbegins there some cents above "
    "the lower reed, where players stop earlier; it moves with the quality of the reeds,\nthe pressure, the cell's "
    "volume and a tract taken as one resonance, none of which is well known. Where model and\nrule disagree, trust a "
    "player.";

// A cell with two reeds for either way of the wind, the higher of which can be bent.
struct BendingCell {
    std::size_t lower;
    std::size_t higher;
    Interval apart;
    Interval rule;
    BendRange range;
};

Frequency sounding_of(const Instrument& instrument, std::size_t reed) {
    const InstrumentReed& one = instrument.reeds[reed];
    return tremolo_partner(instrument.tuning.pitch(one.note), one.beats);
}

// Cells with exactly two reeds of different pitch, one for either wind, of which the lower has no valve.
std::vector<BendingCell> bending_cells(const Design& design) {
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

// Cents of a simulated pitch above the higher reed as the model has it; empty when nothing sounds.
std::optional<double> from_higher(const Design& design, const BendingCell& cell,
                                  const std::optional<Frequency>& pitch) {
    if (!pitch) return std::nullopt;
    return interval_between(pitch_of(design.instrument.reeds[cell.higher].reed).pitch, *pitch).value();
}

void print_cell(std::ostream& out, const Design& design, const BendingCell& cell) {
    const InstrumentReed& higher = design.instrument.reeds[cell.higher];
    const InstrumentReed& lower = design.instrument.reeds[cell.lower];
    const double rule = cell.rule.value();
    out << fmt::format("cell {:<3} {} {} bends down toward {} {}, {:.0f} cents below: by the rule {:.0f} cents; ",
                       higher.cell, higher.row, higher.note.name(), lower.row, lower.note.name(), cell.apart.value(),
                       rule);
    if (const auto floor = from_higher(design, cell, cell.range.floor)) {
        const double deeper = -*floor - rule;
        out << fmt::format("in the model {:.0f}, {}", -*floor,
                           std::abs(deeper) < agree_cents ? std::string("as the rule")
                           : deeper > 0.0                 ? fmt::format("{:.0f} farther than the rule", deeper)
                                                          : fmt::format("{:.0f} short of the rule", -deeper));
    } else {
        out << "in the model no note sounds between the reeds";
    }
    const auto over = from_higher(design, cell, cell.range.overblown);
    out << (over ? fmt::format("; overblown it sounds {:.0f} cents above\n", *over) : "; no overblown note found\n");
}

}  // namespace

int run_bends(const BendsRequest& request, const Console& console) {
    const Document document = read_yaml_file(request.design);
    Design design = read_design(document, material_library());
    (void)plan_tongues(design);
    const Instrument& instrument = design.instrument;
    const Pressure pressure =
        request.pressure.empty() ? instrument.playing_pressure : option_pressure("--pressure", request.pressure);
    std::vector<BendingCell> cells = bending_cells(design);
    if (cells.empty())
        throw InputError({Diagnostic{Place{request.design, 0, 0},
                                     "no cell of the design has two reeds of different pitch that share its air",
                                     {},
                                     "a reed alone or behind a valve bends by a semitone at most (common practice)"}});
    const auto blown = in_the_lines_of(document, [&] { return blown_reeds(design, instrument.bench.temperature); });
    {
        ProgressBar progress(console.err);
        std::atomic<std::size_t> finished = 0;
        in_parallel(cells.size(), [&](std::size_t i) {
            const Volume volume = instrument.reeds[cells[i].higher].reed.cell.volume;
            cells[i].range = bend_range(blown[cells[i].higher], blown[cells[i].lower], volume, pressure);
            progress.show(static_cast<double>(++finished) / static_cast<double>(cells.size()));
        });
    }
    if (request.json) {
        nlohmann::ordered_json json;
        json["pressure_pa"] = pressure.value();
        json["cells"] = nlohmann::ordered_json::array();
        for (const BendingCell& cell : cells) {
            const InstrumentReed& higher = instrument.reeds[cell.higher];
            json["cells"].push_back({{"cell", higher.cell},
                                     {"bends_row", higher.row},
                                     {"note", higher.note.name()},
                                     {"lower_note", instrument.reeds[cell.lower].note.name()},
                                     {"apart_cents", cell.apart.value()},
                                     {"rule_cents", -cell.rule.value()},
                                     {"unbent_cents", or_null(from_higher(design, cell, cell.range.unbent))},
                                     {"floor_cents", or_null(from_higher(design, cell, cell.range.floor))},
                                     {"overblow_cents", or_null(from_higher(design, cell, cell.range.overblown))}});
        }
        json["uncertainty"] = uncertainty;
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    if (!instrument.name.empty()) out << instrument.name << '\n';
    out << fmt::format("at {} in the cell, the tract's resonance swept through both notes\n\n", to_text(pressure));
    for (const BendingCell& cell : cells) print_cell(out, design, cell);
    out << "\nThe rule: the higher reed of a cell without valves bends to about a semitone above the lower (common\n"
           "practice, no source). "
        << uncertainty << '\n';
    return done;
}

}  // namespace reedwright::app
