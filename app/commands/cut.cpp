#include "app/commands/commands.hpp"
#include "core/retune/cut_effect.hpp"
#include "core/retune/first_pass.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <cmath>
#include <fmt/format.h>
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

void warn_if_deep(const Reed& before, const CutEffect& effect, std::vector<std::string>& warnings) {
    const SafeDepth safe;
    const Length deepest = deepest_cut(before.tongue, effect.cut, safe.least_thickness, safe.least_share);
    if (effect.cut.depth > deepest)
        warnings.push_back(fmt::format("{} is deeper than the {} that leave half of the thickness (common practice, no source)", micrometres(effect.cut.depth), micrometres(deepest)));
}

int forward(const CutRequest& request, const Console& console, const Reed& reed, const Zone& zone, Length ramp, const Model& model) {
    const CutEffect effect = effect_of_cut(reed, {zone, option_quantity<Length>("--depth", request.depth), ramp}, model);
    std::vector<std::string> warnings;
    warn_if_deep(reed, effect, warnings);
    if (request.json) {
        nlohmann::ordered_json json;
        json["shift_cents"] = effect.shift.value();
        json["new_pitch_hz"] = effect.pitch_after.value();
        json["pitch_hz"] = effect.pitch_before.value();
        json["removed_mg"] = in(effect.removed, milligram);
        json["thinnest_mm"] = in(effect.thinnest, millimetre);
        json["depth_um"] = in(effect.cut.depth, micrometre);
        json["zone_mm"] = {in(zone.from, millimetre), in(zone.to, millimetre)};
        json["warnings"] = warnings;
        add_closing(json, reed, true);
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    out << tongue_line(reed) << "\n\n";
    out << fmt::format("cut       {} deep, {}\n", micrometres(effect.cut.depth), zone_text(zone));
    out << fmt::format("shift     {}, from {:.2f} Hz to {:.2f} Hz\n", cents_text(effect.shift), effect.pitch_before.value(), effect.pitch_after.value());
    out << fmt::format("removed   {:.3g} mg, {:.4g} mm left at the thinnest place\n", in(effect.removed, milligram), in(effect.thinnest, millimetre));
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
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
            case Input::width: lines.push_back(fmt::format("{}: {:+.2f} um", input_name(input), amount * 1e6)); break;
            case Input::modulus:
            case Input::density: lines.push_back(fmt::format("{}: {:+.2f} %", input_name(input), amount * 100.0)); break;
            case Input::poisson: lines.push_back(fmt::format("{}: {:+.3f}", input_name(input), amount)); break;
            case Input::seat: lines.push_back(fmt::format("{}: {:+.2f} root thicknesses of give", input_name(input), amount)); break;
        }
    }
    return lines;
}

int inverse(const CutRequest& request, const Console& console, const Reed& stated, const Zone& stated_zone, Length ramp, const Model& model) {
    const Frequency reading = option_pitch("--read", request.reading, stated);
    const Frequency want = option_pitch("--want", request.want, stated);
    const Interval wanted = interval_between(reading, want);
    const double level = option_quantity<Ratio>("--overshoot", request.overshoot).value();
    if (level <= 0.0 || level >= 0.5) throw InputError({Diagnostic{Place{"--overshoot", 0, 0}, fmt::format("{} is outside 0 % to 50 %", request.overshoot), {}, {}}});

    ExplainedReading explained{stated, {}, interval_between(pitch_of(stated, model).pitch, reading), {}};
    if (request.trust != "dimensions") explained = explain_reading(stated, reading, tuner_deviation, model);
    const Reed& reed = explained.reed;
    // A zone at the tip stays at the tip when the reading lengthens the tongue by a hair.
    Zone zone = stated_zone;
    if (stated_zone.to >= stated.tongue.length()) zone.to = reed.tongue.length();
    zone.to = std::min(zone.to, reed.tongue.length());

    std::vector<std::string> warnings;
    if (std::abs(explained.surprise.value()) > 100.0)
        warnings.push_back(fmt::format("the reading lies {} from the pitch of these dimensions: check that it is this reed, and that nothing is cracked or loose", cents_text(explained.surprise, 0)));

    const bool on_the_note = std::abs(wanted.value()) < nothing_to_do_cents;
    std::optional<DepthSearch> search;
    if (!on_the_note) search = find_depth(reed, zone, ramp, wanted, {}, model);
    const bool reachable = on_the_note || search->reachable;
    std::optional<FirstPass> pass;
    if (search && reachable) pass = first_pass(reed, search->best, level, {}, model);
    const Interval shift = search ? search->best.shift : 0.0 * cent;
    const Frequency pitch_after = raised_by(reading, shift);
    const double depth_um = search ? in(search->best.cut.depth, micrometre) : 0.0;
    const double removed_mg = search ? in(search->best.removed, milligram) : 0.0;
    const Length thinnest = search ? search->best.thinnest : reed.tongue.thickness.smallest();
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
        json["first_pass_um"] = pass ? nlohmann::ordered_json(in(pass->depth, micrometre)) : on_the_note ? nlohmann::ordered_json(0.0) : nlohmann::ordered_json(nullptr);
        json["first_pass_cents"] = pass ? nlohmann::ordered_json(pass->shift.value()) : nlohmann::ordered_json(nullptr);
        json["overshoot_chance"] = pass ? nlohmann::ordered_json(pass->overshoot_chance) : nlohmann::ordered_json(nullptr);
        json["zone_mm"] = {in(zone.from, millimetre), in(zone.to, millimetre)};
        json["surprise_cents"] = explained.surprise.value();
        json["explanation"] = request.trust == "dimensions" ? std::vector<std::string>{} : lines;
        json["warnings"] = warnings;
        add_closing(json, stated, true);
        print_json(console.out, json);
    } else {
        std::ostream& out = console.out;
        out << tongue_line(stated) << "\n\n";
        out << fmt::format("reads     {:.2f} Hz, wanted {:.2f} Hz: {}\n", reading.value(), want.value(), cents_text(wanted));
        if (request.trust == "dimensions") {
            out << fmt::format("          {} from the pitch of the dimensions, which are trusted\n", cents_text(explained.surprise, 1));
        } else {
            out << fmt::format("          {} from the pitch of the dimensions, explained by what is uncertain\n", cents_text(explained.surprise, 1));
            for (const std::string& line : lines) out << "            " << line << '\n';
        }
        if (on_the_note) {
            out << "cut       nothing: it is on its note\n";
        } else if (reachable) {
            out << fmt::format("cut       {} deep in all, {}\n", micrometres(search->best.cut.depth), zone_text(zone));
            out << fmt::format("first     {} for {} ({:.0f} % chance to go past the target), then read again\n", micrometres(pass->depth), cents_text(pass->shift, 1), 100.0 * pass->overshoot_chance);
            out << fmt::format("removed   {:.3g} mg in all, {:.4g} mm left at the thinnest place\n", removed_mg, in(thinnest, millimetre));
        }
        for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
        if (reachable) print_closing(out, stated, true);
    }
    if (reachable) return done;
    const bool wrong_way = std::abs(shift.value()) < 1e-6 || (shift.value() < 0.0) != (wanted.value() < 0.0);
    console.err << fmt::format("no safe depth there brings {}; the best is {} at {}, {:.2f} Hz, with at most {} to take (half of the thickness and 20 um stay)\n", cents_text(wanted), cents_text(shift),
                               micrometres(search->best.cut.depth), pitch_after.value(), micrometres(search->deepest));
    if (wrong_way)
        console.err << (wanted.value() < 0.0 ? "metal taken there raises the pitch: choose a zone nearer to the root, or lower it with a load at the tip\n" : "metal taken there lowers the pitch: choose a zone nearer to the tip\n");
    else
        console.err << "choose a longer zone, or " << (wanted.value() < 0.0 ? "a load at the tip, or " : "") << "replace the tongue\n";
    return bad_input;
}

}  // namespace

int run_cut(const CutRequest& request, const Console& console) {
    const Reed reed = read_source(request.source);
    const Zone zone = parse_zone(request.zone, reed.tongue.length());
    const Length ramp = option_quantity<Length>("--ramp", request.ramp);
    const Model model = model_of(request.tier);
    return request.depth.empty() ? inverse(request, console, reed, zone, ramp, model) : forward(request, console, reed, zone, ramp, model);
}

}  // namespace reedwright::app
