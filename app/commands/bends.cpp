#include "app/commands/commands.hpp"
#include "app/wind_input.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/tuning/beats.hpp"
#include "core/tuning/layout.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/bend_range.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// A cell whose two reeds share the air, the higher of which can be bent.
struct BendingCell {
    const InstrumentReed* lower;
    const InstrumentReed* higher;
    Frequency lower_pitch;
    Frequency higher_pitch;
    BendRange range;
};

std::vector<BendingCell> bending_cells(const Instrument& instrument) {
    std::vector<BendingCell> cells;
    int last = 0;
    for (const InstrumentReed& one : instrument.reeds) last = std::max(last, one.cell);
    for (int cell = 1; cell <= last; ++cell) {
        std::vector<const InstrumentReed*> here;
        for (const InstrumentReed& one : instrument.reeds)
            if (one.cell == cell) here.push_back(&one);
        if (here.size() != 2) continue;
        const auto pitch = [&](const InstrumentReed& one) {
            return tremolo_partner(instrument.tuning.pitch(one.note), one.beats);
        };
        if (pitch(*here[0]) > pitch(*here[1])) std::swap(here[0], here[1]);
        if (pitch(*here[1]) <= pitch(*here[0])) continue;
        cells.push_back({here[0], here[1], pitch(*here[0]), pitch(*here[1]), {}});
    }
    return cells;
}

// Cents of a simulated pitch above the higher reed as the model has it; empty when nothing sounds.
std::optional<double> from_higher(const BendingCell& cell, const std::optional<Frequency>& pitch) {
    if (!pitch) return std::nullopt;
    return interval_between(pitch_of(cell.higher->reed).pitch, *pitch).value();
}

std::string cents_or(const std::optional<double>& cents, const char* otherwise) {
    return cents ? fmt::format("{:+.0f} cents", *cents) : std::string(otherwise);
}

}  // namespace

int run_bends(const BendsRequest& request, const Console& console) {
    const Pressure pressure = option_pressure("--pressure", request.pressure);
    const Instrument instrument = read_instrument_file(request.design, material_library());
    std::vector<BendingCell> cells = bending_cells(instrument);
    if (cells.empty())
        throw InputError({Diagnostic{Place{request.design, 0, 0},
                                     "no cell of the design has two reeds of different pitch that share its air",
                                     {},
                                     "a reed alone or behind a valve bends by a semitone at most (common practice)"}});
    in_parallel(cells.size(), [&](std::size_t i) {
        const auto blown = [](const InstrumentReed& one) { return blown_reed(one.reed, vibration_of(one.reed)); };
        cells[i].range =
            bend_range(blown(*cells[i].higher), blown(*cells[i].lower), cells[i].higher->reed.cell.volume, pressure);
    });
    if (request.json) {
        nlohmann::ordered_json json;
        json["pressure_pa"] = pressure.value();
        json["cells"] = nlohmann::ordered_json::array();
        for (const BendingCell& cell : cells) {
            const Interval rule = bend_by_rule(cell.lower_pitch, cell.higher_pitch);
            json["cells"].push_back({{"cell", cell.higher->cell},
                                     {"bends_row", cell.higher->row},
                                     {"note", cell.higher->note.name()},
                                     {"lower_note", cell.lower->note.name()},
                                     {"rule_cents", -rule.value()},
                                     {"unbent_cents", or_null(from_higher(cell, cell.range.unbent))},
                                     {"floor_cents", or_null(from_higher(cell, cell.range.floor))},
                                     {"overblow_cents", or_null(from_higher(cell, cell.range.overblown))}});
        }
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    if (!instrument.name.empty()) out << instrument.name << '\n';
    out << fmt::format("at {} in the cell, the tract's resonance swept through both notes\n\n", to_text(pressure));
    for (const BendingCell& cell : cells) {
        const double rule = bend_by_rule(cell.lower_pitch, cell.higher_pitch).value();
        out << fmt::format(
            "cell {:<3} {} {} bends down toward {} {}: by the trade's rule {:.0f} cents; in the model down to {}",
            cell.higher->cell, cell.higher->row, cell.higher->note.name(), cell.lower->row, cell.lower->note.name(),
            rule, cents_or(from_higher(cell, cell.range.floor), "nothing that sounds"));
        out << fmt::format("; overblow {}\n", cents_or(from_higher(cell, cell.range.overblown), "none found"));
    }
    out << "\nThe rule: the higher reed of a cell without valves bends to about a semitone above the lower (common\n"
           "practice, no source). The model's floor is a bound: a bent note begins there some cents above the lower\n"
           "reed, where players stop earlier; it depends on the quality of the reeds, the pressure and a tract taken\n"
           "as one resonance, none of which is well known. Where the two disagree, trust a player.\n";
    return done;
}

}  // namespace reedwright::app
