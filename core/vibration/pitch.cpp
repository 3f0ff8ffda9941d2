#include "core/vibration/pitch.hpp"

#include <cmath>

namespace reedwright {

Vibration vibration_of(const Reed& reed, Model model) {
    return Vibration(reed.tongue, reed.seat, reed.temperature, model);
}

ReedPitch pitch_of(const Reed& reed, const Vibration& vibration) {
    ReedPitch result{vibration.fundamental(), vibration.fundamental(), std::nullopt, true};
    if (reed.air) {
        result.air = air_effect(vibration, *reed.air);
        result.pitch = result.air->pitch;
    }
    const bool at_reference = std::abs(in_celsius(reed.temperature) - 20.0) < 1e-9;
    result.temperature_known = at_reference || (reed.tongue.material.modulus_change && reed.tongue.material.expansion);
    return result;
}

ReedPitch pitch_of(const Reed& reed, Model model) {
    return pitch_of(reed, vibration_of(reed, model));
}

std::optional<double> quality_of(const Reed& reed, const ReedPitch& pitch) {
    if (reed.quality) return reed.quality;
    double loss = pitch.air ? 1.0 / pitch.air->quality : 0.0;
    if (reed.tongue.material.loss_factor) loss += reed.tongue.material.loss_factor->value.value();
    return loss > 0.0 ? std::optional(1.0 / loss) : std::nullopt;
}

}  // namespace reedwright
