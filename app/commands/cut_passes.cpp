#include "app/commands/cut_words.hpp"
#include "core/retune/pass_log.hpp"
#include "core/retune/passes.hpp"
#include "core/retune/zone_names.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

std::string_view verdict_name(PassProposal::Verdict verdict) {
    switch (verdict) {
        case PassProposal::Verdict::cut:
            return "cut";
        case PassProposal::Verdict::out_of_reach:
            return "out of reach";
        case PassProposal::Verdict::past_target:
            return "past the target";
        case PassProposal::Verdict::done:
            break;
    }
    return "done";
}

std::vector<std::string> wrong_way_warnings(const Passes& passes) {
    std::vector<std::string> warnings;
    for (const WrongWay& one : passes.wrong_way())
        warnings.push_back(fmt::format(
            "entry {} of the log moved the pitch by {} where {} were due: likely metal went from the wrong end, or "
            "another reed was read. Nothing is learnt from it or the next; if it was another reed, take its line out "
            "of the log",
            one.reading, cents_text(one.observed, 1), cents_text(one.expected, 1)));
    return warnings;
}

}  // namespace

int run_logged_cut(const CutRequest& request, const Console& console, const Reed& reed, const Model& model) {
    const Frequency reading = option_pitch("--read", request.reading, reed);
    const Frequency want = option_pitch("--want", request.want, reed);
    const Zone zone = zone_on(reed, request.zone, model);
    const Length ramp = option_quantity<Length>("--ramp", request.ramp);
    const PassLog log = read_pass_log(request.log);
    PassRecord record{reading, want, zone, {}, {}, 0.0 * metre, ramp};
    if (!request.took.empty()) record.taken = option_quantity<Length>("--took", request.took);
    if (!request.strokes.empty()) record.strokes = option_quantity<Ratio>("--strokes", request.strokes).value();
    if (!log.records.empty()) {
        const PassRecord& last = log.records.back();
        const auto apart = [](Length a, Length b) { return std::abs((a - b).value()) > 1e-6; };
        if (apart(last.zone.from, zone.from) || apart(last.zone.to, zone.to) ||
            std::abs(interval_between(last.target, want).value()) > 0.01)
            throw InputError(
                {Diagnostic{Place{request.log, 0, 0},
                            fmt::format("is of another zone or target: {} to {}, {:.2f} Hz", to_text(last.zone.from),
                                        to_text(last.zone.to), last.target.value()),
                            {},
                            "start another log"}});
        if (last.ramp && apart(*last.ramp, ramp))
            throw InputError({Diagnostic{Place{request.log, 0, 0},
                                         fmt::format("is of cuts with ramps of {}", to_text(*last.ramp)),
                                         {},
                                         "say the same --ramp, or start another log"}});
    } else if (record.taken || record.strokes) {
        throw InputError({Diagnostic{Place{request.log, 0, 0},
                                     "holds no reading yet, so nothing can have been taken before this one",
                                     {},
                                     "leave --took and --strokes out of the first reading"}});
    }

    const bool repeated = !log.records.empty() && !request.again && same_entry(record, log.records.back());
    std::vector<PassRecord> records = log.records;
    if (!repeated) records.push_back(record);

    PassRules rules;
    rules.first_level = overshoot_level(request);
    rules.trust_dimensions = request.trust == "dimensions";
    Passes passes(reed, zone, ramp, want, records.front().reading, rules, model);
    for (std::size_t i = 1; i < records.size(); ++i)
        passes.read(records[i].taken.value_or(records[i - 1].proposed), records[i].reading);
    const PassProposal& proposal = passes.proposal();
    records.back().proposed = proposal.depth;
    std::optional<Strokes> strokes;
    if (records.size() > 1 && records.back().strokes)
        strokes = strokes_left(records[records.size() - 2].reading, reading, *records.back().strokes, want);
    const ExplainedReading explained = explain_reading(reed, records.front().reading, tuner_deviation, model);
    if (!repeated) append_pass(request.log, records.back());
    if (records.size() == 1) warn_of_reading(console, explained);
    const auto warnings = wrong_way_warnings(passes);

    if (request.json) {
        nlohmann::ordered_json json;
        json["verdict"] = verdict_name(proposal.verdict);
        json["remaining_cents"] = proposal.remaining.value();
        const bool reachable =
            proposal.verdict == PassProposal::Verdict::cut || proposal.verdict == PassProposal::Verdict::done;
        json["reachable"] = reachable;
        // As 'cut' answers without a log, of what is left; the first pass is the next one.
        const bool takes = proposal.whole && (proposal.whole_shift.value() > 0.0) == (proposal.remaining.value() > 0.0);
        const Interval shift = takes ? proposal.whole_shift : 0.0 * cent;
        json["depth_um"] = takes ? in(proposal.whole->cut.depth, micrometre) : 0.0;
        json["shift_cents"] = shift.value();
        json["new_pitch_hz"] = raised_by(reading, shift).value();
        json["removed_mg"] = takes ? in(proposal.whole->removed, milligram) : 0.0;
        json["thinnest_mm"] = in(takes ? proposal.whole->thinnest : proposal.thinnest, millimetre);
        json["first_pass_um"] =
            reachable ? nlohmann::ordered_json(in(proposal.depth, micrometre)) : nlohmann::ordered_json(nullptr);
        json["expected_cents"] = proposal.expected.value();
        json["overshoot_chance"] = proposal.overshoot_chance;
        json["gain"] = passes.gain();
        json["gain_sigma"] = passes.gain_sigma();
        json["passes"] = passes.passes();
        json["cents_per_stroke"] =
            strokes ? nlohmann::ordered_json(strokes->per_stroke.value()) : nlohmann::ordered_json(nullptr);
        json["strokes_left"] = strokes ? nlohmann::ordered_json(strokes->left) : nlohmann::ordered_json(nullptr);
        json["left_out"] = nlohmann::ordered_json::array();
        for (const WrongWay& one : passes.wrong_way())
            json["left_out"].push_back({{"reading", one.reading},
                                        {"observed_cents", one.observed.value()},
                                        {"expected_cents", one.expected.value()}});
        json["repeated"] = repeated;
        json["reading_explained"] = explained.explained();
        json["reading_deviations"] = explained.distance;
        json["unknown_spread"] = unknown_spreads(reed);
        json["warnings"] = warnings;
        json["log"] = request.log;
        add_closing(json, reed, true);
        print_json(console.out, json);
    } else {
        std::ostream& out = console.out;
        out << tongue_line(reed) << "\n\n";
        out << fmt::format("pass {}    reads {:.2f} Hz, wanted {:.2f} Hz: {} to go\n", passes.passes(), reading.value(),
                           want.value(), cents_text(proposal.remaining, 1));
        if (const std::string note = unknown_spread_note(reed); !note.empty()) out << "          " << note << '\n';
        if (repeated)
            out << "again     the last entry of the log: nothing is counted; say --took with its depth, or --again, if "
                   "metal was taken since\n";
        if (passes.passes() > 0)
            out << fmt::format("learnt    a cut shifts {:.2f} +-{:.2f} times what the dimensions say\n", passes.gain(),
                               passes.gain_sigma());
        if (strokes)
            out << fmt::format("strokes   {:+.2f} cents each, {:.0f} left at that rate\n", strokes->per_stroke.value(),
                               strokes->left);
        switch (proposal.verdict) {
            case PassProposal::Verdict::done:
                out << "done      it is within 2 cents of its target\n";
                break;
            case PassProposal::Verdict::cut:
                out << fmt::format("next      {} deep for {} ({:.1f} % chance to {}), of {} for all\n",
                                   micrometres(proposal.depth), cents_text(proposal.expected, 1),
                                   100.0 * proposal.overshoot_chance,
                                   passes.passes() == 0 ? "go past the target" : "end more than 2 cents past",
                                   micrometres(proposal.whole->cut.depth));
                break;
            case PassProposal::Verdict::out_of_reach:
                out << "stop      no safe depth here reaches the target: another zone, a load, or another tongue\n";
                break;
            case PassProposal::Verdict::past_target:
                out << "stop      it is past its target: metal taken from the other end would cost thickness twice; a "
                       "load, or leave it\n";
                break;
        }
        for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
        print_closing(out, reed, true);
    }
    if (log.cut_short) console.err << request.log << ": its last line was cut short and is left out\n";
    if (proposal.verdict != PassProposal::Verdict::out_of_reach) return done;
    console.err << fmt::format("no safe depth there brings {}: another zone, a load, or another tongue may\n",
                               cents_text(proposal.remaining));
    return bad_input;
}

}  // namespace reedwright::app
