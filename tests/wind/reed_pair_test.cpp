// Two reeds in a cell and the player's tract before it.
#include "core/input/diagnostic.hpp"
#include "core/wind/bend_range.hpp"
#include "tests/support/tongues.hpp"
#include "tests/wind/worked_reed.hpp"

#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>

namespace reedwright {
namespace {

using test::cents;
using test::cubic_centimetres;

constexpr double closing_hz = 587.3, opening_hz = 523.25;

// The pair of the worked case: brass of 0.12 mm, uniform-beam mode, modal mass a quarter of the strip's.
BlownReed brass_reed(double pitch_hz, double length_mm) {
    const double omega = 2.0 * std::numbers::pi * pitch_hz;
    const double mass_kg = 0.25 * 8530.0 * length_mm * 2.0 * 0.12 * 1e-9;
    BlownReed reed = test::worked_reed();
    reed.modal_mass = Mass::from_value(mass_kg);
    reed.stiffness = Stiffness::from_value(mass_kg * omega * omega);
    reed.quality = 100.0;
    reed.swept_area = 0.39149567 * length_mm * millimetre * 2.0 * millimetre;
    reed.opening =
        Opening::of_uniform_beam(length_mm * millimetre, 2.0 * millimetre, 0.03 * millimetre, 0.9 * millimetre);
    reed.rest_gap = 0.15 * millimetre;
    return reed;
}

ReedPair worked_pair(double tract_cm3) {
    return {brass_reed(closing_hz, 13.0), brass_reed(opening_hz, 13.6), cubic_centimetres(0.4),
            Tract{cubic_centimetres(tract_cm3), 15.0 * millimetre, 50.0 * millimetre * millimetre, 8.0}};
}

// Computed apart from this project with SciPy's eigenvalues of the same seven states, 300 Pa; printed to 1 per second
// and 0.1 Hz. The density of the brass was not printed; 8530 kg/m^3 is the library's for CuZn30.
TEST(ReedPair, Growth_and_frequency_of_both_modes_are_those_of_the_worked_case) {
    struct Row {
        double tract_cm3, closing_growth, closing_hz, opening_growth, opening_hz;
    };
    const Row rows[] = {{100, 9, 585.7, -46, 522.8},
                        {24, -28, 586.8, 4, 525.1},
                        {12, -76, 588.6, 59, 528.4},
                        {5, -189, 591.3, 147, 536.5},
                        {2, -327, 585.3, 201, 546.8}};
    for (const Row& row : rows) {
        const PairModes modes = pair_modes(worked_pair(row.tract_cm3), 300.0 * pascal);
        EXPECT_NEAR(modes.closing.growth.value(), row.closing_growth, 1.0) << row.tract_cm3;
        EXPECT_NEAR(modes.closing.frequency.value(), row.closing_hz, 0.15) << row.tract_cm3;
        EXPECT_NEAR(modes.opening.growth.value(), row.opening_growth, 1.0) << row.tract_cm3;
        EXPECT_NEAR(modes.opening.frequency.value(), row.opening_hz, 0.15) << row.tract_cm3;
    }
}

TEST(ReedPair, With_a_low_tract_the_closing_reed_sounds_near_its_own_pitch) {
    const PairSounding sounding = sound_pair(worked_pair(100), 300.0 * pascal);
    ASSERT_EQ(sounding.outcome, Outcome::sounds);
    EXPECT_EQ(sounding.speaker, Speaker::closing);
    EXPECT_NEAR(cents(closing_hz, sounding.pitch.value()), -5.0, 3.0);
    EXPECT_GT(sounding.closing_swing, 5.0 * sounding.opening_swing);
}

// "The bent note lies between the two reeds' pitches": Bahnson, Antaki and Beery 1998, J. Acoust. Soc. Am. 103:2134,
// abstract.
TEST(ReedPair, With_a_high_tract_a_note_between_the_pitches_sounds_on_the_opening_reed) {
    for (const double tract_cm3 : {20.0, 12.0, 5.0, 2.0}) {
        const PairSounding sounding = sound_pair(worked_pair(tract_cm3), 300.0 * pascal);
        ASSERT_EQ(sounding.outcome, Outcome::sounds) << tract_cm3;
        EXPECT_EQ(sounding.speaker, Speaker::opening) << tract_cm3;
        EXPECT_GT(sounding.pitch.value(), opening_hz) << tract_cm3;
        EXPECT_LT(sounding.pitch.value(), closing_hz) << tract_cm3;
    }
}

TEST(ReedPair, A_swing_that_just_grows_sounds_at_the_frequency_of_its_mode) {
    const PairModes modes = pair_modes(worked_pair(25.5), 300.0 * pascal);
    ASSERT_GT(modes.opening.growth.value(), 0.0);
    ASSERT_LT(modes.opening.growth.value(), 2.0);
    const PairSounding sounding = sound_pair(worked_pair(25.5), 300.0 * pascal);
    ASSERT_EQ(sounding.outcome, Outcome::sounds);
    EXPECT_NEAR(cents(modes.opening.frequency.value(), sounding.pitch.value()), 0.0, 1.0);
}

TEST(ReedPair, Where_both_modes_are_damped_the_cell_falls_silent) {
    const PairModes modes = pair_modes(worked_pair(35), 300.0 * pascal);
    ASSERT_LT(modes.closing.growth.value(), 0.0);
    ASSERT_LT(modes.opening.growth.value(), 0.0);
    EXPECT_EQ(sound_pair(worked_pair(35), 300.0 * pascal).outcome, Outcome::silent);
}

TEST(ReedPair, A_tongue_hardly_there_leaves_the_other_alone_in_its_tract) {
    // A reed that opens hardly any way and sweeps no air; the other then is a reed on a chamber, but for the loss and
    // the small cell.
    ReedPair pair = worked_pair(12);
    pair.closing.swept_area = 1e-9 * pair.closing.swept_area;
    pair.closing.opening =
        Opening::of_uniform_beam(0.01 * millimetre, 0.01 * millimetre, 1e-4 * millimetre, 0.9 * millimetre);
    pair.closing.rest_gap = 1e-4 * millimetre;
    pair.tract.quality = 1e6;
    pair.cell = cubic_centimetres(0.001);
    BlownReed alone = pair.opening;
    alone.mounting = Mounting::opening;
    alone.chamber = pair.tract.volume;
    alone.inlet_length = pair.tract.length;
    alone.inlet_area = pair.tract.section;
    const WindMode mode = pair_modes(pair, 300.0 * pascal).opening;
    const WindMode expected = reed_mode(alone, 300.0 * pascal);
    // A cell of 1 mm^3 still springs by a thousandth of what the tract does.
    EXPECT_NEAR(mode.growth / expected.growth, 1.0, 2e-3);
    EXPECT_NEAR(cents(expected.frequency.value(), mode.frequency.value()), 0.0, 0.1);
}

TEST(BendRange, The_higher_note_bends_to_between_the_pitches_and_overblows_above) {
    const ReedPair pair = worked_pair(10);
    const BendRange range = bend_range(pair.closing, pair.opening, pair.cell, 300.0 * pascal);
    ASSERT_TRUE(range.unbent && range.floor && range.overblown);
    EXPECT_NEAR(cents(closing_hz, range.unbent->value()), -5.0, 4.0);
    EXPECT_GT(range.floor->value(), opening_hz);
    EXPECT_LT(range.floor->value(), opening_hz * std::exp2(1.0 / 12.0));
    EXPECT_GT(range.overblown->value(), closing_hz);
    // No point of the sweep sounds between and lower than the floor.
    for (const TractPoint& point : range.bend)
        if (point.sounding.outcome == Outcome::sounds) {
            EXPECT_GE(point.sounding.pitch, *range.floor);
        }
    EXPECT_TRUE(std::is_sorted(range.bend.begin(), range.bend.end(),
                               [](const auto& a, const auto& b) { return a.volume > b.volume; }));
}

TEST(BendRange, Reeds_the_wrong_way_round_are_refused) {
    const ReedPair pair = worked_pair(10);
    EXPECT_THROW(bend_range(pair.opening, pair.closing, pair.cell, 300.0 * pascal), InputError);
    EXPECT_THROW(bend_range(pair.closing, pair.opening, pair.cell, 6000.0 * pascal), InputError);
}

}  // namespace
}  // namespace reedwright
