#include "app/bending_cells.hpp"
#include "app/commands/commands.hpp"
#include "app/progress_bar.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// Nearer than this, rule and model say the same.
constexpr double agree_cents = 10.0;

// Wider than what players are asked for: three semitones on a ten-hole (common practice, no source).
constexpr double widest_bend_cents = 400.0;

bool beyond_players(const BendingCell& cell) {
    return cell.rule.value() > widest_bend_cents;
}

const char* const uncertainty =
    "The model's floor is a bound and known to some tens of cents at best: a bent note\nbegins there some cents above "
    "the lower reed, where players stop earlier; it moves with the quality of the reeds,\nthe pressure, the cell's "
    "volume and a tract taken as one resonance, none of which is well known. Where model and\nrule disagree, trust a "
    "player.";

void print_cell(std::ostream& out, const Design& design, const BendingCell& cell) {
    const InstrumentReed& higher = design.instrument.reeds[cell.higher];
    const InstrumentReed& lower = design.instrument.reeds[cell.lower];
    const double rule = cell.rule.value();
    out << fmt::format("cell {:<3} {} {} bends down toward {} {}, {:.0f} cents below: by the rule {:.0f} cents{}; ",
                       higher.cell, higher.row, higher.note.name(), lower.row, lower.note.name(), cell.apart.value(),
                       rule, beyond_players(cell) ? ", which is beyond what players do" : "");
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
    out << (over ? fmt::format("; overblown {:.0f} cents above {}\n", *over, higher.note.name())
                 : "; no overblown note found\n");
}

}  // namespace

int run_bends(const BendsRequest& request, const Console& console) {
    const Document document = read_yaml_file(request.design);
    Design design = read_design(document, material_library());
    (void)plan_tongues(design);
    const Instrument& instrument = design.instrument;
    const Pressure pressure =
        request.pressure.empty() ? instrument.playing_pressure : option_pressure("--pressure", request.pressure);
    std::vector<BendingCell> cells;
    std::vector<std::string> assumed;
    {
        ProgressBar progress(console.err);
        cells = in_the_lines_of(document, [&] {
            return bending_cells(
                design, pressure, [&](double share) { progress.show(share); }, &assumed);
        });
    }
    if (cells.empty())
        throw InputError({Diagnostic{Place{request.design, 0, 0},
                                     "no cell of the design has two reeds of different pitch that share its air",
                                     {},
                                     "a reed alone or behind a valve bends by a semitone at most (common practice)"}});
    Reed told = instrument.reeds.front().reed;
    told.assumed = instrument.assumed;
    told.assumed.insert(told.assumed.end(), assumed.begin(), assumed.end());
    told.tongue.material.cautions.clear();
    told.slot.plate_material.cautions.clear();
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
                                     {"rule_beyond_players", beyond_players(cell)},
                                     {"unbent_cents", or_null(from_higher(design, cell, cell.range.unbent))},
                                     {"floor_cents", or_null(from_higher(design, cell, cell.range.floor))},
                                     {"overblow_cents", or_null(from_higher(design, cell, cell.range.overblown))}});
        }
        json["uncertainty"] = uncertainty;
        add_closing(json, told, false);
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    if (!instrument.name.empty()) out << instrument.name << '\n';
    out << fmt::format("at {} in the cell, the tract's resonance swept through both notes\n\n", to_text(pressure));
    for (const BendingCell& cell : cells) print_cell(out, design, cell);
    out << "\nThe rule: the higher reed of a cell without valves bends to about a semitone above the lower (common\n"
           "practice, no source); of two a semitone apart, for which that leaves nothing, half their interval is "
           "taken\n"
           "(our choice, no source). Players bend by three semitones at most on a ten-hole; more than four is told as\n"
           "beyond them (common practice, no source).\n"
        << uncertainty << '\n';
    print_closing(out, told, false);
    return done;
}

}  // namespace reedwright::app
