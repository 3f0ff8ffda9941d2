#include "app/breath_text.hpp"
#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/sheet/cut_sheet.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/whole_file.hpp"
#include "core/plan/breath.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/retune/instrument_cuts.hpp"
#include "core/retune/readings_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>
#include <system_error>

namespace reedwright::app {

namespace {

InputError option_fault(const std::string& option, const std::string& message, const std::string& hint) {
    return InputError({Diagnostic{Place{option, 0, 0}, message, {}, hint}});
}

void add_offset(const std::string& text, const Instrument& instrument, Tuning& tuning) {
    const char* const hint = "write C4-2c";
    const auto spoken = parse_spoken_pitch(text);
    if (!spoken) throw option_fault("--offset", spoken.error().message, hint);
    if (!spoken->note) throw option_fault("--offset", fmt::format("'{}' names no note", text), hint);
    const int semitone = spoken->note->semitone();
    if (std::none_of(instrument.reeds.begin(), instrument.reeds.end(),
                     [&](const InstrumentReed& one) { return one.note.semitone() == semitone; }))
        throw option_fault("--offset", fmt::format("no reed of the design sounds {}", spoken->note->name()), {});
    std::erase_if(tuning.offsets, [&](const NoteOffset& own) { return own.note.semitone() == semitone; });
    tuning.offsets.push_back({*spoken->note, spoken->offset});
}

// The design's tuning with what the command line wants instead.
Tuning wanted_tuning(const RetuneRequest& request, const Instrument& instrument) {
    Tuning tuning = instrument.tuning;
    if (!request.a4.empty()) {
        tuning.a4 = option_quantity<Frequency>("--a4", request.a4);
        if (tuning.a4 < 300.0 * hertz || tuning.a4 > 600.0 * hertz)
            throw option_fault("--a4", fmt::format("{} is outside 300 Hz to 600 Hz", to_text(tuning.a4)), {});
    }
    if (!request.temperament.empty()) tuning.temperament = *Temperament::named(request.temperament, tuning.key);
    for (const std::string& text : request.offsets) add_offset(text, instrument, tuning);
    return tuning;
}

// Pairs beat at another rate than the design's; each partner stays on its side of its fellow.
void change_beats(const std::string& text, Instrument& instrument) {
    const Frequency rate = option_quantity<Frequency>("--beats", text);
    if (rate < 0.0 * hertz || rate > 30.0 * hertz)
        throw option_fault("--beats", fmt::format("{} is outside 0 Hz to 30 Hz", to_text(rate)), {});
    bool any = false;
    for (InstrumentReed& one : instrument.reeds) {
        if (one.beats.value() == 0.0) continue;
        one.beats = one.beats.value() > 0.0 ? rate : -rate;
        any = true;
    }
    if (!any) throw option_fault("--beats", "no reed of the design beats against another", "give it beats: 2.5 Hz");
}

// What a pressure makes of the design's allowance and of blown readings.
std::optional<BreathSet> breathe(const RetuneRequest& request, const Document& document, Design& design,
                                 Readings& readings) {
    if (request.under.empty()) return std::nullopt;
    const Pressure pressure = option_pressure("--under", request.under);
    return in_the_lines_of(document, [&] {
        // Before the allowances change anything: readings are taken on the bench.
        const auto on_bench = breaths(design, pressure, design.instrument.bench.temperature);
        for (ReedReading& one : readings.readings)
            if (one.sounded == Sounded::blown) one.breath = on_bench[one.reed].blown;
        return breath_set(design, pressure);
    });
}

std::vector<std::string> notes_on(const RetuneRequest& request, const Instrument& instrument, const Readings& readings,
                                  const std::optional<BreathSet>& breathed) {
    std::vector<std::string> notes;
    notes.push_back(
        fmt::format("'to go' leads from the reading, as it would be at {}, to the target on the bench; "
                    "'warm' is what a tuner shows once the reed is on it and at {}, breath left aside",
                    to_text(instrument.bench.temperature), to_text(instrument.playing)));
    notes.emplace_back(
        "metal goes from the top face, full width, with short ramps; 'first' is the pass to take before reading again");
    const auto blown = std::count_if(readings.readings.begin(), readings.readings.end(),
                                     [](const ReedReading& one) { return one.sounded == Sounded::blown; });
    if (breathed) {
        if (blown > 0)
            notes.push_back(fmt::format("{} blown {} taken as read at {}, by the model", blown,
                                        blown == 1 ? "reading is" : "readings are", to_text(breathed->pressure)));
        for (const std::string& line : breath_lines(instrument, *breathed)) notes.push_back(line);
    } else if (blown > 0)
        notes.push_back(fmt::format(
            "{} blown {} taken as read: breath flattens a reed by a few to some 14 cents per kPa, which is not "
            "reckoned here and has to be covered by the bench's allowance",
            blown, blown == 1 ? "reading is" : "readings are"));
    if (!request.a4.empty() && readings.in_cents)
        notes.push_back(fmt::format("readings in cents stand against the design's A4, {}, not the A4 now wanted",
                                    to_text(instrument.tuning.a4)));
    return notes;
}

nlohmann::ordered_json work_json(const CutPlan& plan, const ReedWork& work) {
    const InstrumentReed& one = plan.instrument.reeds[work.reed];
    const auto hertz_or_null = [](const std::optional<Frequency>& pitch) {
        return or_null(pitch ? std::optional(pitch->value()) : std::nullopt);
    };
    nlohmann::ordered_json json;
    json["cell"] = one.cell;
    json["row"] = one.row;
    json["note"] = one.note.name();
    json["do"] = verdict_name(work.verdict);
    json["target_hz"] = work.target.value();
    json["warm_hz"] = work.warm.value();
    json["model_pitch_hz"] = work.model_pitch.value();
    json["reading_hz"] = hertz_or_null(work.reading);
    json["reading_on_bench_hz"] = hertz_or_null(work.on_bench);
    json["how"] = !work.reading ? nlohmann::ordered_json(nullptr)
                                : nlohmann::ordered_json(work.sounded == Sounded::blown ? "blown" : "plucked");
    json["wanted_cents"] = or_null(work.on_bench ? std::optional(work.wanted.value()) : std::nullopt);
    if (work.cut) {
        const CutChoice& cut = *work.cut;
        const Zone zone = stated_zone(plan, work);
        json["zone"] = cut.zone;
        json["zone_mm"] = {in(zone.from, millimetre), in(zone.to, millimetre)};
        json["depth_um"] = in(cut.effect.cut.depth, micrometre);
        json["shift_cents"] = cut.effect.shift.value();
        json["first_pass_um"] = in(work.first->depth, micrometre);
        json["first_pass_cents"] = work.first->shift.value();
        json["overshoot_chance"] = work.first->overshoot_chance;
        json["removed_mg"] = in(cut.effect.removed, milligram);
        json["thinnest_mm"] = in(cut.effect.thinnest, millimetre);
        json["thickness_kept"] = cut.thickness_kept;
        json["swing_mm"] = in(cut.after.swing, millimetre);
        json["stress_mpa"] = in(cut.after.stress, megapascal);
        json["proof_share"] = or_null(cut.after.proof_share);
        json["hours"] = or_null(cut.after.hours);
        json["life_kept"] = cut.life_kept;
    }
    if (work.load) {
        json["load_mg"] = in(work.load->load.mass, milligram);
        json["load_at_mm"] = in(one.reed.tongue.length(), millimetre);
        json["shift_cents"] = work.load->shift.value();
    }
    json["remarks"] = work.remarks;
    return json;
}

constexpr std::size_t longest_remark_line = 100;

void print_wrapped(std::ostream& out, const std::string& indent, const std::string& text) {
    std::string line;
    std::size_t begin = 0;
    while (begin < text.size()) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        const std::string word = text.substr(begin, end - begin);
        if (!line.empty() && line.size() + 1 + word.size() > longest_remark_line) {
            out << indent << line << '\n';
            line.clear();
        }
        line += line.empty() ? word : ' ' + word;
        begin = end + 1;
    }
    if (!line.empty()) out << indent << line << '\n';
}

void print_plan(std::ostream& out, const CutPlan& plan) {
    if (!plan.instrument.name.empty()) out << plan.instrument.name << '\n';
    out << tuned_to_text(plan) << '\n' << counts_text(plan) << "\n\n";
    out << fmt::format("{:<10}{:<5}{:>10}{:>10}{:>10}{:>8}  {:<9}{:<16}{:>9}{:>10}\n", "place", "note", "target Hz",
                       "warm Hz", "read Hz", "to go", "do", "where", "first", "in all");
    for (const ReedWork& work : plan.works) {
        const InstrumentReed& one = plan.instrument.reeds[work.reed];
        std::string line = fmt::format(
            "{:<10}{:<5}{:>10.2f}{:>10.2f}{:>10}{:>8}  {:<9}{:<16}{:>9}{:>10}", one.place(), one.note.name(),
            work.target.value(), work.warm.value(), work.on_bench ? fmt::format("{:.2f}", work.on_bench->value()) : "",
            work.on_bench ? fmt::format("{:+.1f} c", work.wanted.value()) : "", verdict_name(work.verdict),
            where_text(plan, work), work.first ? fmt::format("{:.1f} um", in(work.first->depth, micrometre)) : "",
            work.cut    ? fmt::format("{:.1f} um", in(work.cut->effect.cut.depth, micrometre))
            : work.load ? fmt::format("{:.3f} mg", in(work.load->load.mass, milligram))
                        : "");
        line.erase(line.find_last_not_of(' ') + 1);
        out << line << '\n';
        if (work.verdict == Verdict::unread) continue;
        for (const std::string& remark : work.remarks) print_wrapped(out, "          ", remark);
    }
    out << '\n';
    for (const std::string& note : plan.notes) print_wrapped(out, "", note);
    out << "\nafter every cut\n";
    for (const std::string& step : after_cut_checklist()) out << "  " << step << '\n';
}

// A reed that carries what is to be told of all.
Reed told_of(const Instrument& instrument) {
    Reed told = instrument.reeds.front().reed;
    told.assumed = instrument.assumed;
    told.tongue.material.cautions = instrument.cautions();
    told.slot.plate_material.cautions.clear();
    return told;
}

// Refused before anything is written, so that of two files neither is left alone.
void refuse_standing(const RetuneRequest& request) {
    if (request.replace) return;
    std::error_code error;
    for (const std::string& file : {request.html, request.csv})
        if (!file.empty() && std::filesystem::exists(file, error))
            throw InputError({Diagnostic{Place{file, 0, 0}, "stands already", {}, "say --replace to write over it"}});
}

}  // namespace

int run_retune(const RetuneRequest& request, const Console& console) {
    refuse_standing(request);
    const Document document = read_yaml_file(request.design);
    Design design = read_design(document, material_library());
    apply_lot(request.lot, design);
    (void)plan_tongues(design);
    Instrument& instrument = design.instrument;
    if (!request.beats.empty()) change_beats(request.beats, instrument);
    Readings readings = read_readings_file(request.readings, instrument);
    const auto breathed = breathe(request, document, design, readings);
    WorkRules rules;
    rules.tuning = wanted_tuning(request, instrument);
    const auto works = instrument_cuts(instrument, readings, rules);

    Reed told = told_of(instrument);
    if (breathed) told.assumed.insert(told.assumed.end(), breathed->assumed.begin(), breathed->assumed.end());
    CutPlan plan{instrument, rules.tuning, works, notes_on(request, instrument, readings, breathed), told.cautions()};
    plan.cautions.push_back(filing_caution());
    const bool loads = std::any_of(works.begin(), works.end(), [](const auto& one) { return one.load.has_value(); });
    if (loads) plan.notes.push_back(solder_caution());
    const Existing existing = request.replace ? Existing::replace : Existing::keep;
    if (!request.html.empty()) write_whole_file(request.html, cut_sheet_html(plan), existing);
    if (!request.csv.empty()) write_whole_file(request.csv, cut_table_csv(plan), existing);

    if (request.json) {
        nlohmann::ordered_json json;
        json["name"] = instrument.name;
        json["a4_hz"] = rules.tuning.a4.value();
        json["temperament"] = rules.tuning.temperament.name();
        json["bench_celsius"] = in_celsius(instrument.bench.temperature);
        json["playing_celsius"] = in_celsius(instrument.playing);
        json["allowance_cents"] = or_null(breathed ? std::nullopt : std::optional(instrument.bench.allowance.value()));
        if (breathed) json["under_pa"] = breathed->pressure.value();
        json["tolerance_cents"] = instrument.tolerance.value();
        json["work"] = nlohmann::ordered_json::array();
        for (const ReedWork& work : works) {
            json["work"].push_back(work_json(plan, work));
            if (breathed) add_breath(json["work"].back(), instrument, work.reed, *breathed);
        }
        json["notes"] = plan.notes;
        add_closing(json, told, true);
        print_json(console.out, json);
    } else {
        print_plan(console.out, plan);
        print_closing(console.out, told, true);
    }
    if (!request.html.empty()) console.err << "wrote " << request.html << ", to print and fill in\n";
    if (!request.csv.empty()) console.err << "wrote " << request.csv << '\n';
    return done;
}

}  // namespace reedwright::app
