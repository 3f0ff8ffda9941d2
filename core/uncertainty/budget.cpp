#include "core/uncertainty/budget.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {
// Residuals of the tiers against solids, one standard deviation; the beam's own error is one-sided and far larger.
constexpr double strip_error_cents = 0.3;
constexpr double short_strip_error_cents = 0.6;
constexpr double root_step_error_cents = 2.5;
constexpr double beam_error_cents = 30.0;
const Length near_root = 2.0 * millimetre;
constexpr double steep_slope = 0.3;
constexpr double short_in_widths = 4.0;

bool steps_near_root(const Profile& thickness) {
    const auto& stations = thickness.stations();
    for (std::size_t i = 1; i < stations.size() && stations[i - 1].at < near_root; ++i) {
        const double rise = std::abs((stations[i].value - stations[i - 1].value).value());
        if (rise > 1e-6 && rise > steep_slope * (stations[i].at - stations[i - 1].at).value()) return true;
    }
    return false;
}

double model_error_cents(const Tongue& tongue, const Model& model) {
    if (model.tier == Tier::beam) return beam_error_cents;
    if (steps_near_root(tongue.thickness)) return root_step_error_cents;
    return tongue.length() < short_in_widths * tongue.width.largest() ? short_strip_error_cents : strip_error_cents;
}

}  // namespace

Interval Budget::of_inputs() const {
    double variance = correlated.value() * std::abs(correlated.value());
    for (const Contribution& part : contributions)
        if (part.pitch) variance += part.pitch->value() * part.pitch->value();
    return std::sqrt(std::max(0.0, variance)) * cent;
}

std::string correlation_text(const Budget& budget) {
    return fmt::format("modulus with seat, {:.2f}", budget.correlation);
}

Budget pitch_budget(const Reed& reed, const Vibration& vibration, Model model) {
    Budget budget;
    budget.model_error = model_error_cents(reed.tongue, model) * cent;
    const auto cents = cents_per_deviation(reed, vibration, model);
    bool complete = true;
    for (const Input input : all_inputs) {
        const double effect = cents[static_cast<std::size_t>(input)];
        // The beam knows no Poisson's ratio; the textbook tier leaves it out of the budget.
        if (input == Input::poisson && model.tier == Tier::beam) continue;
        if (!standard_deviation(reed, input)) {
            complete = false;
            budget.contributions.push_back({input, "not known", std::nullopt});
            continue;
        }
        budget.contributions.push_back({input, standard_deviation_text(reed, input), std::abs(effect) * cent});
    }
    budget.correlation = reed.seat.modulus_correlation;
    const double common = 2.0 * budget.correlation * cents[index_of(Input::modulus)] * cents[index_of(Input::seat)];
    budget.correlated = std::copysign(std::sqrt(std::abs(common)), common) * cent;
    std::stable_sort(budget.contributions.begin(), budget.contributions.end(),
                     [](const Contribution& a, const Contribution& b) {
                         return a.pitch.value_or(-1.0 * cent) > b.pitch.value_or(-1.0 * cent);
                     });
    if (complete) {
        budget.standard = std::hypot(budget.of_inputs().value(), budget.model_error.value()) * cent;
        budget.expanded = 2.0 * *budget.standard;
    }
    return budget;
}

}  // namespace reedwright
