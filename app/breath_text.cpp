#include "app/breath_text.hpp"

#include "app/report.hpp"
#include "core/plan/comb_cells.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>

namespace reedwright::app {

namespace {

std::string span_text(const std::vector<double>& cents) {
    const auto [least, most] = std::minmax_element(cents.begin(), cents.end());
    const std::string from = fmt::format("{:.1f}", *least), to = fmt::format("{:.1f}", *most);
    return from == to ? from + " cents" : fmt::format("{} to {} cents", from, to);
}

}  // namespace

BreathSet breath_set(Design& design, Pressure pressure) {
    BreathSet result{pressure, {}, {}, {}};
    constexpr double twice = 2.0;
    result.doubled = breaths(with_inlets(design, twice), pressure, design.instrument.playing);
    result.allowances = allow_for_breath(design, pressure, &result.assumed);
    return result;
}

std::vector<std::string> breath_lines(const Instrument& instrument, const BreathSet& breath) {
    const auto& allowances = breath.allowances;
    std::vector<double> taken, taken_doubled, warmth;
    std::size_t silent = 0, silent_doubled = 0;
    for (std::size_t i = 0; i < allowances.size(); ++i) {
        if (allowances[i].breath.standing != UnderBreath::speaks) ++silent;
        if (breath.doubled[i].standing != UnderBreath::speaks) ++silent_doubled;
        if (allowances[i].breath.standing == UnderBreath::never) continue;
        taken.push_back(-allowances[i].breath.blown.value());
        warmth.push_back(-allowances[i].warmth.value());
        if (breath.doubled[i].standing != UnderBreath::never) taken_doubled.push_back(-breath.doubled[i].blown.value());
    }
    std::vector<std::string> lines;
    if (!taken.empty())
        lines.push_back(fmt::format(
            "under {}, by the model of the blown reed: breath takes {}, the warmth from {} to {} {}; each reed is set "
            "so much sharper on the bench, in place of the design's {:.3g} cents",
            to_text(breath.pressure), span_text(taken), to_text(instrument.bench.temperature),
            to_text(instrument.playing), span_text(warmth), instrument.bench.allowance.value()));
    if (!taken_doubled.empty())
        lines.push_back(fmt::format(
            "what breath takes hangs on the air that moves before the reed, which is not well known: with every inlet "
            "twice as long it would be {}, and {} of {} reeds would not speak there, not {}",
            span_text(taken_doubled), silent_doubled, allowances.size(), silent));
    for (std::size_t i = 0; i < allowances.size(); ++i) {
        const Breath& own = allowances[i].breath;
        const InstrumentReed& one = instrument.reeds[i];
        const std::string name = fmt::format("{}, {}", one.place(), one.note.name());
        if (own.standing == UnderBreath::speaks_above)
            lines.push_back(
                fmt::format("{} does not speak there: allowed for at {:.0f} Pa, from which it does ({:.1f} "
                            "cents for breath)",
                            name, own.at->value(), -own.blown.value()));
        else if (own.standing == UnderBreath::choked)
            lines.push_back(
                fmt::format("{} is choked there: allowed for at {:.0f} Pa, up to which it speaks from rest "
                            "({:.1f} cents for breath)",
                            name, own.at->value(), -own.blown.value()));
        else if (own.standing == UnderBreath::never)
            lines.push_back(
                fmt::format("{} speaks at no pressure of the model: it keeps the design's allowance", name));
        if (!allowances[i].warmth_known)
            lines.push_back(fmt::format("{}: how its alloy drifts is not known, so warmth is not allowed for", name));
    }
    return lines;
}

void add_breath(nlohmann::ordered_json& json, const Instrument& instrument, std::size_t reed, const BreathSet& breath) {
    const BreathAllowance& own = breath.allowances[reed];
    const auto cents = [](const Breath& one) {
        return or_null(one.standing == UnderBreath::never ? std::nullopt : std::optional(-one.blown.value()));
    };
    json["allowance_cents"] = instrument.reeds[reed].allowance.value_or(instrument.bench.allowance).value();
    json["breath_cents"] = cents(own.breath);
    json["breath_cents_inlet_doubled"] = cents(breath.doubled[reed]);
    json["warmth_cents"] = -own.warmth.value();
    json["allowed_at_pa"] = or_null(own.breath.at ? std::optional(own.breath.at->value()) : std::nullopt);
    json["speaks_under"] = own.breath.standing == UnderBreath::speaks;
}

}  // namespace reedwright::app
