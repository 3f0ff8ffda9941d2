#include "app/commands/cut_words.hpp"
#include "app/wind_input.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/cut_consequences.hpp"
#include "core/retune/first_pass.hpp"
#include "core/retune/reading.hpp"
#include "core/retune/zone_names.hpp"
#include "core/vibration/cut_effect.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/sounding.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// Closer than a tuner reads is on the note.
constexpr double nothing_to_do_cents = 0.05;

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
Cut shape_from(const CutRequest& request, const Reed& reed, const Model& model) {
    Cut cut{{},
            1.0 * micrometre,
            option_quantity<Length>("--ramp", request.ramp),
            shape_of(request.shape),
            option_quantity<Ratio>("--share", request.share).value()};
    if (cut.share <= 0.0 || cut.share > 1.0)
        throw InputError(
            {Diagnostic{Place{"--share", 0, 0}, fmt::format("{} is outside 0 % to 100 %", request.share), {}, {}}});
    if (cut.shape == CutShape::round_tip && !request.zone.empty() && request.zone != "tip")
        throw InputError({Diagnostic{Place{"--zone", 0, 0},
                                     fmt::format("{} does not go with round-tip, which is at the tip", request.zone),
                                     {},
                                     "leave --zone out"}});
    cut.zone = zone_on(reed, cut.shape == CutShape::round_tip ? "tip" : request.zone, model);
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

void warn_if_deep(const Reed& before, const CutEffect& effect, std::vector<std::string>& warnings) {
    const SafeDepth safe;
    const Length deepest = deepest_cut(before.tongue, effect.cut, safe.least_thickness, safe.least_share);
    if (effect.cut.depth > deepest)
        warnings.push_back(
            fmt::format("{} is deeper than the {} that leave half of the thickness (common practice, no source)",
                        micrometres(effect.cut.depth), micrometres(deepest)));
}

// A correction so large is a change of note, or not of this reed (common practice, no source).
constexpr double quarter_tone_cents = 50.0;

void warn_if_far(Interval shift, std::vector<std::string>& warnings) {
    if (std::abs(shift.value()) > quarter_tone_cents)
        warnings.push_back(fmt::format(
            "{} is more than a quarter tone: so much metal changes how the reed speaks; see first that it is "
            "the right reed, sound and fast, or take another tongue (common practice, no source)",
            cents_text(shift, 0)));
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

int forward(const CutRequest& request, const Console& console, const Reed& reed, const Model& model) {
    Cut cut = shape_from(request, reed, model);
    cut.depth = option_quantity<Length>("--depth", request.depth);
    const Length swing = swing_of(request, reed);
    const CutEffect effect = effect_of_cut(reed, cut, model);
    const CutConsequences consequences = consequences_of(reed, effect, swing, model);
    std::vector<std::string> warnings;
    warn_if_deep(reed, effect, warnings);
    warn_if_far(effect.shift, warnings);
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
    out << fmt::format("removed   {:.3g} mg, {:.3f} mm left at the thinnest place\n", in(effect.removed, milligram),
                       in(effect.thinnest, millimetre));
    print_consequences(out, consequences);
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
    print_checklist(out);
    print_closing(out, reed, true);
    return done;
}

// A cut is reckoned from the plucked pitch, which a blown reading lies below or above by what the breath takes.
CutRequest with_plucked_reading(const CutRequest& request, const Console& console, Reed reed, const Model& model) {
    const Frequency blown = option_pitch("--read", request.reading, reed);
    const Pressure pressure = option_pressure("--under", request.under);
    const auto offset = sounding_offset(blown_from(request.source, reed, vibration_of(reed, model)), pressure);
    if (!offset)
        throw InputError({Diagnostic{Place{"--under", 0, 0},
                                     fmt::format("at {} the reed does not sound in the model, so what breath takes "
                                                 "there is not known",
                                                 to_text(pressure)),
                                     {},
                                     "pluck it and read again; 'blow' tells from which pressure it speaks"}});
    const Frequency plucked = raised_by(blown, -*offset);
    console.err << fmt::format("blown {:.2f} Hz at {} stands for {:.2f} Hz plucked, {} away by the model\n",
                               blown.value(), to_text(pressure), plucked.value(), cents_text(-*offset, 1));
    CutRequest result = request;
    result.reading = fmt::format("{:.6f} Hz", plucked.value());
    return result;
}

int inverse(const CutRequest& request, const Console& console, const Reed& stated, const Model& model) {
    const Frequency reading = option_pitch("--read", request.reading, stated);
    const Frequency want = option_pitch("--want", request.want, stated);
    const Interval wanted = interval_between(reading, want);
    const double level = overshoot_level(request);
    const ExplainedReading explained = explain_reading(stated, reading, tuner_deviation, model);
    const bool trusting = request.trust == "dimensions";
    const Reed& reed = trusting ? stated : explained.reed;
    const Length swing = swing_of(request, stated);
    const Length ramp = option_quantity<Length>("--ramp", request.ramp);
    const bool on_the_note = std::abs(wanted.value()) < nothing_to_do_cents;
    const bool finds_zone = request.zone.empty() && request.shape != "round-tip";
    std::string zone_name = request.shape == "round-tip" ? "tip" : request.zone;
    std::vector<CutChoice> choices;
    Cut shape{};
    if (finds_zone) {
        if (request.shape != "flat")
            throw InputError({Diagnostic{Place{"--shape", 0, 0},
                                         fmt::format("{} needs --zone; only a flat cut finds its own", request.shape),
                                         {},
                                         {}}});
        if (!on_the_note) choices = rank_cuts(reed, wanted, swing, {}, model, ramp);
        zone_name = wanted.value() > 0.0 ? "tip" : "root";
        if (!choices.empty()) {
            zone_name = choices.front().zone;
            shape = choices.front().effect.cut;
        } else if (const auto nearest = farthest_cut(reed, wanted, {}, model, ramp); nearest && !on_the_note) {
            // No zone reaches: the one that comes nearest is told.
            zone_name = nearest->zone;
            shape = nearest->search.best.cut;
        } else {
            shape = Cut{parse_zone(zone_name, reed.tongue.length()), 1.0 * micrometre, ramp, CutShape::flat, 1.0};
        }
    } else {
        shape = shape_from(request, stated, model);
        // A zone at the tip stays at the tip when the reading lengthens the tongue by a hair.
        if (shape.zone.to >= stated.tongue.length()) shape.zone.to = reed.tongue.length();
        shape.zone.to = std::min(shape.zone.to, reed.tongue.length());
    }
    // Told in the tongue's stated length, not the one that the reading makes likely.
    Zone zone = shape.zone;
    if (zone.to >= reed.tongue.length() || zone.to > stated.tongue.length()) zone.to = stated.tongue.length();

    std::vector<std::string> warnings = reading_warnings(explained);
    warn_of_reading(console, explained);

    std::optional<DepthSearch> search;
    if (!on_the_note) search = find_depth(reed, shape, wanted, {}, model);
    const bool reachable = on_the_note || search->reachable;
    std::optional<FirstPass> pass;
    if (search && reachable) pass = first_pass(reed, search->best, level, {}, model);
    std::optional<CutConsequences> consequences;
    if (search && reachable) {
        consequences = consequences_of(reed, search->best, swing, model);
        warn_if_far(search->best.shift, warnings);
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
        json["zone"] = zone_name;
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
        json["reading_explained"] = explained.explained();
        json["reading_deviations"] = explained.distance;
        json["unknown_spread"] = unknown_spreads(stated);
        json["explanation"] = trusting ? std::vector<std::string>{} : lines;
        json["warnings"] = warnings;
        add_closing(json, stated, true);
        print_json(console.out, json);
    } else {
        std::ostream& out = console.out;
        out << tongue_line(stated) << "\n\n";
        out << fmt::format("reads     {:.2f} Hz, wanted {:.2f} Hz: {}\n", reading.value(), want.value(),
                           cents_text(wanted));
        if (trusting) {
            out << fmt::format("          {} from the pitch of the dimensions, which are trusted\n",
                               cents_text(explained.surprise, 1));
        } else {
            out << fmt::format("          {} from the pitch of the dimensions, {}\n", cents_text(explained.surprise, 1),
                               explained.explained()
                                   ? std::string("explained by what is uncertain")
                                   : fmt::format("{} standard deviations: not explained by what is uncertain",
                                                 explained.distance_text()));
            for (const std::string& line : lines) out << "            " << line << '\n';
        }
        if (const std::string note = unknown_spread_note(stated); !note.empty()) out << "          " << note << '\n';
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
            out << fmt::format("removed   {:.3g} mg in all, {:.3f} mm left at the thinnest place\n", removed_mg,
                               in(thinnest, millimetre));
            print_consequences(out, *consequences);
        }
        // A reading that nothing explains is told on standard error.
        const std::size_t told = explained.explained() ? 0 : reading_warnings(explained).size();
        for (std::size_t i = told; i < warnings.size(); ++i) out << "warning   " << warnings[i] << '\n';
        if (reachable && !on_the_note) print_checklist(out);
        if (reachable) print_closing(out, stated, true);
    }
    if (reachable) return done;
    if (wrong_way)
        console.err << fmt::format("no depth {} brings {}; taking nothing is the best\n",
                                   finds_zone ? "anywhere" : "there", cents_text(wanted));
    else
        console.err << fmt::format(
            "no safe depth {} brings {}; the best is {}{} at {}, {:.2f} Hz, with at most {} to take (half of the "
            "thickness and 20 um stay)\n",
            finds_zone ? "in any zone" : "there", cents_text(wanted),
            finds_zone ? fmt::format("{}, {}: ", zone_name, zone_text(zone)) : std::string(), cents_text(shift),
            micrometres(search->best.cut.depth), pitch_after.value(), micrometres(search->deepest));
    if (wrong_way)
        console.err << (wanted.value() < 0.0 ? "metal taken there raises the pitch: choose a zone nearer to the root, "
                                               "or lower it with a load at the tip\n"
                                             : "metal taken there lowers the pitch: choose a zone nearer to the tip\n");
    else
        console.err << (finds_zone ? "what is left: " : "choose a longer zone, or ")
                    << (wanted.value() < 0.0 ? "a load at the tip, or " : "") << "replace the tongue\n";
    return bad_input;
}

}  // namespace

int run_cut(const CutRequest& request, const Console& console) {
    const Reed reed = read_source(request.source);
    const Model model = model_of(request.tier);
    if (!request.depth.empty()) return forward(request, console, reed, model);
    const CutRequest plucked = request.under.empty() ? request : with_plucked_reading(request, console, reed, model);
    if (!plucked.log.empty()) return run_logged_cut(plucked, console, reed, model);
    return inverse(plucked, console, reed, model);
}

}  // namespace reedwright::app
