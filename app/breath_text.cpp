#include "app/breath_text.hpp"

#include "app/report.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>

namespace reedwright::app {

std::vector<std::string> breath_lines(const Instrument& instrument, const std::vector<BreathAllowance>& allowances,
                                      Pressure pressure) {
    double least = 1e9, most = -1e9, least_warmth = 1e9, most_warmth = -1e9;
    for (const BreathAllowance& one : allowances) {
        if (one.breath.standing == UnderBreath::never) continue;
        least = std::min(least, -one.breath.blown.value());
        most = std::max(most, -one.breath.blown.value());
        least_warmth = std::min(least_warmth, -one.warmth.value());
        most_warmth = std::max(most_warmth, -one.warmth.value());
    }
    std::vector<std::string> lines;
    if (least <= most)
        lines.push_back(fmt::format(
            "under {}, by the model of the blown reed: breath takes {:.1f} to {:.1f} cents, the warmth from {} to {} "
            "{:.1f} to {:.1f} cents; each reed is set so much sharper on the bench, in place of the design's {:.3g} "
            "cents",
            to_text(pressure), least, most, to_text(instrument.bench.temperature), to_text(instrument.playing),
            least_warmth, most_warmth, instrument.bench.allowance.value()));
    for (std::size_t i = 0; i < allowances.size(); ++i) {
        const Breath& breath = allowances[i].breath;
        const InstrumentReed& one = instrument.reeds[i];
        const std::string name = fmt::format("{}, {}", one.place(), one.note.name());
        if (breath.standing == UnderBreath::speaks_above)
            lines.push_back(
                fmt::format("{} does not speak there: allowed for at {:.0f} Pa, from which it does ({:.1f} "
                            "cents for breath)",
                            name, breath.at->value(), -breath.blown.value()));
        else if (breath.standing == UnderBreath::choked)
            lines.push_back(
                fmt::format("{} is choked there: allowed for at {:.0f} Pa, up to which it speaks from rest "
                            "({:.1f} cents for breath)",
                            name, breath.at->value(), -breath.blown.value()));
        else if (breath.standing == UnderBreath::never)
            lines.push_back(
                fmt::format("{} speaks at no pressure of the model: it keeps the design's allowance", name));
        if (!allowances[i].warmth_known)
            lines.push_back(fmt::format("{}: how its alloy drifts is not known, so warmth is not allowed for", name));
    }
    return lines;
}

void add_breath(nlohmann::ordered_json& json, const Instrument& instrument, std::size_t reed,
                const std::vector<BreathAllowance>& allowances) {
    const BreathAllowance& own = allowances[reed];
    const bool never = own.breath.standing == UnderBreath::never;
    json["allowance_cents"] = instrument.reeds[reed].allowance.value_or(instrument.bench.allowance).value();
    json["breath_cents"] = or_null(never ? std::nullopt : std::optional(-own.breath.blown.value()));
    json["warmth_cents"] = -own.warmth.value();
    json["allowed_at_pa"] = or_null(own.breath.at ? std::optional(own.breath.at->value()) : std::nullopt);
    json["speaks_under"] = own.breath.standing == UnderBreath::speaks;
}

}  // namespace reedwright::app
