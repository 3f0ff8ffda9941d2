#include "app/commands/commands.hpp"
#include "app/leak_words.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/note_leaks.hpp"
#include "core/plan/planned_tongue.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

using Json = nlohmann::ordered_json;

// Of a large instrument the worst; all stand in the JSON.
constexpr std::size_t most_lines = 24;
constexpr std::size_t most_mends = 8;
constexpr double least_told_share = 0.001;

double ml_s(VolumeFlow flow) {
    return in(flow, millilitre_per_second);
}

std::string_view mend_name(MendKind kind) {
    switch (kind) {
        case MendKind::closer_clearance:
            return "closer_clearance";
        case MendKind::valve:
            return "valve";
        case MendKind::another_fastener:
            return "another_fastener";
        case MendKind::screws:
            return "screws";
        case MendKind::flat_plate:
            break;
    }
    return "flat_plate";
}

Json note_json(const Design& design, const NoteLeak& leak) {
    Json json;
    json["cell"] = leak.note.cell;
    json["wind"] = leak.note.wind == CellWind::pressed ? "pressure" : "suction";
    json["rows"] = Json::array();
    json["notes"] = Json::array();
    for (const std::size_t i : leak.note.playing) {
        json["rows"].push_back(design.instrument.reeds[i].row);
        json["notes"].push_back(design.instrument.reeds[i].note.name());
    }
    json["speaks"] = leak.speaks;
    json["own_flow_ml_s"] = ml_s(leak.own);
    json["past_idle_reeds_ml_s"] = ml_s(leak.past_reeds);
    json["through_joints_ml_s"] = ml_s(leak.through_joints);
    json["lost_share"] = leak.lost_share();
    json["joint_share"] = leak.joint_share();
    json["parts"] = Json::array();
    for (const LeakPart& part : leak.ranking.parts)
        json["parts"].push_back({{"kind", part.kind == LeakKind::joint ? "joint" : "idle reed"},
                                 {"name", part.name},
                                 {"flow_ml_s", ml_s(part.flow)},
                                 {"share_of_loss", part.share}});
    json["mends"] = Json::array();
    for (const Mend& mend : leak.ranking.mends)
        json["mends"].push_back({{"kind", mend_name(mend.kind)},
                                 {"name", mend.name},
                                 {"saved_ml_s", ml_s(mend.saved)},
                                 {"share_of_loss", mend.share}});
    return json;
}

Json leaks_json(const Design& design, const DesignLeaks& leaks) {
    Json json;
    json["name"] = design.instrument.name;
    json["pressure_pa"] = leaks.pressure.value();
    json["celsius"] = in_celsius(design.instrument.playing);
    json["own_flow_ml_s"] = ml_s(leaks.own);
    json["lost_ml_s"] = ml_s(leaks.loss);
    json["lost_share"] = (leaks.loss / leaks.own).value();
    json["joints"] = nullptr;
    if (leaks.joints_known)
        json["joints"] = {{"fixing", design.plates->fixing == Fixing::pins ? "pins" : "screws"},
                          {"with_screws_ml_s", ml_s(leaks.by_fixing.screws)},
                          {"with_pins_ml_s", ml_s(leaks.by_fixing.pins)},
                          {"with_screws_share", (leaks.by_fixing.screws / leaks.own).value()},
                          {"with_pins_share", (leaks.by_fixing.pins / leaks.own).value()}};
    json["notes"] = Json::array();
    for (const NoteLeak& leak : leaks.notes) json["notes"].push_back(note_json(design, leak));
    json["mends"] = Json::array();
    for (const WholeMend& mend : leaks.mends)
        json["mends"].push_back({{"kind", mend_name(mend.kind)},
                                 {"name", mend.name},
                                 {"saved_ml_s", ml_s(mend.saved)},
                                 {"share_of_loss", mend.share},
                                 {"notes", mend.notes}});
    json["remarks"] = leaks.remarks;
    return json;
}

void print_note(std::ostream& out, const Design& design, const NoteLeak& leak) {
    std::string line = fmt::format(
        "{:<24}{:>7.1f}{}{:>12.1f}{:>10.2f}{:>8.1f} %",
        fmt::format("{}, {}", playing_place(design.instrument, leak.note), notes_of(design, leak.note)), ml_s(leak.own),
        leak.speaks ? " " : "*", ml_s(leak.past_reeds), ml_s(leak.through_joints), 100.0 * leak.lost_share());
    if (!leak.ranking.mends.empty()) {
        const Mend& first = leak.ranking.mends.front();
        line += fmt::format("  {}: {:.1f} less", mend_text(design, first.kind, first.name), ml_s(first.saved));
    }
    out << line << '\n';
}

void print_leaks(std::ostream& out, const Design& design, const DesignLeaks& leaks) {
    if (!design.instrument.name.empty()) out << design.instrument.name << '\n';
    out << fmt::format("at {}, metal and air at {}; air in mL/s, the note that loses most first\n\n",
                       to_text(leaks.pressure), to_text(design.instrument.playing));
    std::vector<const NoteLeak*> worst;
    for (const NoteLeak& leak : leaks.notes) worst.push_back(&leak);
    std::stable_sort(worst.begin(), worst.end(),
                     [](const auto* a, const auto* b) { return a->lost_share() > b->lost_share(); });
    out << fmt::format("{:<24}{:>7} {:>12}{:>10}{:>10}  {}\n", "note", "its own", "idle reeds", "joints", "lost",
                       "what mends most");
    for (std::size_t i = 0; i < worst.size() && i < most_lines; ++i) print_note(out, design, *worst[i]);
    if (worst.size() > most_lines) out << fmt::format("and {} that lose less\n", worst.size() - most_lines);
    out << fmt::format("all notes, each played by itself: {:.0f} mL/s lost, {:.1f} % of their own {:.0f} mL/s\n",
                       ml_s(leaks.loss), 100.0 * (leaks.loss / leaks.own).value(), ml_s(leaks.own));
    if (std::any_of(worst.begin(), worst.end(), [](const auto* one) { return !one->speaks; }))
        out << "* does not speak at this pressure: the flow through its mean opening is taken as its own\n";
    if (leaks.joints_known)
        out << fmt::format(
            "joints    {:.2f} mL/s in all with screws ({:.2g} % of the notes' air), {:.2f} mL/s with pins ({:.2g} %), "
            "the plates as flat as they are; {} as designed\n",
            ml_s(leaks.by_fixing.screws), 100.0 * (leaks.by_fixing.screws / leaks.own).value(),
            ml_s(leaks.by_fixing.pins), 100.0 * (leaks.by_fixing.pins / leaks.own).value(),
            design.plates->fixing == Fixing::pins ? "pins" : "screws");
    if (!leaks.mends.empty()) out << "\nmends, done to a whole row or plate, most air saved first\n";
    for (std::size_t i = 0; i < leaks.mends.size() && i < most_mends; ++i) {
        const WholeMend& mend = leaks.mends[i];
        if (mend.share < least_told_share) break;
        const bool reeds = mend.kind == MendKind::valve || mend.kind == MendKind::closer_clearance;
        out << fmt::format("  {:>7.1f} mL/s  {:4.1f} % of the loss, {} {}: {}\n", ml_s(mend.saved), 100.0 * mend.share,
                           mend.notes, mend.notes == 1 ? "note" : "notes",
                           mend_text(design, mend.kind, reeds ? "every " + mend.name + " reed" : mend.name));
    }
    out << "each mend by itself: two of one place do not add up\n";
    for (const std::string& remark : leaks.remarks) out << remark << '\n';
    out << "\nThe note's own air is that of 'blow', an upper bound as its swing is, so that the shares are lower "
           "bounds. A\nvalve over a reed keeps the other note of its cell from bending by more than a semitone (common "
           "practice).\n";
}

}  // namespace

int run_leak(const LeakRequest& request, const Console& console) {
    const Document document = read_yaml_file(request.design);
    Design design = read_design(document, material_library());
    (void)plan_tongues(design);
    const Pressure pressure =
        request.pressure.empty() ? design.instrument.playing_pressure : option_pressure("--pressure", request.pressure);
    const DesignLeaks leaks = in_the_lines_of(document, [&] { return design_leaks(design, pressure); });
    Reed told = design.instrument.reeds.front().reed;
    told.assumed = design.instrument.assumed;
    told.assumed.insert(told.assumed.end(), leaks.assumed.begin(), leaks.assumed.end());
    told.tongue.material.cautions.clear();
    told.slot.plate_material.cautions.clear();
    if (request.json) {
        Json json = leaks_json(design, leaks);
        add_closing(json, told, false);
        print_json(console.out, json);
        return done;
    }
    print_leaks(console.out, design, leaks);
    print_closing(console.out, told, false);
    return done;
}

}  // namespace reedwright::app
