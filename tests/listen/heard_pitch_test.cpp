// Pitches heard in sounds whose pitch is known because they are made from it.
#include "core/listen/heard_pitch.hpp"
#include "tests/listen/reed_sound.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <limits>
#include <stdexcept>

namespace reedwright::test {
namespace {

using testing::HasSubstr;

tl::expected<HeardPitch, Refusal> listen(const std::vector<double>& samples, double rate_hz = 48000.0) {
    return heard_pitch(samples, rate_hz * hertz);
}

double error_cents(const HeardPitch& heard, double true_hz) {
    return interval_between(true_hz * hertz, heard.pitch).value();
}

// Pitch evenly in octaves from 60 Hz to 3 kHz, at both usual rates.
Sound random_reed(Dice& dice) {
    Sound sound;
    sound.rate_hz = dice.uniform(0.0, 1.0) < 0.5 ? 44100.0 : 48000.0;
    sound.pitch_hz = 60.0 * std::pow(50.0, dice.uniform(0.0, 1.0));
    sound.duration_s = dice.uniform(0.45, 1.5);
    sound.harmonics = reed_harmonics(dice, sound.pitch_hz, sound.rate_hz);
    return sound;
}

TEST(HeardPitch, A_reed_in_noise_is_heard_within_three_tenths_of_a_cent_and_never_an_octave_off) {
    Dice dice(1);
    for (int i = 0; i < 200; ++i) {
        Sound sound = random_reed(dice);
        sound.noise_db = -20.0;
        const auto heard = listen(sound_of(sound, dice), sound.rate_hz);
        ASSERT_TRUE(heard) << i << ": " << sound.pitch_hz << " Hz, " << heard.error().sentence;
        // What is asked of it; it was seen to be within 0.03.
        EXPECT_NEAR(error_cents(*heard, sound.pitch_hz), 0.0, 0.3) << i << ": " << sound.pitch_hz << " Hz";
    }
}

TEST(HeardPitch, A_pure_tone_in_noise_is_heard_within_two_tenths_of_a_cent) {
    Dice dice(2);
    for (int i = 0; i < 100; ++i) {
        Sound sound = random_reed(dice);
        sound.harmonics = {1.0};
        sound.noise_db = dice.uniform(-60.0, -15.0);
        const auto heard = listen(sound_of(sound, dice), sound.rate_hz);
        ASSERT_TRUE(heard) << i << ": " << sound.pitch_hz << " Hz, " << heard.error().sentence;
        EXPECT_NEAR(error_cents(*heard, sound.pitch_hz), 0.0, 0.2) << i << ": " << sound.pitch_hz << " Hz";
    }
}

TEST(HeardPitch, Without_noise_only_the_arithmetic_is_left) {
    Dice dice(3);
    for (int i = 0; i < 30; ++i) {
        const Sound sound = random_reed(dice);
        const auto heard = listen(sound_of(sound, dice), sound.rate_hz);
        ASSERT_TRUE(heard) << sound.pitch_hz << " Hz";
        EXPECT_NEAR(error_cents(*heard, sound.pitch_hz), 0.0, 0.001);  // the least uncertainty that is ever stated
    }
}

TEST(HeardPitch, The_stated_uncertainty_covers_the_error_in_95_of_100_cases) {
    Dice dice(4);
    int covered = 0;
    int counted = 0;
    for (int i = 0; i < 700; ++i) {
        Sound sound = random_reed(dice);
        sound.pitch_hz = 60.0 * std::pow(10.0, dice.uniform(0.0, 1.0));
        sound.duration_s = dice.uniform(0.42, 0.8);
        sound.rate_hz = 16000.0;
        sound.harmonics = reed_harmonics(dice, sound.pitch_hz, sound.rate_hz);
        sound.noise_db = dice.uniform(-20.0, -6.0);
        const auto heard = listen(sound_of(sound, dice), sound.rate_hz);
        ASSERT_TRUE(heard) << i << ": " << sound.pitch_hz << " Hz, " << heard.error().sentence;
        // Below twice the least that is stated, that least one covers by itself.
        if (heard->expanded_uncertainty < 0.002 * cent) continue;
        ++counted;
        if (std::abs(error_cents(*heard, sound.pitch_hz)) <= heard->expanded_uncertainty.value()) ++covered;
    }
    ASSERT_GT(counted, 500);
    // Three standard deviations of a share of 0.95 in 500 cases are 0.029.
    EXPECT_NEAR(static_cast<double>(covered) / counted, 0.95, 0.03) << covered << " of " << counted;
}

TEST(HeardPitch, Noise_has_no_pitch) {
    Dice dice(5);
    int heard_as_tone = 0;
    constexpr int tries = 300;
    for (int i = 0; i < tries; ++i) {
        std::vector<double> samples(static_cast<std::size_t>(dice.uniform(3000.0, 40000.0)));
        const double keep = i % 3 == 0 ? 0.0 : i % 3 == 1 ? 0.9 : 0.995;  // white, and falling above 800 and 40 Hz
        double state = 0.0;
        for (double& sample : samples) sample = state = keep * state + 0.02 * dice.normal();
        if (const auto heard = listen(samples)) ++heard_as_tone;
    }
    EXPECT_LE(heard_as_tone, tries / 100);
}

TEST(HeardPitch, A_resonance_that_rings_with_noise_is_seldom_taken_for_a_reed) {
    // Breath noise through a cell of Q 3 to 30: its phase wanders.
    Dice dice(6);
    int heard_as_tone = 0;
    constexpr int tries = 200;
    for (int i = 0; i < tries; ++i) {
        std::vector<double> samples(36000);
        const double turn = 2.0 * std::numbers::pi * dice.uniform(100.0, 2000.0) / 48000.0;
        const double radius = std::exp(-turn / (2.0 * dice.uniform(3.0, 30.0)));
        double last = 0.0, before = 0.0;
        for (double& sample : samples) {
            sample =
                0.05 * (1.0 - radius) * dice.normal() + 2.0 * radius * std::cos(turn) * last - radius * radius * before;
            before = last;
            last = sample;
        }
        if (const auto heard = listen(samples)) ++heard_as_tone;
    }
    EXPECT_LE(heard_as_tone, tries / 100);
}

TEST(HeardPitch, A_missing_fundamental_and_a_loud_overtone_do_not_shift_the_octave) {
    Dice dice(7);
    Sound sound;
    sound.noise_db = -25.0;
    for (const double pitch_hz : {61.0, 130.8, 440.0, 1244.0}) {
        sound.pitch_hz = pitch_hz;
        const std::vector<std::vector<double>> kinds{
            {0.0, 0.7, 1.0, 0.6, 0.5},                // no fundamental
            {0.03, 0.02, 1.0, 0.03, 0.02, 0.1},       // the third 30 dB above its neighbours
            {0.05, 1.0, 0.04, 0.5, 0.05, 0.3},        // odd ones 26 dB down
            {1.0, 0.0, 0.3, 0.0, 0.2, 0.0, 0.1},      // even ones missing
            {0.02, 0.03, 0.05, 0.1, 0.3, 1.0, 0.3}};  // a formant
        for (std::size_t i = 0; i < kinds.size(); ++i) {
            sound.harmonics = kinds[i];
            const auto heard = listen(sound_of(sound, dice));
            ASSERT_TRUE(heard) << pitch_hz << " Hz, kind " << i << ": " << heard.error().sentence;
            EXPECT_NEAR(error_cents(*heard, pitch_hz), 0.0, 0.3) << pitch_hz << " Hz, kind " << i;
        }
    }
}

TEST(HeardPitch, Two_reeds_that_beat_are_told_apart_and_refused) {
    Dice dice(8);
    int told = 0;
    for (int i = 0; i < 40; ++i) {
        Sound one = random_reed(dice);
        one.pitch_hz = dice.uniform(120.0, 1500.0);
        one.duration_s = 2.0;
        one.harmonics = reed_harmonics(dice, one.pitch_hz, one.rate_hz);
        one.noise_db = -35.0;
        Sound other = one;
        const double beats_hz = dice.uniform(2.0, 6.0);
        other.pitch_hz += beats_hz;
        const double share = dice.uniform(0.4, 1.0);
        for (double& amplitude : other.harmonics) amplitude *= dice.uniform(0.8, 1.2);
        auto samples = sound_of(one, dice);
        add(samples, sound_of(other, dice), share);
        const auto heard = listen(samples, one.rate_hz);
        ASSERT_FALSE(heard) << i << ": " << one.pitch_hz << " and " << other.pitch_hz << " Hz";
        if (heard.error().reason != NotHeard::two_reeds) continue;
        ++told;
        EXPECT_THAT(heard.error().sentence, HasSubstr("two reeds sound together"));
        // A bin of two seconds is 0.5 Hz; lines are found to a fifth of it.
        EXPECT_NEAR(std::abs(heard.error().strong->value() - heard.error().weak->value()), beats_hz, 0.2) << i;
    }
    EXPECT_GE(told, 36);
}

TEST(HeardPitch, A_vibrato_is_no_second_reed_and_its_mean_is_heard) {
    Dice dice(9);
    for (int i = 0; i < 20; ++i) {
        Sound sound = random_reed(dice);
        sound.duration_s = 2.0;
        sound.noise_db = -35.0;
        sound.vibrato_cents = dice.uniform(2.0, 6.0);
        sound.vibrato_hz = dice.uniform(3.0, 7.0);
        const auto heard = listen(sound_of(sound, dice), sound.rate_hz);
        ASSERT_TRUE(heard) << i << ": " << heard.error().sentence;
        // Not whole cycles of vibrato: up to half a cycle of six cents in six is over, 6 / (2 pi 6) = 0.16 cent.
        EXPECT_NEAR(error_cents(*heard, sound.pitch_hz), 0.0, 0.3) << i;
    }
}

TEST(HeardPitch, A_drift_is_told_and_widens_the_uncertainty) {
    Dice dice(10);
    Sound sound;
    sound.duration_s = 2.0;
    sound.noise_db = -35.0;
    sound.harmonics = {1.0, 0.5, 0.3, 0.2};
    const auto steady = listen(sound_of(sound, dice));
    sound.drift_cents = -6.0;
    const auto drifting = listen(sound_of(sound, dice));
    ASSERT_TRUE(steady);
    ASSERT_TRUE(drifting);
    EXPECT_LT(steady->wandering.value(), 0.1);
    // Between the middles of the first and last quarter lie three quarters of the drift.
    EXPECT_NEAR(drifting->wandering.value(), 4.5, 0.3);
    EXPECT_GT(drifting->expanded_uncertainty.value(), 1.0);
    EXPECT_LT(steady->expanded_uncertainty.value(), 0.01);
    EXPECT_NEAR(error_cents(*drifting, sound.pitch_hz), 0.0, drifting->expanded_uncertainty.value());

    sound.drift_cents = 100.0;
    const auto gliding = listen(sound_of(sound, dice));
    ASSERT_FALSE(gliding);
    EXPECT_EQ(gliding.error().reason, NotHeard::unsteady);
}

TEST(HeardPitch, The_sounding_stretch_is_found_between_silence) {
    Dice dice(11);
    Sound sound;
    sound.harmonics = {1.0, 0.5, 0.3};
    sound.noise_db = -30.0;
    const auto tone = sound_of(sound, dice);
    std::vector<double> samples(48000 * 3, 0.0);
    for (double& sample : samples) sample = 0.0003 * dice.normal();
    for (std::size_t i = 0; i < tone.size(); ++i) samples[52800 + i] += tone[i];
    const auto heard = listen(samples);
    ASSERT_TRUE(heard) << heard.error().sentence;
    EXPECT_NEAR(heard->from.value(), 1.1, 0.1);
    EXPECT_NEAR(heard->to.value(), 2.1, 0.1);
    EXPECT_NEAR(error_cents(*heard, 440.0), 0.0, 0.05);
}

TEST(HeardPitch, A_plucked_tongue_is_heard_beside_its_second_mode) {
    Dice dice(12);
    for (const double pitch_hz : {150.0, 262.0, 440.0, 900.0}) {
        Sound sound;
        sound.pitch_hz = pitch_hz;
        sound.decay_s = 100.0 / (std::numbers::pi * pitch_hz);  // Q 100
        sound.harmonics = {1.0, 0.2, 0.05};
        sound.noise_db = -40.0;
        Sound second = sound;
        second.pitch_hz *= 6.27;
        second.decay_s /= 6.27;
        second.harmonics = {1.0};
        auto samples = sound_of(sound, dice);
        add(samples, sound_of(second, dice), 0.1);
        const auto heard = listen(samples);
        ASSERT_TRUE(heard) << pitch_hz << " Hz: " << heard.error().sentence;
        EXPECT_NEAR(error_cents(*heard, pitch_hz), 0.0, 0.3) << pitch_hz << " Hz";
    }
}

TEST(HeardPitch, Two_notes_at_once_are_not_one_pitch) {
    Dice dice(13);
    Sound one;
    one.pitch_hz = 261.63;
    one.harmonics = {1.0, 0.6, 0.4, 0.3, 0.2, 0.15};
    one.noise_db = -40.0;
    Sound other = one;
    // Tempered, and just: then both repeat together two octaves down.
    for (const double ratio : {std::exp2(4.0 / 12.0), 1.25, 1.5}) {
        other.pitch_hz = ratio * one.pitch_hz;
        auto samples = sound_of(one, dice);
        add(samples, sound_of(other, dice));
        const auto heard = listen(samples);
        ASSERT_FALSE(heard) << ratio;
        EXPECT_EQ(heard.error().reason, NotHeard::not_harmonic) << ratio << ": " << heard.error().sentence;
    }
}

TEST(HeardPitch, Harmonics_come_back_with_their_levels_and_the_noise_with_its_own) {
    Dice dice(14);
    Sound sound;
    sound.pitch_hz = 523.25;
    sound.harmonics = {0.5, 1.0, 0.1, 0.0, 0.2};
    sound.noise_db = -30.0;
    const auto heard = listen(sound_of(sound, dice));
    ASSERT_TRUE(heard) << heard.error().sentence;
    ASSERT_EQ(heard->harmonics.size(), 5U);
    const std::vector<double> levels{-6.02, 0.0, -20.0, -300.0, -13.98};
    for (const std::size_t i : {0U, 1U, 2U, 4U}) {
        EXPECT_EQ(heard->harmonics[i].number, i + 1);
        // The noise in a harmonic 20 dB down is worth about a tenth of a decibel.
        EXPECT_NEAR(heard->harmonics[i].level_db, levels[i], 0.3);
        ASSERT_TRUE(heard->harmonics[i].off);
        EXPECT_NEAR(heard->harmonics[i].off->value(), 0.0, 2.0 * heard->harmonics[i].off_uncertainty->value() + 0.01);
        EXPECT_TRUE(heard->harmonics[i].used);
    }
    EXPECT_FALSE(heard->harmonics[3].off);
    // Of the white noise's 24 kHz the 32 harmonics span 16.7 kHz, 1.6 dB less. Some 20 blocks of 32 places scatter by
    // 4 %, 0.2 dB.
    EXPECT_NEAR(heard->above_noise_db, 30.0 + 10.0 * std::log10(24000.0 / (32.0 * 523.25)), 0.6);
}

TEST(HeardPitch, A_partial_off_its_place_is_told_and_left_out) {
    Dice dice(15);
    Sound sound;
    sound.pitch_hz = 440.0;
    sound.harmonics = {1.0, 0.5, 0.0, 0.2};
    sound.noise_db = -40.0;
    auto samples = sound_of(sound, dice);
    Sound third;
    third.pitch_hz = 3.0 * 440.0 * std::exp2(3.0 / 1200.0);
    third.harmonics = {1.0};
    add(samples, sound_of(third, dice), 0.05);
    const auto heard = listen(samples);
    ASSERT_TRUE(heard) << heard.error().sentence;
    EXPECT_NEAR(heard->harmonics[2].off->value(), 3.0, 0.1);
    EXPECT_FALSE(heard->harmonics[2].used);
    EXPECT_NEAR(error_cents(*heard, 440.0), 0.0, 0.02);
}

TEST(HeardPitch, Played_faster_the_same_samples_sound_higher_by_as_much) {
    Dice dice(16);
    Sound sound;
    sound.harmonics = {1.0, 0.5, 0.3, 0.2};
    sound.noise_db = -20.0;
    const auto samples = sound_of(sound, dice);
    const auto plain = listen(samples, 48000.0);
    const auto faster = listen(samples, 48000.0 * 1.01);
    ASSERT_TRUE(plain && faster);
    // Blocks may be cut elsewhere, so that the noise differs.
    EXPECT_NEAR(interval_between(plain->pitch * 1.01, faster->pitch).value(), 0.0,
                plain->expanded_uncertainty.value() + faster->expanded_uncertainty.value());
}

TEST(HeardPitch, Too_short_too_quiet_and_senseless_samples_are_refused_in_words) {
    Dice dice(17);
    Sound sound;
    sound.harmonics = {1.0, 0.5};
    sound.duration_s = 0.01;
    EXPECT_EQ(listen(sound_of(sound, dice)).error().reason, NotHeard::too_short);
    sound.duration_s = 0.2;
    sound.pitch_hz = 80.0;
    EXPECT_EQ(listen(sound_of(sound, dice)).error().reason, NotHeard::too_short);
    EXPECT_EQ(listen({}).error().reason, NotHeard::too_short);
    auto quiet = sound_of(Sound{}, dice);
    for (double& sample : quiet) sample *= 1e-4;
    EXPECT_EQ(listen(quiet).error().reason, NotHeard::too_quiet);
    EXPECT_EQ(listen(std::vector<double>(48000, 0.3)).error().reason, NotHeard::too_quiet);  // a direct current
    std::vector<double> broken(48000, 0.1);
    broken[7] = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THROW(static_cast<void>(listen(broken)), std::invalid_argument);
    EXPECT_THROW(static_cast<void>(listen(quiet, 0.0)), std::invalid_argument);
}

}  // namespace
}  // namespace reedwright::test
