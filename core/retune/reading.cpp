#include "core/retune/reading.hpp"

#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

constexpr std::size_t modulus = index_of(Input::modulus);
constexpr std::size_t seat = index_of(Input::seat);
// A tongue a quarter tone flat by itself is cracked or loose (common practice, no source).
constexpr double fallen_cents = 50.0;
constexpr double far_off_cents = 100.0;

// Lowest deviation of the seat: there it gives nothing.
double stiffest_seat(const Reed& reed) {
    return reed.seat.give_sigma > 0.0 ? -reed.seat.give / reed.seat.give_sigma : 0.0;
}

bool could_be(const Reed& stated, const Deviations& deviations) {
    const auto amount = [&](Input input) {
        return deviations[index_of(input)] * standard_deviation(stated, input).value_or(0.0);
    };
    const double density = 1.0 + amount(Input::density);
    return amount(Input::thickness) > -0.7 * stated.tongue.thickness.smallest().value() &&
           amount(Input::width) > -0.7 * stated.tongue.width.smallest().value() &&
           amount(Input::length) > -0.3 * stated.tongue.length().value() && amount(Input::modulus) > -0.7 &&
           density > 0.7 && density < 1.4;
}

// As far toward the wanted deviations as a real tongue can be off.
Deviations limited(const Reed& stated, const Deviations& wanted) {
    if (could_be(stated, wanted)) return wanted;
    const auto scaled = [&](double share) {
        Deviations result = wanted;
        for (double& deviation : result) deviation *= share;
        return result;
    };
    double low = 0.0;
    double high = 1.0;
    for (int i = 0; i < 30; ++i) {
        const double middle = 0.5 * (low + high);
        (could_be(stated, scaled(middle)) ? low : high) = middle;
    }
    return scaled(low);
}

// The deviations that most probably make up some cents together, each cents_of its input a standard deviation:
// covariance x cents_of, in the measure that makes up the cents wanted but for the tuner's share.
Deviations most_probable(const std::array<double, input_count>& cents_of, double cents_wanted, double tuner_cents,
                         double lowest_seat, double correlation) {
    const auto made_up = [&](Deviations moved, double wanted) {
        double variance = tuner_cents * tuner_cents;
        for (std::size_t i = 0; i < input_count; ++i) variance += cents_of[i] * moved[i];
        for (double& one : moved) one *= wanted / variance;
        return moved;
    };
    Deviations covariance_times_cents = cents_of;
    covariance_times_cents[modulus] += correlation * cents_of[seat];
    covariance_times_cents[seat] += correlation * cents_of[modulus];
    Deviations result = made_up(covariance_times_cents, cents_wanted);
    if (result[seat] >= lowest_seat) return result;
    // One bound of a convex problem: where the free answer breaks it, the answer lies on it, and the modulus about what
    // goes with such a seat.
    const double modulus_there = correlation * lowest_seat;
    covariance_times_cents = cents_of;
    covariance_times_cents[modulus] *= 1.0 - correlation * correlation;
    covariance_times_cents[seat] = 0.0;
    result = made_up(covariance_times_cents,
                     cents_wanted - cents_of[seat] * lowest_seat - cents_of[modulus] * modulus_there);
    result[modulus] += modulus_there;
    result[seat] = lowest_seat;
    return result;
}

}  // namespace

ExplainedReading explain_reading(const Reed& reed, Frequency reading, Interval deviation, Model model) {
    constexpr int most_rounds = 12;
    constexpr double settled_cents = 1e-4;
    ExplainedReading result{reed, {}, {}, {}};
    double last_cents = INFINITY;
    for (int round = 0; round < most_rounds; ++round) {
        const Vibration vibration = vibration_of(result.reed, model);
        const double missing_cents = interval_between(pitch_of(result.reed, vibration).pitch, reading).value();
        if (round == 0) result.surprise = missing_cents * cent;
        result.remainder = missing_cents * cent;
        if (std::abs(missing_cents - last_cents) < settled_cents || round + 1 == most_rounds) break;
        last_cents = missing_cents;
        // The derivatives belong to the standard deviations as stated, at the reed as it is now.
        const auto gain = cents_per_deviation(result.reed, vibration, model);
        double explained_cents = missing_cents;
        for (std::size_t i = 0; i < input_count; ++i) explained_cents += gain[i] * result.deviations[i];
        result.deviations = limited(reed, most_probable(gain, explained_cents, deviation.value(), stiffest_seat(reed),
                                                        reed.seat.modulus_correlation));
        result.reed = with_deviations(reed, result.deviations);
    }
    double sum = std::pow(result.remainder.value() / std::max(deviation.value(), 1e-6), 2);
    for (const double one : result.deviations) sum += one * one;
    // Of the two that go together, what the seat does beyond what goes with the modulus.
    const double correlation = reed.seat.modulus_correlation;
    const double beyond = result.deviations[seat] - correlation * result.deviations[modulus];
    sum += beyond * beyond / (1.0 - correlation * correlation) - result.deviations[seat] * result.deviations[seat];
    result.distance = std::sqrt(std::max(0.0, sum));
    return result;
}

std::string ExplainedReading::distance_text() const {
    return distance > 20.0 ? std::string("more than 20") : fmt::format("{:.1f}", distance);
}

std::vector<std::string> reading_warnings(const ExplainedReading& explained) {
    std::vector<std::string> warnings;
    const double off = explained.surprise.value();
    if (explained.explained()) {
        if (std::abs(off) > far_off_cents)
            warnings.push_back(fmt::format(
                "the reading lies {:+.0f} cents from the pitch of these dimensions: check that it is this reed, and "
                "that nothing is cracked or loose",
                off));
        return warnings;
    }
    warnings.push_back(fmt::format(
        "the reading is not explained by the stated spreads: it lies {:+.0f} cents from the pitch of these dimensions, "
        "{} standard deviations; {}",
        off, explained.distance_text(),
        off < 0.0 ? "look for a crack at the root, a loose rivet, or another reed, before metal is taken"
                  : "a crack or a loose rivet would flatten it, so look for another reed or a dimension measured "
                    "wrongly, before metal is taken"));
    if (off < -fallen_cents)
        warnings.emplace_back(
            "if it fell there by itself, a quarter tone or more, it has a crack or a loose rivet: make the rivet fast, "
            "or replace the tongue; do not tune it");
    return warnings;
}

}  // namespace reedwright
