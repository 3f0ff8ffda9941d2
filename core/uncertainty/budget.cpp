#include "core/uncertainty/budget.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {
// Residuals of the tiers against the solid cases of tests/published; the beam's own error is one-sided
// and far larger.
constexpr double strip_error_cents = 0.3;
constexpr double beam_error_cents = 30.0;
}  // namespace

Budget pitch_budget(const Reed& reed, const Vibration& vibration, Model model) {
    Budget budget;
    budget.model_error = (model.tier == Tier::strip ? strip_error_cents : beam_error_cents) * cent;
    const auto cents = cents_per_deviation(reed, vibration, model);
    double variance = budget.model_error.value() * budget.model_error.value();
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
        variance += effect * effect;
    }
    std::stable_sort(budget.contributions.begin(), budget.contributions.end(),
                     [](const Contribution& a, const Contribution& b) {
                         return a.pitch.value_or(-1.0 * cent) > b.pitch.value_or(-1.0 * cent);
                     });
    if (complete) {
        budget.standard = std::sqrt(variance) * cent;
        budget.expanded = 2.0 * *budget.standard;
    }
    return budget;
}

}  // namespace reedwright
