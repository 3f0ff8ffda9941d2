#include "app/commands/commands.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/cut_consequences.hpp"
#include "core/retune/cut_effect.hpp"
#include "core/retune/first_pass.hpp"
#include "core/retune/pass_log.hpp"
#include "core/retune/passes.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// Closer than a tuner reads is on the note.
constexpr double nothing_to_do_cents = 0.05;

std::string zone_text(const Zone& zone) {
    return fmt::format("{:.4g} to {:.4g} mm from the root", in(zone.from, millimetre), in(zone.to, millimetre));
}

std::string micrometres(Length length) {
    return fmt::format("{:.1f} um", in(length, micrometre));
}

const std::vector<std::pair<std::string, CutShape>>& shape_names() {
    static const std::vector<std::pair<std::string, CutShape>> names{
        {"flat", CutShape::flat},   {"v-groove", CutShape::v_groove},   {"round-groove", CutShape::round_groove},
        {"lines", CutShape::lines}, {"round-tip", CutShape::round_tip}, {"narrow", CutShape::narrow}};
    return names;
}

CutShape shape_of(const std::string& name) {
    for (const auto& [known, shape] : shape_names())
        if (known == name) return shape;
    return CutShape::flat;
}

// The cut that the options describe, its depth still to come.
Cut shape_from(const CutRequest& request, const Reed& reed) {
    Cut cut{{},
            1.0 * micrometre,
            option_quantity<Length>("--ramp", request.ramp),
            shape_of(request.shape),
            option_quantity<Ratio>("--share", request.share).value()};
    if (cut.share <= 0.0 || cut.share > 1.0)
        throw InputError(
            {Diagnostic{Place{"--share", 0, 0}, fmt::format("{} is outside 0 % to 100 %", request.share), {}, {}}});
    cut.zone = parse_zone(cut.shape == CutShape::round_tip ? "tip" : request.zone, reed.tongue.length());
    return cut;
}

Length swing_of(const CutRequest& request, const Reed& reed) {
    if (request.swing.empty()) return default_swing(reed.tongue);
    const Length swing = option_quantity<Length>("--swing", request.swing);
    if (swing.value() <= 0.0 || swing > reed.tongue.length())
        throw InputError({Diagnostic{
            Place{"--swing", 0, 0}, fmt::format("{} is outside 0 mm to the length", to_text(swing)), {}, {}}});
    return swing;
}

void print_checklist(std::ostream& out) {
    out << "\nafter the cut\n";
    for (const std::string& step : after_cut_checklist()) out << "  " << step << '\n';
}

std::string amount(const Cut& cut) {
    if (cut.shape == CutShape::round_tip) return fmt::format("corners rounded to {:.3g} mm", in(cut.depth, millimetre));
    if (cut.shape == CutShape::narrow) return fmt::format("{:.3g} mm of the width", in(cut.depth, millimetre));
    return micrometres(cut.depth) + " deep";
}

void warn_if_deep(const Reed& before, const CutEffect& effect, std::vector<std::string>& warnings) {
    const SafeDepth safe;
    const Length deepest = deepest_cut(before.tongue, effect.cut, safe.least_thickness, safe.least_share);
    if (effect.cut.depth > deepest)
        warnings.push_back(
            fmt::format("{} is deeper than the {} that leave half of the thickness (common practice, no source)",
                        micrometres(effect.cut.depth), micrometres(deepest)));
}

void warn_of_stress(const CutConsequences& consequences, std::vector<std::string>& warnings) {
    if (consequences.after.proof_share.value_or(0.0) > 1.0)
        warnings.push_back(
            fmt::format("at this swing the stress passes the proof strength ({:.0f} %): the tongue would take a set",
                        100.0 * *consequences.after.proof_share));
    if (consequences.after.notch_factor > 1.5)
        warnings.push_back(
            fmt::format("the scratch multiplies the stress there by {:.1f}; a crack starts at such a place",
                        consequences.after.notch_factor));
}

nlohmann::ordered_json life_json(const Life& life) {
    return {{"stress_mpa", in(life.stress, megapascal)},
            {"worst_mm", in(life.worst_at, millimetre)},
            {"notch_factor", life.notch_factor},
            {"proof_share", or_null(life.proof_share)},
            {"hours", or_null(life.hours)},
            {"hours_low", or_null(life.hours_low)},
            {"hours_high", or_null(life.hours_high)}};
}

void add_consequences(nlohmann::ordered_json& json, const CutConsequences& consequences) {
    json["stiffness_n_per_m"] = {consequences.stiffness_before.value(), consequences.stiffness_after.value()};
    json["flap_ratio"] = {consequences.ratio_before, consequences.ratio_after};
    json["twist_shift_cents"] = consequences.twist_shift ? nlohmann::ordered_json(consequences.twist_shift->value())
                                                         : nlohmann::ordered_json(nullptr);
    json["swing_mm"] = in(consequences.before.swing, millimetre);
    json["life_before"] = life_json(consequences.before);
    json["life_after"] = life_json(consequences.after);
    json["life_kept"] = or_null(consequences.life_kept);
}

std::string hours_text(const Life& life) {
    if (!life.hours) return "hours not known for this alloy";
    // Two digits are more than an estimate holds.
    const auto round = [](double hours) {
        if (hours >= 1e6) return std::string("over a million");
        const double digit = std::pow(10.0, std::floor(std::log10(std::max(hours, 0.01))) - 1.0);
        return fmt::format("{:g}", std::round(hours / digit) * digit);
    };
    return fmt::format("{} hours, {} to {}{}", round(*life.hours), round(*life.hours_low), round(*life.hours_high),
                       life.beyond_data ? ", drawn on beyond the data" : "");
}

void print_consequences(std::ostream& out, const CutConsequences& c) {
    out << fmt::format("stiffness {:.4g} to {:.4g} N/m at the tip; second mode {:.3f} to {:.3f} times the first\n",
                       c.stiffness_before.value(), c.stiffness_after.value(), c.ratio_before, c.ratio_after);
    out << fmt::format("stress    {:.0f} to {:.0f} MPa at a swing of +-{:.2f} mm, worst at {:.1f} mm",
                       in(c.before.stress, megapascal), in(c.after.stress, megapascal), in(c.before.swing, millimetre),
                       in(c.after.worst_at, millimetre));
    if (c.after.proof_share) out << fmt::format(", {:.0f} % of the proof strength", 100.0 * *c.after.proof_share);
    out << '\n';
    out << fmt::format("life      an estimate: {}{}\n", hours_text(c.after),
                       c.life_kept ? fmt::format(" ({:.0f} % of what it was)", 100.0 * *c.life_kept) : std::string());
}

int forward(const CutRequest& request, const Console& console, const Reed& reed, const Model& model) {
    Cut cut = shape_from(request, reed);
    cut.depth = option_quantity<Length>("--depth", request.depth);
    const Length swing = swing_of(request, reed);
    const CutEffect effect = effect_of_cut(reed, cut, model);
    const CutConsequences consequences = consequences_of(reed, effect, swing, model);
    std::vector<std::string> warnings;
    warn_if_deep(reed, effect, warnings);
    warn_of_stress(consequences, warnings);
    if (request.json) {
        nlohmann::ordered_json json;
        json["shift_cents"] = effect.shift.value();
        json["new_pitch_hz"] = effect.pitch_after.value();
        json["pitch_hz"] = effect.pitch_before.value();
        json["removed_mg"] = in(effect.removed, milligram);
        json["thinnest_mm"] = in(effect.thinnest, millimetre);
        json["depth_um"] = in(effect.cut.depth, micrometre);
        json["shape"] = request.shape;
        json["zone_mm"] = {in(cut.zone.from, millimetre), in(cut.zone.to, millimetre)};
        add_consequences(json, consequences);
        json["warnings"] = warnings;
        add_closing(json, reed, true);
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    out << tongue_line(reed) << "\n\n";
    out << fmt::format("cut       {}{}\n", amount(effect.cut),
                       cut.shape == CutShape::round_tip ? std::string() : ", " + zone_text(cut.zone));
    out << fmt::format("shift     {}, from {:.2f} Hz to {:.2f} Hz\n", cents_text(effect.shift),
                       effect.pitch_before.value(), effect.pitch_after.value());
    out << fmt::format("removed   {:.3g} mg, {:.4g} mm left at the thinnest place\n", in(effect.removed, milligram),
                       in(effect.thinnest, millimetre));
    print_consequences(out, consequences);
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
    print_checklist(out);
    print_closing(out, reed, true);
    return done;
}

// What the reading says about the tongue, in words.
std::vector<std::string> explanation_lines(const Reed& reed, const ExplainedReading& explained) {
    std::vector<std::string> lines;
    for (const Input input : all_inputs) {
        const double deviations = explained.deviations[static_cast<std::size_t>(input)];
        const auto sigma = standard_deviation(reed, input);
        if (!sigma) lines.push_back(fmt::format("{}: its spread is not known, left as given", input_name(input)));
        if (!sigma || std::abs(deviations) < 0.05) continue;
        const double amount = deviations * *sigma;
        switch (input) {
            case Input::thickness:
            case Input::length:
            case Input::width:
                lines.push_back(fmt::format("{}: {:+.2f} um", input_name(input), amount * 1e6));
                break;
            case Input::modulus:
            case Input::density:
                lines.push_back(fmt::format("{}: {:+.2f} %", input_name(input), amount * 100.0));
                break;
            case Input::poisson:
                lines.push_back(fmt::format("{}: {:+.3f}", input_name(input), amount));
                break;
            case Input::seat:
                lines.push_back(fmt::format("{}: {:+.2f} root thicknesses of give", input_name(input), amount));
                break;
        }
    }
    return lines;
}

int inverse(const CutRequest& request, const Console& console, const Reed& stated, const Model& model) {
    const Frequency reading = option_pitch("--read", request.reading, stated);
    const Frequency want = option_pitch("--want", request.want, stated);
    const Interval wanted = interval_between(reading, want);
    const double level = option_quantity<Ratio>("--overshoot", request.overshoot).value();
    if (level <= 0.0 || level >= 0.5)
        throw InputError({Diagnostic{
            Place{"--overshoot", 0, 0}, fmt::format("{} is outside 0 % to 50 %", request.overshoot), {}, {}}});

    ExplainedReading explained{stated, {}, interval_between(pitch_of(stated, model).pitch, reading), {}};
    if (request.trust != "dimensions") explained = explain_reading(stated, reading, tuner_deviation, model);
    const Reed& reed = explained.reed;
    const Length swing = swing_of(request, stated);
    std::vector<CutChoice> choices;
    Cut shape{};
    if (request.zone.empty() && request.shape != "round-tip") {
        if (request.shape != "flat")
            throw InputError({Diagnostic{Place{"--shape", 0, 0},
                                         fmt::format("{} needs --zone; only a flat cut finds its own", request.shape),
                                         {},
                                         {}}});
        if (std::abs(wanted.value()) >= nothing_to_do_cents) choices = rank_cuts(reed, wanted, swing, {}, model);
        // Nothing reaches: the usual zone is tried for the words that say how far it would go.
        shape = choices.empty()
                    ? Cut{parse_zone(wanted.value() > 0.0 ? "tip" : "root", reed.tongue.length()), 1.0 * micrometre,
                          option_quantity<Length>("--ramp", request.ramp), CutShape::flat, 1.0}
                    : choices.front().effect.cut;
    } else {
        shape = shape_from(request, stated);
        // A zone at the tip stays at the tip when the reading lengthens the tongue by a hair.
        if (shape.zone.to >= stated.tongue.length()) shape.zone.to = reed.tongue.length();
        shape.zone.to = std::min(shape.zone.to, reed.tongue.length());
    }
    // Told in the tongue's stated length, not the one that the reading makes likely.
    Zone zone = shape.zone;
    if (zone.to >= reed.tongue.length() || zone.to > stated.tongue.length()) zone.to = stated.tongue.length();

    std::vector<std::string> warnings;
    if (std::abs(explained.surprise.value()) > 100.0)
        warnings.push_back(
            fmt::format("the reading lies {} from the pitch of these dimensions: check that it is this reed, and that "
                        "nothing is cracked or loose",
                        cents_text(explained.surprise, 0)));

    const bool on_the_note = std::abs(wanted.value()) < nothing_to_do_cents;
    std::optional<DepthSearch> search;
    if (!on_the_note) search = find_depth(reed, shape, wanted, {}, model);
    const bool reachable = on_the_note || search->reachable;
    std::optional<FirstPass> pass;
    if (search && reachable) pass = first_pass(reed, search->best, level, {}, model);
    std::optional<CutConsequences> consequences;
    if (search && reachable) {
        consequences = consequences_of(reed, search->best, swing, model);
        warn_of_stress(*consequences, warnings);
    }
    // Where every depth moves the pitch away from the target, taking nothing is the best that can be done.
    const bool wrong_way = search && !reachable && (search->best.shift.value() < 0.0) != (wanted.value() < 0.0);
    const bool takes = search && !wrong_way;
    const Interval shift = takes ? search->best.shift : 0.0 * cent;
    const Frequency pitch_after = raised_by(reading, shift);
    const double depth_um = takes ? in(search->best.cut.depth, micrometre) : 0.0;
    const double removed_mg = takes ? in(search->best.removed, milligram) : 0.0;
    const Length thinnest = takes ? search->best.thinnest : reed.tongue.thickness.smallest();
    const auto lines = explanation_lines(stated, explained);

    if (request.json) {
        nlohmann::ordered_json json;
        json["reachable"] = reachable;
        json["depth_um"] = depth_um;
        json["shift_cents"] = shift.value();
        json["wanted_cents"] = wanted.value();
        json["new_pitch_hz"] = pitch_after.value();
        json["target_hz"] = want.value();
        json["removed_mg"] = removed_mg;
        json["thinnest_mm"] = in(thinnest, millimetre);
        json["first_pass_um"] = pass          ? nlohmann::ordered_json(in(pass->depth, micrometre))
                                : on_the_note ? nlohmann::ordered_json(0.0)
                                              : nlohmann::ordered_json(nullptr);
        json["first_pass_cents"] = pass ? nlohmann::ordered_json(pass->shift.value()) : nlohmann::ordered_json(nullptr);
        json["overshoot_chance"] =
            pass ? nlohmann::ordered_json(pass->overshoot_chance) : nlohmann::ordered_json(nullptr);
        json["shape"] = request.shape;
        json["zone_mm"] = {in(zone.from, millimetre), in(zone.to, millimetre)};
        if (!choices.empty()) {
            json["zones"] = nlohmann::ordered_json::array();
            for (const CutChoice& choice : choices)
                json["zones"].push_back(
                    {{"zone", choice.zone},
                     {"zone_mm",
                      {in(choice.effect.cut.zone.from, millimetre), in(choice.effect.cut.zone.to, millimetre)}},
                     {"depth_um", in(choice.effect.cut.depth, micrometre)},
                     {"thickness_kept", choice.thickness_kept},
                     {"life_kept", choice.life_kept}});
        }
        if (consequences) add_consequences(json, *consequences);
        json["surprise_cents"] = explained.surprise.value();
        json["explanation"] = request.trust == "dimensions" ? std::vector<std::string>{} : lines;
        json["warnings"] = warnings;
        add_closing(json, stated, true);
        print_json(console.out, json);
    } else {
        std::ostream& out = console.out;
        out << tongue_line(stated) << "\n\n";
        out << fmt::format("reads     {:.2f} Hz, wanted {:.2f} Hz: {}\n", reading.value(), want.value(),
                           cents_text(wanted));
        if (request.trust == "dimensions") {
            out << fmt::format("          {} from the pitch of the dimensions, which are trusted\n",
                               cents_text(explained.surprise, 1));
        } else {
            out << fmt::format("          {} from the pitch of the dimensions, explained by what is uncertain\n",
                               cents_text(explained.surprise, 1));
            for (const std::string& line : lines) out << "            " << line << '\n';
        }
        if (on_the_note) {
            out << "cut       nothing: it is on its note\n";
        } else if (reachable) {
            for (const CutChoice& choice : choices)
                out << fmt::format("{:<10}{:<8}{}\n", &choice == choices.data() ? "best" : "or", choice.zone,
                                   choice.why);
            Cut first = search->best.cut;
            first.depth = pass->depth;
            out << fmt::format("cut       {} in all{}\n", amount(search->best.cut),
                               shape.shape == CutShape::round_tip ? std::string() : ", " + zone_text(zone));
            out << fmt::format("first     {} for {} ({:.0f} % chance to go past the target), then read again\n",
                               amount(first), cents_text(pass->shift, 1), 100.0 * pass->overshoot_chance);
            out << fmt::format("removed   {:.3g} mg in all, {:.4g} mm left at the thinnest place\n", removed_mg,
                               in(thinnest, millimetre));
            print_consequences(out, *consequences);
        }
        for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
        if (reachable && !on_the_note) print_checklist(out);
        if (reachable) print_closing(out, stated, true);
    }
    if (reachable) return done;
    if (wrong_way)
        console.err << fmt::format("no depth there brings {}; taking nothing is the best\n", cents_text(wanted));
    else
        console.err << fmt::format(
            "no safe depth there brings {}; the best is {} at {}, {:.2f} Hz, with at most {} to take (half of the "
            "thickness and 20 um stay)\n",
            cents_text(wanted), cents_text(shift), micrometres(search->best.cut.depth), pitch_after.value(),
            micrometres(search->deepest));
    if (wrong_way)
        console.err << (wanted.value() < 0.0 ? "metal taken there raises the pitch: choose a zone nearer to the root, "
                                               "or lower it with a load at the tip\n"
                                             : "metal taken there lowers the pitch: choose a zone nearer to the tip\n");
    else
        console.err << (request.zone.empty() ? "no other zone reaches it either: " : "choose a longer zone, or ")
                    << (wanted.value() < 0.0 ? "a load at the tip, or " : "") << "replace the tongue\n";
    return bad_input;
}

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

// Readings with a log: what was learnt from all passes so far, and the next one.
int logged(const CutRequest& request, const Console& console, const Reed& reed, const Model& model) {
    const Frequency reading = option_pitch("--read", request.reading, reed);
    const Frequency want = option_pitch("--want", request.want, reed);
    const Zone zone = parse_zone(request.zone, reed.tongue.length());
    const Length ramp = option_quantity<Length>("--ramp", request.ramp);
    const PassLog log = read_pass_log(request.log);
    PassRecord record{reading, want, zone, {}, {}, 0.0 * metre};
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
    } else if (record.taken || record.strokes) {
        throw InputError({Diagnostic{Place{request.log, 0, 0},
                                     "holds no reading yet, so nothing can have been taken before this one",
                                     {},
                                     "leave --took and --strokes out of the first reading"}});
    }

    const Frequency first = log.records.empty() ? reading : log.records.front().reading;
    Passes passes(reed, zone, ramp, want, first, {}, model);
    for (std::size_t i = 1; i < log.records.size(); ++i)
        passes.read(log.records[i].taken.value_or(log.records[i - 1].proposed), log.records[i].reading);
    if (!log.records.empty()) passes.read(record.taken.value_or(log.records.back().proposed), reading);
    const PassProposal& proposal = passes.proposal();
    record.proposed = proposal.depth;
    std::optional<Strokes> strokes;
    if (record.strokes) strokes = strokes_left(log.records.back().reading, reading, *record.strokes, want);
    append_pass(request.log, record);

    if (request.json) {
        nlohmann::ordered_json json;
        json["verdict"] = verdict_name(proposal.verdict);
        json["remaining_cents"] = proposal.remaining.value();
        json["depth_um"] = in(proposal.depth, micrometre);
        json["expected_cents"] = proposal.expected.value();
        json["overshoot_chance"] = proposal.overshoot_chance;
        json["whole_depth_um"] = in(proposal.whole_depth, micrometre);
        json["gain"] = passes.gain();
        json["gain_sigma"] = passes.gain_sigma();
        json["passes"] = passes.passes();
        json["cents_per_stroke"] =
            strokes ? nlohmann::ordered_json(strokes->per_stroke.value()) : nlohmann::ordered_json(nullptr);
        json["strokes_left"] = strokes ? nlohmann::ordered_json(strokes->left) : nlohmann::ordered_json(nullptr);
        json["log"] = request.log;
        add_closing(json, reed, true);
        print_json(console.out, json);
    } else {
        std::ostream& out = console.out;
        out << tongue_line(reed) << "\n\n";
        out << fmt::format("pass {}    reads {:.2f} Hz, wanted {:.2f} Hz: {} to go\n", passes.passes(), reading.value(),
                           want.value(), cents_text(proposal.remaining, 1));
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
                out << fmt::format(
                    "next      {} deep for {} ({:.1f} % chance to end more than 2 cents past), of {} for all\n",
                    micrometres(proposal.depth), cents_text(proposal.expected, 1), 100.0 * proposal.overshoot_chance,
                    micrometres(proposal.whole_depth));
                break;
            case PassProposal::Verdict::out_of_reach:
                out << "stop      no safe depth here reaches the target: another zone, a load, or another tongue\n";
                break;
            case PassProposal::Verdict::past_target:
                out << "stop      it is past its target: metal taken from the other end would cost thickness twice; a "
                       "load, or leave it\n";
                break;
        }
        print_closing(out, reed, true);
    }
    if (log.cut_short) console.err << request.log << ": its last line was cut short and is left out\n";
    return proposal.verdict == PassProposal::Verdict::out_of_reach ? bad_input : done;
}

}  // namespace

int run_cut(const CutRequest& request, const Console& console) {
    const Reed reed = read_source(request.source);
    const Model model = model_of(request.tier);
    if (!request.depth.empty()) return forward(request, console, reed, model);
    if (!request.log.empty()) return logged(request, console, reed, model);
    return inverse(request, console, reed, model);
}

}  // namespace reedwright::app
