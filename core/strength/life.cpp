#include "core/strength/life.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

constexpr double default_swing_share = 0.06;
constexpr double first_cycles = 1e3;
constexpr double first_share_of_tensile = 0.9;
constexpr double coverage = 2.0;
const Length notch_sensitivity_length = 0.1 * millimetre;

}  // namespace

Length default_swing(const Tongue& tongue) {
    return default_swing_share * tongue.length();
}

double StressLife::cycles(Pressure amplitude_pa) const {
    return std::pow(amplitude_pa.value() / coefficient_pa, 1.0 / exponent);
}

Pressure StressLife::amplitude(double cycles) const {
    return Pressure::from_value(coefficient_pa * std::pow(cycles, exponent));
}

std::optional<StressLife> stress_life(const Material& material) {
    if (!material.tensile_strength || !material.fatigue_strength) return std::nullopt;
    const double cycles = material.fatigue_cycles ? material.fatigue_cycles->value.value() : 1e8;
    const double high = first_share_of_tensile * material.tensile_strength->value.value();
    const double low = material.fatigue_strength->value.value();
    if (low >= high || cycles <= first_cycles) return std::nullopt;
    const double exponent = std::log(low / high) / std::log(cycles / first_cycles);
    return StressLife{high / std::pow(first_cycles, exponent), exponent, cycles};
}

double strength_spread(const Material& material) {
    if (!material.fatigue_strength || !material.fatigue_strength->sigma) return strength_scatter;
    return std::hypot(strength_scatter, (*material.fatigue_strength->sigma / material.fatigue_strength->value).value());
}

double notch_factor(const Notch& notch) {
    const double concentration = 1.0 + 2.0 * std::sqrt((notch.depth / notch.radius).value());
    const double sensitivity = 1.0 / (1.0 + (notch_sensitivity_length / notch.radius).value());
    return 1.0 + sensitivity * (concentration - 1.0);
}

Life life_of(const Reed& reed, const Vibration& vibration, Length swing, const std::optional<Notch>& notch) {
    Life life{};
    life.swing = swing;
    life.notch_factor = 1.0;
    const double factor = notch ? notch_factor(*notch) : 1.0;
    for (const StressPoint& point : vibration.stress_points(swing)) {
        // A groove is felt within a depth or two of itself.
        const bool at_notch = notch && std::abs((point.at - notch->at).value()) < 2.0 * notch->depth.value() + 0.05e-3;
        const Pressure stress = at_notch ? factor * point.stress : point.stress;
        if (stress <= life.stress) continue;
        life.stress = stress;
        life.worst_at = point.at;
        life.notch_factor = at_notch ? factor : 1.0;
    }
    const Material& material = reed.tongue.material;
    if (material.proof_strength) life.proof_share = (life.stress / material.proof_strength->value).value();
    if (const auto line = stress_life(material)) {
        const double per_hour = 3600.0 * vibration.fundamental().value();
        life.hours = line->cycles(life.stress) / per_hour;
        const double factor_95 = 1.0 + coverage * strength_spread(material);
        life.hours_low = line->cycles(life.stress * factor_95) / per_hour;
        life.hours_high = line->cycles(life.stress / factor_95) / per_hour;
        life.beyond_data = line->cycles(life.stress) > line->known_to_cycles;
    }
    return life;
}

}  // namespace reedwright
