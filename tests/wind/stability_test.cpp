// Whether a reed at rest in the wind begins to speak.
#include "core/wind/stability.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/wind/worked_reed.hpp"

#include <gtest/gtest.h>
#include <cmath>
#include <utility>

namespace reedwright {
namespace {

using test::cubic_centimetres;
using test::worked_reed;

// The worked case is stated within one per second and printed to whole numbers, whose rounding alone adds up to a half;
// the largest difference is 1.05.
constexpr double as_printed = 1.1;

TEST(Stability, The_growth_of_the_worked_case_is_met) {
    const std::pair<double, double> rows[] = {{20, -4.5}, {50, 19},   {100, 43}, {200, 72},
                                              {300, 92},  {500, 111}, {800, 48}, {1200, -15}};
    for (const auto& [pressure, growth] : rows)
        EXPECT_NEAR(reed_mode(worked_reed(), pressure * pascal).growth.value(), growth, as_printed) << pressure;
}

TEST(Stability, A_chamber_of_the_worked_case_damps_one_mounting_and_drives_the_other) {
    struct Row {
        double chamber_cm3;
        Mounting mounting;
        double pressure_pa;
        double growth;
    };
    const Row rows[] = {{10, Mounting::opening, 50, 15},
                        {10, Mounting::opening, 500, 107},
                        {25, Mounting::closing, 50, -3},
                        {25, Mounting::closing, 500, 16}};
    for (const Row& row : rows) {
        BlownReed reed = worked_reed();
        reed.chamber = cubic_centimetres(row.chamber_cm3);
        reed.mounting = row.mounting;
        EXPECT_NEAR(reed_mode(reed, row.pressure_pa * pascal).growth.value(), row.growth, as_printed);
    }
    BlownReed closing = worked_reed();
    closing.chamber = cubic_centimetres(10);
    EXPECT_LT(reed_mode(closing, 50.0 * pascal).growth.value(), 0.0);
    EXPECT_LT(reed_mode(closing, 500.0 * pascal).growth.value(), 0.0);
}

// The rule of the sources in the header of blown_reed.hpp: a closing reed needs the upstream resonance below its pitch,
// an opening reed above.
TEST(Stability, The_upstream_resonance_decides_which_mounting_speaks) {
    for (const double chamber_cm3 : {2.0, 5.0, 10.0, 60.0, 200.0}) {
        BlownReed reed = worked_reed();
        reed.chamber = cubic_centimetres(chamber_cm3);
        const bool below = reed.upstream_resonance() < reed.natural();
        EXPECT_EQ(speaking_range(reed).threshold.has_value(), below) << chamber_cm3;
        reed.mounting = Mounting::opening;
        EXPECT_EQ(speaking_range(reed).threshold.has_value(), !below) << chamber_cm3;
    }
    BlownReed fixed = worked_reed();
    EXPECT_TRUE(speaking_range(fixed).threshold.has_value());
    fixed.mounting = Mounting::opening;
    EXPECT_FALSE(speaking_range(fixed).threshold.has_value());
}

TEST(Stability, A_vast_chamber_is_a_large_supply) {
    BlownReed reed = worked_reed();
    const double fixed = reed_mode(reed, 300.0 * pascal).growth.value();
    reed.chamber = cubic_centimetres(1e6);
    EXPECT_NEAR(reed_mode(reed, 300.0 * pascal).growth.value(), fixed, 0.01);
}

TEST(Stability, Hardly_any_wind_leaves_the_free_decay) {
    const BlownReed reed = worked_reed();
    const double decay = -std::numbers::pi * reed.natural().value() / reed.quality;
    // At a thousandth of a pascal the slow jet still damps by a quarter per second.
    EXPECT_NEAR(reed_mode(reed, 0.001 * pascal).growth.value(), decay, 0.3);
    EXPECT_NEAR(reed_mode(reed, 0.001 * pascal).frequency.value(), 444.0, 0.2);
}

TEST(Stability, The_worked_reed_speaks_from_about_25_pascal_and_chokes_between_800_and_1200) {
    const SpeakingRange range = speaking_range(worked_reed());
    ASSERT_TRUE(range.threshold && range.chokes_at);
    EXPECT_NEAR(range.threshold->value(), 25.0, 1.0);
    EXPECT_GT(range.chokes_at->value(), 800.0);
    EXPECT_LT(range.chokes_at->value(), 1200.0);
    // Both are Hopf points: no growth there, and a change of sign.
    for (const Pressure& point : {*range.threshold, *range.chokes_at})
        EXPECT_NEAR(reed_mode(worked_reed(), point).growth.value(), 0.0, 2e-3);
}

TEST(Stability, A_small_gap_lowers_the_threshold_and_chokes_early) {
    SpeakingRange last;
    for (const double gap_mm : {0.1, 0.2, 0.4}) {
        BlownReed reed = worked_reed();
        reed.rest_gap = gap_mm * millimetre;
        const SpeakingRange range = speaking_range(reed);
        ASSERT_TRUE(range.threshold);
        if (last.threshold) {
            EXPECT_GT(*range.threshold, *last.threshold) << gap_mm;
        }
        if (last.chokes_at && range.chokes_at) {
            EXPECT_GT(*range.chokes_at, *last.chokes_at) << gap_mm;
        }
        last = range;
    }
}

TEST(Stability, A_reed_of_lower_quality_needs_more_wind) {
    BlownReed reed = worked_reed();
    reed.quality = 40.0;
    EXPECT_GT(*speaking_range(reed).threshold, *speaking_range(worked_reed()).threshold);
}

// Cramer 1993, J. Acoust. Soc. Am. 93:2510, at 20 degC and 101325 Pa: 343.3595 m/s dry, 343.9869 m/s at 50 %.
TEST(Stability, The_speed_of_sound_in_moist_air_is_that_of_the_literature) {
    // The ratio of the heats is taken as that of an ideal gas.
    EXPECT_NEAR(sound_speed_of(Air{celsius(20.0), 0.0}).value() / 343.3595, 1.0, 1e-3);
    EXPECT_NEAR(sound_speed_of(Air{celsius(20.0), 0.5}).value() / 343.9869, 1.0, 1e-3);
}

TEST(Stability, Pressures_beyond_the_model_are_refused) {
    for (const double pressure_pa : {0.0, -100.0, 5001.0})
        EXPECT_THROW(reed_mode(worked_reed(), pressure_pa * pascal), InputError) << pressure_pa;
}

}  // namespace
}  // namespace reedwright
