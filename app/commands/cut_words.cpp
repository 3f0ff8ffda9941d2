#include "app/commands/cut_words.hpp"

#include "core/retune/choose_cut.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

nlohmann::ordered_json life_json(const Life& life) {
    return {{"stress_mpa", in(life.stress, megapascal)},
            {"worst_mm", in(life.worst_at, millimetre)},
            {"notch_factor", life.notch_factor},
            {"proof_share", or_null(life.proof_share)},
            {"hours", or_null(life.hours)},
            {"hours_low", or_null(life.hours_low)},
            {"hours_high", or_null(life.hours_high)}};
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

}  // namespace

std::string zone_text(const Zone& zone) {
    return fmt::format("{:.4g} to {:.4g} mm from the root", in(zone.from, millimetre), in(zone.to, millimetre));
}

std::string micrometres(Length length) {
    return fmt::format("{:.1f} um", in(length, micrometre));
}

std::string amount(const Cut& cut) {
    if (cut.shape == CutShape::round_tip) return fmt::format("corners rounded to {:.3g} mm", in(cut.depth, millimetre));
    if (cut.shape == CutShape::narrow) return fmt::format("{:.3g} mm of the width", in(cut.depth, millimetre));
    return micrometres(cut.depth) + " deep";
}

void print_checklist(std::ostream& out) {
    out << "\nafter the cut\n";
    for (const std::string& step : after_cut_checklist()) out << "  " << step << '\n';
}

void print_consequences(std::ostream& out, const CutConsequences& c) {
    out << fmt::format(
        "stiffness {:.4g} to {:.4g} N/m of the first mode; second mode {:.3f} to {:.3f} times the first\n",
        c.stiffness_before.value(), c.stiffness_after.value(), c.ratio_before, c.ratio_after);
    out << fmt::format("stress    {:.0f} to {:.0f} MPa at a swing of +-{:.2f} mm, worst at {:.1f} mm",
                       in(c.before.stress, megapascal), in(c.after.stress, megapascal), in(c.before.swing, millimetre),
                       in(c.after.worst_at, millimetre));
    if (c.after.proof_share) out << fmt::format(", {:.0f} % of the proof strength", 100.0 * *c.after.proof_share);
    out << '\n';
    out << fmt::format("life      an estimate: {}{}\n", hours_text(c.after),
                       c.life_kept ? fmt::format(" ({})", life_kept_text(*c.life_kept)) : std::string());
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

std::vector<std::string> explanation_lines(const Reed& stated, const ExplainedReading& explained) {
    std::vector<std::string> lines;
    for (const Input input : all_inputs) {
        const double deviations = explained.deviations[static_cast<std::size_t>(input)];
        const auto sigma = standard_deviation(stated, input);
        if (!sigma) lines.push_back(fmt::format("{}: its spread is not known, left as given", input_name(input)));
        if (!sigma || std::abs(deviations) < 0.05) continue;
        const double moved = deviations * *sigma;
        switch (input) {
            case Input::thickness:
            case Input::length:
            case Input::width:
                lines.push_back(fmt::format("{}: {:+.2f} um", input_name(input), moved * 1e6));
                break;
            case Input::modulus:
            case Input::density:
                lines.push_back(fmt::format("{}: {:+.2f} %", input_name(input), moved * 100.0));
                break;
            case Input::poisson:
                lines.push_back(fmt::format("{}: {:+.3f}", input_name(input), moved));
                break;
            case Input::seat: {
                const double give = std::max(0.0, stated.seat.give + moved);
                lines.push_back(fmt::format("{}: {:.2f} root thicknesses of give instead of {:.2f}{}",
                                            input_name(input), give, stated.seat.give,
                                            give < 0.005 ? "; it cannot give less" : ""));
                break;
            }
        }
    }
    return lines;
}

void warn_of_reading(const Console& console, const ExplainedReading& explained) {
    if (explained.explained()) return;
    for (const std::string& warning : reading_warnings(explained)) console.err << "warning: " << warning << '\n';
}

std::vector<std::string> unknown_spreads(const Reed& reed) {
    std::vector<std::string> names;
    for (const Input input : all_inputs)
        if (!standard_deviation(reed, input)) names.emplace_back(input_name(input));
    return names;
}

std::string unknown_spread_note(const Reed& reed) {
    const auto names = unknown_spreads(reed);
    if (names.empty()) return "";
    return fmt::format("nobody has stated a spread of {}: passes use the uncertainty of the dimensions alone",
                       fmt::join(names, ", "));
}

double overshoot_level(const CutRequest& request) {
    const double level = option_quantity<Ratio>("--overshoot", request.overshoot).value();
    if (level <= 0.0 || level >= 0.5)
        throw InputError({Diagnostic{
            Place{"--overshoot", 0, 0}, fmt::format("{} is outside 0 % to 50 %", request.overshoot), {}, {}}});
    return level;
}

}  // namespace reedwright::app
