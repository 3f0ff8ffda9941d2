#include "app/breath_text.hpp"
#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/best_bow.hpp"
#include "core/plan/chord_beats.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/tuning/beats.hpp"
#include "core/tuning/layout.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

const InstrumentReed& reed_of(const Design& design, const PlannedTongue& tongue) {
    return design.instrument.reeds[tongue.reed];
}

nlohmann::ordered_json stations_json(const Profile& profile) {
    auto list = nlohmann::ordered_json::array();
    for (const Station& station : profile.stations())
        list.push_back({in(station.at, millimetre), in(station.value, millimetre)});
    return list;
}

nlohmann::ordered_json tongue_json(const Design& design, const PlannedTongue& tongue) {
    const InstrumentReed& one = reed_of(design, tongue);
    nlohmann::ordered_json json;
    json["cell"] = one.cell;
    json["row"] = one.row;
    json["note"] = one.note.name();
    json["target_hz"] = tongue.target.value();
    json["sounding_hz"] = tremolo_partner(design.instrument.tuning.pitch(one.note), one.beats).value();
    json["family"] = tongue.family ? nlohmann::ordered_json(family_name(*tongue.family)) : nullptr;
    json["length_mm"] = in(one.reed.tongue.length(), millimetre);
    json["width_mm"] = in(one.reed.tongue.width.at_root(), millimetre);
    json["thickness_stations_mm"] = stations_json(one.reed.tongue.thickness);
    json["solved_stations_mm"] = stations_json(tongue.solved_thickness);
    json["gauge_mm"] = or_null(tongue.gauge ? std::optional(in(*tongue.gauge, millimetre)) : std::nullopt);
    json["rest_gap_mm"] = in(one.reed.slot.rest_gap, millimetre);
    json["pitch_hz"] = tongue.pitch.value();
    json["error_cents"] = tongue.error.value();
    json["rounded_error_cents"] = tongue.rounded_error.value();
    json["stiffness_n_per_m"] = tongue.stiffness.value();
    json["swing_mm"] = in(tongue.life.swing, millimetre);
    json["stress_mpa"] = in(tongue.life.stress, megapascal);
    json["proof_share"] = or_null(tongue.life.proof_share);
    json["hours"] = or_null(tongue.life.hours);
    json["room_up_cents"] = tongue.room_up.value();
    json["room_down_cents"] = tongue.room_down.value();
    json["in_reach"] = tongue.in_reach();
    json["limits"] = nlohmann::ordered_json::array();
    for (const PlanLimit& limit : tongue.limits)
        json["limits"].push_back({{"name", limit.name}, {"what", limit.text}, {"remedy", limit.remedy}});
    return json;
}

std::string thickness_text(const Profile& profile) {
    // Of a heavy tip the root, the thin stretch and the tip; of a taper its ends.
    std::string text;
    double last_mm = -1.0;
    for (const Station& station : profile.stations()) {
        const double value_mm = in(station.value, millimetre);
        if (std::abs(value_mm - last_mm) < 1e-9) continue;
        text += fmt::format("{}{:.3f}", text.empty() ? "" : " ", value_mm);
        last_mm = value_mm;
    }
    return text;
}

std::string hours_text(const std::optional<double>& hours) {
    if (!hours) return "?";
    if (*hours >= 1e5) return ">100000";
    const double step = std::pow(10.0, std::max(0.0, std::floor(std::log10(std::max(*hours, 1.0))) - 1.0));
    return fmt::format("{:.0f}", std::round(*hours / step) * step);
}

void print_tongues(std::ostream& out, const Design& design, const std::vector<PlannedTongue>& tongues) {
    const bool own = std::any_of(design.instrument.reeds.begin(), design.instrument.reeds.end(),
                                 [](const InstrumentReed& one) { return one.allowance.has_value(); });
    out << fmt::format("{:<14}{:<5}{:>9}{:>8}{:>7}  {:<10}{:<19}{:>6}{:>7}{:>6}{:>7}{:>6}{:>9}{:>9}{}\n", "place",
                       "note", "bench Hz", "length", "width", "profile", "thickness", "strip", "gap", "N/m", "swing",
                       "MPa", "hours", "rounded", own ? "   set by" : "");
    for (const PlannedTongue& tongue : tongues) {
        const InstrumentReed& one = reed_of(design, tongue);
        const Tongue& strip = one.reed.tongue;
        out << fmt::format(
            "{:<14}{:<5}{:>9.2f}{:>8.2f}{:>7.2f}  {:<10}{:<19}{:>6}{:>7.2f}{:>6.0f}{:>7.2f}{:>6.0f}{:>9}{:>7.1f} c{}\n",
            one.place(), one.note.name(), tongue.target.value(), in(strip.length(), millimetre),
            in(strip.width.at_root(), millimetre), tongue.family ? family_name(*tongue.family) : "as stated",
            thickness_text(strip.thickness), tongue.gauge ? fmt::format("{:.2f}", in(*tongue.gauge, millimetre)) : "",
            in(one.reed.slot.rest_gap, millimetre), tongue.stiffness.value(), in(tongue.life.swing, millimetre),
            in(tongue.life.stress, megapascal), hours_text(tongue.life.hours), tongue.rounded_error.value(),
            own ? fmt::format("{:>+7.1f} c", one.allowance.value_or(design.instrument.bench.allowance).value()) : "");
        for (const PlanLimit& limit : tongue.limits)
            out << fmt::format("              {}: {}; {}\n", limit.name, limit.text, limit.remedy);
    }
}

// Distinct strips, thinnest first.
std::vector<double> strips_of(const std::vector<PlannedTongue>& tongues) {
    std::vector<double> strips;
    for (const PlannedTongue& tongue : tongues)
        if (tongue.gauge) strips.push_back(in(*tongue.gauge, millimetre));
    std::sort(strips.begin(), strips.end());
    strips.erase(std::unique(strips.begin(), strips.end()), strips.end());
    return strips;
}

std::string positions_text(const Note& first) {
    const auto key = [&](int position) {
        std::string name = position_key(first, position).name();
        name.erase(name.find_first_of("-0123456789"));
        return name;
    };
    return fmt::format("first {}, second (cross) {}, third {}, fourth {}, fifth {}, twelfth {}", key(1), key(2), key(3),
                       key(4), key(5), key(12));
}

nlohmann::ordered_json chord_json(const ChordBeat& beat) {
    return {{"row", beat.row},
            {"from", beat.low.name()},
            {"to", beat.high.name()},
            {"ratio", fmt::format("{}/{}", beat.p, beat.q)},
            {"off_cents", beat.off.value()},
            {"beats_hz", beat.beats.value()}};
}

void print_tuning(std::ostream& out, const Design& design, const std::vector<ChordBeat>& beats, bool under) {
    const Tuning& tuning = design.instrument.tuning;
    out << fmt::format("{}, A4 {}, set {} on the bench at {}\n", tuning.temperament.name(), to_text(tuning.a4),
                       under ? std::string("by its own allowance each")
                             : fmt::format("{:.3g} cents sharp", design.instrument.bench.allowance.value()),
                       to_text(design.instrument.bench.temperature));
    if (design.first_note) out << "positions  " << positions_text(*design.first_note) << '\n';
    std::string row;
    std::string line;
    for (const ChordBeat& beat : beats) {
        if (beat.row != row) {
            if (!line.empty()) out << line << '\n';
            row = beat.row;
            line = fmt::format("{:<17}", row + " beats");
        }
        line += fmt::format("{}-{} {:.1f}  ", beat.low.name(), beat.high.name(), beat.beats.value());
    }
    if (!line.empty()) out << line << "\n(per second, between neighbours that sound together)\n";
}

// Every note out of reach, at its place in the file.
[[noreturn]] void refuse(const Design& design, const std::vector<PlannedTongue>& tongues, const Document& document) {
    std::vector<Diagnostic> faults;
    for (const PlannedTongue& tongue : tongues)
        for (const PlanLimit& limit : tongue.limits) {
            if (!limit.out_of_reach) continue;
            const Place& place = design.reeds[tongue.reed].asked_at;
            faults.push_back(
                {place,
                 fmt::format("{} of {} is out of reach: it {}; the nearest sounds {:.0f} cents {}",
                             reed_of(design, tongue).note.name(), reed_of(design, tongue).place(), limit.text,
                             std::abs(tongue.error.value()), tongue.error.value() > 0.0 ? "sharp" : "flat"),
                 document.line(place.line), limit.remedy});
        }
    throw InputError(std::move(faults));
}

}  // namespace

int run_plan(const PlanRequest& request, const Console& console) {
    const Document document = read_yaml_file(request.design);
    const auto read = [&](std::optional<double> given) {
        Design one = read_design(document, material_library(), given);
        apply_lot(request.lot, one);
        return one;
    };
    std::optional<BowChoice> bow;
    if (!request.aim.empty()) {
        const PlanAim aim = request.aim == "stress"   ? PlanAim::least_stress
                            : request.aim == "strips" ? PlanAim::fewest_strips
                                                      : PlanAim::even_stiffness;
        bow = best_bow(read, aim);
    }
    Design design = read(bow ? std::optional(bow->bow) : std::nullopt);
    std::optional<BreathSet> under;
    if (!request.under.empty()) {
        const Pressure pressure = option_pressure("--under", request.under);
        Design as_designed = design;
        (void)plan_tongues(as_designed);
        under = in_the_lines_of(document, [&] { return breath_set(as_designed, pressure); });
        for (std::size_t i = 0; i < design.instrument.reeds.size(); ++i)
            design.instrument.reeds[i].allowance = as_designed.instrument.reeds[i].allowance;
    }
    const std::vector<PlannedTongue> tongues = plan_tongues(design);
    const bool all_in_reach =
        std::all_of(tongues.begin(), tongues.end(), [](const PlannedTongue& one) { return one.in_reach(); });
    const auto beats = chord_beats(design.instrument);

    Reed told = design.instrument.reeds.front().reed;
    told.assumed = design.instrument.assumed;
    if (under) told.assumed.insert(told.assumed.end(), under->assumed.begin(), under->assumed.end());
    told.tongue.material.cautions = design.instrument.cautions();
    told.slot.plate_material.cautions.clear();

    if (request.json) {
        nlohmann::ordered_json json;
        json["name"] = design.instrument.name;
        json["a4_hz"] = design.instrument.tuning.a4.value();
        json["temperament"] = design.instrument.tuning.temperament.name();
        json["allowance_cents"] =
            or_null(under ? std::nullopt : std::optional(design.instrument.bench.allowance.value()));
        if (under) json["under_pa"] = under->pressure.value();
        json["bench_celsius"] = in_celsius(design.instrument.bench.temperature);
        if (bow) json["bow"] = bow->bow;
        json["in_reach"] = all_in_reach;
        json["tongues"] = nlohmann::ordered_json::array();
        for (const PlannedTongue& tongue : tongues) {
            json["tongues"].push_back(tongue_json(design, tongue));
            if (under) add_breath(json["tongues"].back(), design.instrument, tongue.reed, *under);
        }
        json["strips_mm"] = strips_of(tongues);
        json["chord_beats"] = nlohmann::ordered_json::array();
        for (const ChordBeat& beat : beats) json["chord_beats"].push_back(chord_json(beat));
        add_closing(json, told, false);
        print_json(console.out, json);
    } else if (all_in_reach) {
        std::ostream& out = console.out;
        if (!design.instrument.name.empty()) out << design.instrument.name << '\n';
        print_tuning(out, design, beats, under.has_value());
        out << '\n';
        print_tongues(out, design, tongues);
        double worst = 0.0;
        double worst_rounded = 0.0;
        for (const PlannedTongue& tongue : tongues) {
            worst = std::max(worst, std::abs(tongue.error.value()));
            worst_rounded = std::max(worst_rounded, std::abs(tongue.rounded_error.value()));
        }
        out << fmt::format(
            "\nmillimetres; as solved within {:.3f} cents; 'rounded' is left by the shop's steps, {:.1f} "
            "cents at most, and is taken out when the reed is tuned\n",
            worst, worst_rounded);
        if (under)
            for (const std::string& line : breath_lines(design.instrument, *under)) out << line << '\n';
        if (bow)
            out << fmt::format(
                "{}: {:.4g} with tongues.length.bow {:.0f} %, {:.4g} without; write it into the design to "
                "keep it\n",
                bow->measure, bow->value, 100.0 * bow->bow, bow->value_unbowed);
        if (const auto strips = strips_of(tongues); !strips.empty())
            out << fmt::format("strip to buy: {} mm\n", fmt::join(strips, ", "));
        print_closing(out, told, false);
    }
    if (!all_in_reach) refuse(design, tongues, document);
    return done;
}

}  // namespace reedwright::app
