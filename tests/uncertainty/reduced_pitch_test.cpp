#include "core/uncertainty/reduced_pitch.hpp"
#include "tests/uncertainty/random_reeds.hpp"

#include <gtest/gtest.h>

#include <cstdio>

namespace reedwright {

namespace {

// The bound that the reduced strip is held to against the full model.
constexpr double bound_cents = 0.05;

TEST(ReducedPitch, Is_the_full_model_within_a_twentieth_of_a_cent_on_240_random_tongues_out_to_4_standard_deviations) {
    std::mt19937_64 random(42);
    double greatest = 0.0;
    double greatest_shift = 0.0;
    for (int tongue = 0; tongue < 240; ++tongue) {
        const Reed reed = test::random_reed(random);
        const Frequency nominal = pitch_of(reed).pitch;
        const ReducedPitch reduced(reed, Model{});
        // Inside, and at a corner.
        for (const bool corner : {false, true}) {
            Deviations z = test::random_deviations(random, 4.0);
            if (corner)
                for (double& one : z) one = std::copysign(4.0, one);
            const double full = full_model_cents(reed, nominal, z, Model{}).value();
            const double error = std::abs(reduced.cents(z).value() - full);
            EXPECT_LT(error, bound_cents) << "tongue " << tongue << ", " << full << " cents away";
            greatest = std::max(greatest, error);
            greatest_shift = std::max(greatest_shift, std::abs(full));
        }
    }
    RecordProperty("greatest_error_cents", std::to_string(greatest));
    std::printf("greatest error %.4f cent, over shifts up to %.0f cents\n", greatest, greatest_shift);
    // The test has teeth only if the tongues moved.
    EXPECT_GT(greatest_shift, 200.0);
}

TEST(ReducedPitch, Is_nought_for_the_nominal_tongue) {
    std::mt19937_64 random(1);
    // Rounding of a logarithm at one.
    for (int tongue = 0; tongue < 20; ++tongue)
        EXPECT_NEAR(ReducedPitch(test::random_reed(random), Model{}).cents(Deviations{}).value(), 0.0, 1e-9);
}

TEST(ReducedPitch, Each_input_alone_moves_it_as_it_moves_the_full_model) {
    std::mt19937_64 random(5);
    for (int tongue = 0; tongue < 12; ++tongue) {
        const Reed reed = test::random_reed(random);
        const Frequency nominal = pitch_of(reed).pitch;
        const ReducedPitch reduced(reed, Model{});
        for (const Input input : all_inputs)
            for (const double side : {-3.0, 3.0}) {
                Deviations z{};
                z[static_cast<std::size_t>(input)] = side;
                // The full model's own mesh follows the dimensions, by some thousandths of a cent.
                EXPECT_NEAR(reduced.cents(z).value(), full_model_cents(reed, nominal, z, Model{}).value(), 0.02)
                    << input_name(input) << ", tongue " << tongue;
            }
    }
}

TEST(ReducedPitch, Stands_for_the_beam_and_the_bare_plate_as_well) {
    std::mt19937_64 random(9);
    for (const Model& model : {test::beam, test::bare_plate, Model{Tier::strip, true, 1.0, true}})
        for (int tongue = 0; tongue < 6;) {
            const Reed reed = test::random_reed(random);
            if (!ReducedPitch::can_stand_for(reed, model)) continue;
            ++tongue;
            const Deviations z = test::random_deviations(random, 4.0);
            EXPECT_NEAR(ReducedPitch(reed, model).cents(z).value(),
                        full_model_cents(reed, pitch_of(reed, model).pitch, z, model).value(), bound_cents);
        }
}

TEST(ReducedPitch, A_sample_is_the_same_bits_in_every_lane_and_at_every_remainder) {
    std::mt19937_64 random(3);
    const ReducedPitch reduced(test::random_reed(random), Model{});
    constexpr std::size_t count = 23;
    std::array<std::vector<double>, input_count> columns;
    for (auto& column : columns)
        for (std::size_t k = 0; k < count; ++k) column.push_back(test::between(random, -4.0, 4.0));
    const auto run = [&](std::size_t from, std::size_t samples) {
        DeviationColumns spans;
        for (std::size_t i = 0; i < input_count; ++i) spans[i] = std::span(columns[i]).subspan(from, samples);
        std::vector<double> values(samples);
        reduced.cents(spans, values);
        return values;
    };
    const std::vector<double> whole = run(0, count);
    for (std::size_t from = 0; from < count; ++from)
        for (std::size_t samples = 1; from + samples <= count; ++samples) {
            const std::vector<double> part = run(from, samples);
            for (std::size_t k = 0; k < samples; ++k) ASSERT_EQ(part[k], whole[from + k]);
        }
}

TEST(ReducedPitch, Owns_up_to_a_spread_that_it_cannot_stand_for) {
    Reed reed = test::uniform(15.0, 2.0, 0.1);
    test::add_usual_spread(reed);
    EXPECT_TRUE(ReducedPitch::can_stand_for(reed, Model{}));
    EXPECT_LT(ReducedPitch(reed, Model{}).error_bound(40).value(), bound_cents);
    // Two millimetres of width that spread by a sixth: the width no longer follows a parabola.
    reed.spread.width = 0.35 * millimetre;
    EXPECT_GT(ReducedPitch(reed, Model{}).error_bound(40).value(), bound_cents);
    reed.spread.width = 0.5 * millimetre;
    EXPECT_FALSE(ReducedPitch::can_stand_for(reed, Model{}));
    // A rigid root that may loosen: no layer of the clamp in the bare plate.
    Reed rigid = test::uniform(15.0, 2.0, 0.1);
    EXPECT_TRUE(ReducedPitch::can_stand_for(rigid, test::bare_plate));
    rigid.seat.give_sigma = 0.3;
    EXPECT_FALSE(ReducedPitch::can_stand_for(rigid, test::bare_plate));
    EXPECT_TRUE(ReducedPitch::can_stand_for(rigid, Model{}));
}

}  // namespace

}  // namespace reedwright
