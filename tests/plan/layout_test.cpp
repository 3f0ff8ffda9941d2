// The usual orders of notes, positions and bends.
#include "core/tuning/layout.hpp"
#include "core/plan/chord_beats.hpp"
#include "core/plan/instrument_file.hpp"

#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

std::string row_of(const std::vector<LayoutPlace>& places, const std::string& row) {
    std::string text;
    for (const LayoutPlace& one : places)
        if (one.row == row) text += one.note.name() + " ";
    text.pop_back();
    return text;
}

// The order of notes: common practice, no source.
TEST(Layout, A_ten_hole_in_C_has_the_usual_notes) {
    const auto places = ten_hole_layout(*parse_note("C4"));
    EXPECT_EQ(row_of(places, "blow"), "C4 E4 G4 C5 E5 G5 C6 E6 G6 C7");
    EXPECT_EQ(row_of(places, "draw"), "D4 G4 B4 D5 F5 A5 B5 D6 F6 A6");
}

TEST(Layout, Other_keys_transpose_it_and_spell_their_own_scale) {
    const auto g = ten_hole_layout(*parse_note("G3"));
    EXPECT_EQ(row_of(g, "draw"), "A3 D4 F#4 A4 C5 E5 F#5 A5 C6 E6");
    const auto b_flat = ten_hole_layout(*parse_note("Bb3"));
    EXPECT_EQ(row_of(b_flat, "draw"), "C4 F4 A4 C5 Eb5 G5 A5 C6 Eb6 G6");
    for (const LayoutPlace& one : ten_hole_layout(*parse_note("F#4"))) EXPECT_LE(std::abs(one.note.accidental), 1);
}

TEST(Layout, A_solo_order_repeats_every_four_cells) {
    const auto places = solo_layout(*parse_note("C4"), 8);
    EXPECT_EQ(row_of(places, "blow"), "C4 E4 G4 C5 C5 E5 G5 C6");
    EXPECT_EQ(row_of(places, "draw"), "D4 F4 A4 B4 D5 F5 A5 B5");
}

TEST(Layout, Positions_go_up_by_fifths) {
    const Note c = *parse_note("C4");
    EXPECT_EQ(position_key(c, 1).name(), "C4");
    EXPECT_EQ(position_key(c, 2).name(), "G4");
    EXPECT_EQ(position_key(c, 3).name(), "D4");
    EXPECT_EQ(position_key(c, 12).name(), "F4");
}

TEST(Layout, The_higher_reed_bends_to_a_semitone_above_the_lower) {
    const Frequency lower = 440.0 * hertz;
    EXPECT_NEAR(bend_by_rule(lower, raised_by(lower, 400.0 * cent)).value(), 300.0, 1e-9);
    // A semitone apart: a fraction.
    EXPECT_NEAR(bend_by_rule(lower, raised_by(lower, 100.0 * cent)).value(), 50.0, 1e-9);
    EXPECT_EQ(bend_by_rule(lower, lower).value(), 0.0);
    // No step anywhere: a cent more apart is never less, nor more than a cent more.
    for (double apart = 1.0; apart < 400.0; apart += 1.0) {
        const double more = (bend_by_rule(lower, raised_by(lower, (apart + 1.0) * cent)) -
                             bend_by_rule(lower, raised_by(lower, apart * cent)))
                                .value();
        EXPECT_GT(more, 0.0) << apart;
        EXPECT_LT(more, 1.0 + 1e-6) << apart;
    }
}

TEST(Layout, A_just_blow_chord_does_not_beat_and_an_equal_one_does) {
    const MaterialLibrary library(REEDWRIGHT_SOURCE_DIR "/materials");
    const std::string folder = REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/";
    const auto blow = [&](const std::string& name) {
        double most = 0.0;
        for (const ChordBeat& beat : chord_beats(read_design_file(folder + name, library).instrument))
            if (beat.row == "blow") most = std::max(most, beat.beats.value());
        return most;
    };
    // C E G are 4 to 5 to 6: nothing is left but rounding.
    EXPECT_NEAR(blow("just.yaml"), 0.0, 1e-9);
    EXPECT_GT(blow("equal.yaml"), 10.0);
}

TEST(Layout, A_whole_tone_beats_as_nine_to_eight_and_every_equal_interval_but_the_semitone_has_its_ratio) {
    const MaterialLibrary library(REEDWRIGHT_SOURCE_DIR "/materials");
    Instrument instrument =
        read_design_file(REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml", library).instrument;
    instrument.reeds.resize(2, instrument.reeds.front());
    const auto beat = [&](int semitones) {
        instrument.reeds[0].row = instrument.reeds[1].row = "blow";
        instrument.reeds[0].cell = 1;
        instrument.reeds[1].cell = 2;
        instrument.reeds[0].note = *parse_note("A4");
        instrument.reeds[1].note = nearest_note(440.0 * std::exp2(semitones / 12.0) * hertz, 440.0 * hertz);
        return chord_beats(instrument);
    };
    EXPECT_TRUE(beat(1).empty());
    // The nearest ratio of each equal interval, of numbers up to 9, by the just ratios in cents: 203.910, 315.641,
    // 386.314, 498.045, 582.512, 701.955, 813.686, 884.359, 1017.596, 1088.269, 1200.
    const std::array<std::array<int, 2>, 11> ratios{
        {{9, 8}, {6, 5}, {5, 4}, {4, 3}, {7, 5}, {3, 2}, {8, 5}, {5, 3}, {9, 5}, {15, 8}, {2, 1}}};
    for (int semitones = 2; semitones <= 12; ++semitones) {
        const auto beats = beat(semitones);
        if (semitones == 11) {
            EXPECT_TRUE(beats.empty());  // 15 to 8 has too large a number
            continue;
        }
        ASSERT_EQ(beats.size(), 1U) << semitones;
        EXPECT_EQ(beats[0].p, ratios[static_cast<std::size_t>(semitones) - 2][0]) << semitones;
        EXPECT_EQ(beats[0].q, ratios[static_cast<std::size_t>(semitones) - 2][1]) << semitones;
    }
    // An equal whole tone: (9 - 8 x 2^(1/6)) of the lower pitch, 0.0203, computed.
    const double low = instrument.tuning.pitch(instrument.reeds[0].note).value();
    EXPECT_NEAR(beat(2)[0].beats.value() / low, 9.0 - 8.0 * std::exp2(1.0 / 6.0), 1e-9);
}

}  // namespace
}  // namespace reedwright
