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
    const auto if_it_speaks = [&](double value) { return leak.speaks ? Json(value) : Json(nullptr); };
    json["own_flow_ml_s"] = if_it_speaks(ml_s(leak.own));
    json["past_idle_reeds_ml_s"] = ml_s(leak.past_reeds);
    json["through_joints_ml_s"] = ml_s(leak.through_joints);
    json["lost_share"] = if_it_speaks(leak.lost_share());
    json["joint_share"] = if_it_speaks(leak.joint_share());
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

// Of the air of the notes that speak.
Json own_share(const DesignLeaks& leaks, VolumeFlow flow) {
    return leaks.silent() < leaks.notes.size() ? Json((flow / leaks.own).value()) : Json(nullptr);
}

Json leaks_json(const Design& design, const DesignLeaks& leaks) {
    Json json;
    json["name"] = design.instrument.name;
    json["pressure_pa"] = leaks.pressure.value();
    json["celsius"] = in_celsius(design.instrument.playing);
    json["own_flow_ml_s"] = ml_s(leaks.own);
    json["lost_ml_s"] = ml_s(leaks.loss);
    json["lost_while_speaking_ml_s"] = ml_s(leaks.loss_while_speaking);
    json["lost_share"] = own_share(leaks, leaks.loss_while_speaking);
    json["joints"] = nullptr;
    if (leaks.joints_known)
        json["joints"] = {{"fixing", design.plates->fixing == Fixing::pins ? "pins" : "screws"},
                          {"with_screws_ml_s", ml_s(leaks.by_fixing.screws)},
                          {"with_pins_ml_s", ml_s(leaks.by_fixing.pins)},
                          {"with_screws_share", own_share(leaks, leaks.by_fixing.screws)},
                          {"with_pins_share", own_share(leaks, leaks.by_fixing.pins)}};
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
    std::string line =
        fmt::format("{:<24}{:>7}{:>13.1f}{:>10.2f}{:>10}",
                    fmt::format("{}, {}", playing_place(design.instrument, leak.note), notes_of(design, leak.note)),
                    leak.speaks ? fmt::format("{:.1f}", ml_s(leak.own)) : "silent", ml_s(leak.past_reeds),
                    ml_s(leak.through_joints), leak.speaks ? fmt::format("{:.1f} %", 100.0 * leak.lost_share()) : "");
    if (const std::string mend = first_mend_text(design, leak); !mend.empty()) line += "  " + mend;
    line.erase(line.find_last_not_of(' ') + 1);
    out << line << '\n';
}

void print_sums(std::ostream& out, const Design& design, const DesignLeaks& leaks) {
    const std::size_t speaking = leaks.notes.size() - leaks.silent();
    if (leaks.silent() > 0)
        out << fmt::format(
            "{} of {} notes are silent or barely speak at this pressure in the model and have no share\n",
            leaks.silent(), leaks.notes.size());
    if (speaking == 0) return;
    const auto percent = [&](VolumeFlow flow) { return 100.0 * (flow / leaks.own).value(); };
    out << fmt::format(
        "the {} that speak, each played by itself: {:.0f} mL/s lost, {:.1f} % of their own {:.0f} mL/s\n", speaking,
        ml_s(leaks.loss_while_speaking), percent(leaks.loss_while_speaking), ml_s(leaks.own));
    if (leaks.joints_known)
        out << fmt::format(
            "joints    {:.2f} mL/s in all with screws ({:.2g} % of these notes' air), {:.2f} mL/s with pins "
            "({:.2g} %), the plates as flat as they are; {} as designed\n",
            ml_s(leaks.by_fixing.screws), percent(leaks.by_fixing.screws), ml_s(leaks.by_fixing.pins),
            percent(leaks.by_fixing.pins), design.plates->fixing == Fixing::pins ? "pins" : "screws");
}

void print_whole_mends(std::ostream& out, const Design& design, const DesignLeaks& leaks) {
    const auto told = [](const WholeMend& mend) {
        return mend.share >= least_told_share && shows_as_saved(mend.saved);
    };
    if (leaks.mends.empty() || !told(leaks.mends.front())) return;
    out << "\nmends, done to a whole row or plate, most air saved first\n";
    for (std::size_t i = 0; i < leaks.mends.size() && i < most_mends && told(leaks.mends[i]); ++i) {
        const WholeMend& mend = leaks.mends[i];
        const bool reeds = mend.kind == MendKind::valve || mend.kind == MendKind::closer_clearance;
        out << fmt::format("  {:>7.1f} mL/s  {:4.1f} % of the loss, {} {}: {}\n", ml_s(mend.saved), 100.0 * mend.share,
                           mend.notes, mend.notes == 1 ? "note" : "notes",
                           mend_text(design, mend.kind, reeds ? "every " + mend.name + " reed" : mend.name));
    }
    out << "each mend by itself: two of one place do not add up\n";
}

void print_leaks(std::ostream& out, const Design& design, const DesignLeaks& leaks) {
    if (!design.instrument.name.empty()) out << design.instrument.name << '\n';
    out << fmt::format("at {}, metal and air at {}; air in mL/s, the note that loses most first\n\n",
                       to_text(leaks.pressure), to_text(design.instrument.playing));
    // Those that are silent last, by what they lose.
    std::vector<const NoteLeak*> worst;
    for (const NoteLeak& leak : leaks.notes) worst.push_back(&leak);
    std::stable_sort(worst.begin(), worst.end(), [](const auto* a, const auto* b) {
        if (a->speaks != b->speaks) return a->speaks;
        return a->speaks ? a->lost_share() > b->lost_share() : a->ranking.loss > b->ranking.loss;
    });
    out << fmt::format("{:<24}{:>7} {:>12}{:>10}{:>10}  {}\n", "note", "its own", "idle reeds", "joints", "lost",
                       "what mends most");
    for (std::size_t i = 0; i < worst.size() && i < most_lines; ++i) print_note(out, design, *worst[i]);
    if (worst.size() > most_lines) out << fmt::format("and {} more, in the JSON\n", worst.size() - most_lines);
    print_sums(out, design, leaks);
    print_whole_mends(out, design, leaks);
    for (const std::string& remark : leaks.remarks) out << remark << '\n';
    out << "\nThe note's own air is that of 'blow': too much where the reed swings wider than a player's, too little "
           "where it barely\nspeaks in the model, so that the shares are no bounds. A valve over a reed keeps the "
           "other note of its cell from bending\nby more than a semitone (common practice).\n";
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
