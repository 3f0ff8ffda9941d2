#include "core/retune/reading.hpp"

#include "core/vibration/pitch.hpp"

#include <cmath>

namespace reedwright {

ExplainedReading explain_reading(const Reed& reed, Frequency reading, Interval deviation, Model model) {
    constexpr int most_rounds = 8;
    constexpr double settled_cents = 1e-4;
    ExplainedReading result{reed, {}, {}, {}};
    double last_cents = INFINITY;
    for (int round = 0; round < most_rounds; ++round) {
        const Vibration vibration = vibration_of(result.reed, model);
        const double missing_cents = interval_between(pitch_of(result.reed, vibration).pitch, reading).value();
        if (round == 0) result.surprise = missing_cents * cent;
        result.remainder = missing_cents * cent;
        if (std::abs(missing_cents - last_cents) < settled_cents) break;
        last_cents = missing_cents;
        // The derivatives belong to the standard deviations as stated, at the reed as it is now.
        const auto gain = cents_per_deviation(result.reed, vibration, model);
        double variance = deviation.value() * deviation.value();
        double explained_cents = missing_cents;
        for (std::size_t i = 0; i < input_count; ++i) {
            variance += gain[i] * gain[i];
            explained_cents += gain[i] * result.deviations[i];
        }
        for (std::size_t i = 0; i < input_count; ++i) result.deviations[i] = gain[i] * explained_cents / variance;
        result.reed = with_deviations(reed, result.deviations);
    }
    return result;
}

}  // namespace reedwright
