// What a reading says about a tongue, and when it says that something else is wrong.
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"
#include "tests/support/tongues.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>

namespace reedwright::test {
namespace {

constexpr std::size_t seat = static_cast<std::size_t>(Input::seat);

Reed sample(double give, double give_sigma) {
    Reed result = uniform(15.0, 2.0, 0.12);
    result.tongue.material.youngs_modulus.sigma = 0.03 * result.tongue.material.youngs_modulus.value;
    result.seat.give = give;
    result.seat.give_sigma = give_sigma;
    return result;
}

ExplainedReading at(const Reed& reed, double off_cents) {
    return explain_reading(reed, raised_by(pitch_of(reed).pitch, off_cents * cent));
}

double spread_cents(const Reed& reed) {
    double variance = std::pow(tuner_deviation.value(), 2);
    for (const double one : cents_per_deviation(reed, vibration_of(reed), {})) variance += one * one;
    return std::sqrt(variance);
}

TEST(Readings, Three_deviations_are_explained_and_more_are_not) {
    const Reed reed = sample(0.64, 0.32);
    const double sigma = spread_cents(reed);
    for (const double deviations : {0.5, 1.0, 2.0, 2.7, 3.3, 4.0})
        for (const double way : {-1.0, 1.0}) {
            const ExplainedReading explained = at(reed, way * deviations * sigma);
            // The model bends a little over a hundred cents: the linear count is right within a twentieth.
            EXPECT_NEAR(explained.distance / deviations, 1.0, 0.05) << way * deviations;
            EXPECT_EQ(explained.explained(), deviations < 3.0);
        }
}

TEST(Readings, The_seat_never_gives_less_than_nothing_and_the_others_take_the_rest) {
    // A wide spread of the seat would let it take most of a sharp reading.
    const Reed reed = sample(0.3, 0.6);
    const ExplainedReading explained = at(reed, 60.0);
    EXPECT_EQ(explained.reed.seat.give, 0.0);
    EXPECT_NEAR(explained.deviations[seat], -0.5, 1e-12);
    // Solved again without it: as well explained as if the seat had been rigid and certain from the start.
    EXPECT_LT(std::abs(explained.remainder.value()), 0.1);
    Reed rigid = sample(0.0, 0.0);
    const ExplainedReading of_rigid = explain_reading(rigid, raised_by(pitch_of(reed).pitch, 60.0 * cent));
    for (std::size_t i = 0; i < input_count; ++i) {
        if (i == seat) continue;
        EXPECT_NEAR(explained.deviations[i], of_rigid.deviations[i], 0.01) << i;
    }
    // A flat reading is free to soften it.
    EXPECT_GT(at(reed, -60.0).reed.seat.give, 0.3);
}

// Twice the negative logarithm of the posterior density, all else than modulus and seat independent.
double badness(const Reed& reed, const Deviations& deviations, Frequency reading) {
    constexpr std::size_t modulus = static_cast<std::size_t>(Input::modulus);
    const double correlation = reed.seat.modulus_correlation;
    const double e = deviations[modulus];
    const double s = deviations[seat];
    double sum = (e * e - 2.0 * correlation * e * s + s * s) / (1.0 - correlation * correlation);
    for (std::size_t i = 0; i < input_count; ++i)
        if (i != modulus && i != seat) sum += deviations[i] * deviations[i];
    const Interval left = interval_between(pitch_of(with_deviations(reed, deviations)).pitch, reading);
    return sum + std::pow(left.value() / tuner_deviation.value(), 2);
}

TEST(Readings, What_a_calibration_ties_together_moves_together_and_no_other_reed_is_more_probable) {
    for (const auto& [give, sigma] : {std::pair(0.64, 0.15), std::pair(0.1, 0.3)})
        for (const double off_cents : {-30.0, 12.0, 60.0}) {
            Reed reed = sample(give, sigma);
            reed.seat.modulus_correlation = 0.9;
            const Frequency reading = raised_by(pitch_of(reed).pitch, off_cents * cent);
            const ExplainedReading explained = explain_reading(reed, reading);
            const double best = badness(reed, explained.deviations, reading);
            EXPECT_NEAR(explained.distance * explained.distance, best, 1e-3 * best);
            const bool held = explained.reed.seat.give == 0.0;
            for (std::size_t i = 0; i < input_count; ++i)
                for (const double step : {-0.05, 0.05}) {
                    if (i == seat && held && step < 0.0) continue;
                    Deviations other = explained.deviations;
                    other[i] += step;
                    EXPECT_GT(badness(reed, other, reading), best)
                        << give << ' ' << off_cents << ' ' << i << ' ' << step;
                }
        }
}

TEST(Readings, No_other_seat_explains_a_sharp_reading_better_than_the_bound) {
    const Reed reed = sample(0.3, 0.6);
    const Frequency reading = raised_by(pitch_of(reed).pitch, 60.0 * cent);
    const double best = explain_reading(reed, reading).distance;
    for (const double give : {0.05, 0.1, 0.2, 0.3}) {
        Reed held = reed;
        held.seat.give = give;
        held.seat.give_sigma = 0.0;
        const double others = explain_reading(held, reading).distance;
        EXPECT_GT(std::hypot(others, (0.3 - give) / 0.6), best) << give;
    }
}

TEST(Readings, However_far_off_a_tongue_remains_a_tongue) {
    const Reed reed = sample(0.64, 0.32);
    for (const double off : {-4000.0, -2500.0, -1200.0, 1200.0, 2500.0, 4000.0}) {
        const ExplainedReading explained = at(reed, off);
        EXPECT_FALSE(explained.explained()) << off;
        EXPECT_GT(explained.reed.tongue.thickness.smallest(), 0.3 * reed.tongue.thickness.smallest()) << off;
        EXPECT_GT(explained.reed.tongue.material.youngs_modulus.value, 0.29 * reed.tongue.material.youngs_modulus.value)
            << off;
        EXPECT_GT(pitch_of(explained.reed).pitch.value(), 0.0) << off;
        EXPECT_EQ(explained.distance_text(), "more than 20") << off;
    }
}

TEST(Readings, A_length_that_is_hardly_known_is_not_thought_a_third_shorter) {
    Reed reed = sample(0.64, 0.01);
    reed.spread.length = 5.0 * millimetre;
    for (const double off : {1500.0, 2500.0, 4000.0}) {
        const double share = (at(reed, off).reed.tongue.length() / reed.tongue.length()).value();
        // As far as a real tongue can be off, and the bisection to it is finer than this.
        EXPECT_GT(share, 0.7 - 1e-6) << off;
        EXPECT_LT(share, 0.72) << off;
    }
}

TEST(Readings, Words_point_to_what_can_be_wrong) {
    using testing::HasSubstr;
    const Reed reed = sample(0.64, 0.32);
    EXPECT_TRUE(reading_warnings(at(reed, 30.0)).empty());
    const auto flat = reading_warnings(at(reed, -200.0));
    ASSERT_EQ(flat.size(), 2U);
    EXPECT_THAT(flat[0], HasSubstr("not explained by the stated spreads: it lies -200 cents"));
    EXPECT_THAT(flat[0], HasSubstr("crack at the root, a loose rivet, or another reed"));
    EXPECT_THAT(flat[1], HasSubstr("a crack or a loose rivet: make the rivet fast, or replace the tongue"));
    const auto sharp = reading_warnings(at(reed, 200.0));
    ASSERT_EQ(sharp.size(), 1U);
    EXPECT_THAT(sharp[0], HasSubstr("another reed"));
    // Wide spreads explain a far reading, which is still worth a look.
    Reed rough = reed;
    rough.spread.thickness = 8.0 * micrometre;
    EXPECT_THAT(reading_warnings(at(rough, -150.0)), testing::ElementsAre(HasSubstr("check that it is this reed")));
}

}  // namespace
}  // namespace reedwright::test
