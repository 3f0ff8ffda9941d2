// Pitches, intervals and beats.
#include "core/tuning/note.hpp"

#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

const Frequency a4 = 440.0 * hertz;

double hertz_of(const char* name) {
    return equal_pitch(*parse_note(name), a4).value();
}

TEST(Tuning, Equal_temperament_on_A4_440_gives_the_known_pitches) {
    // A4 = 440 Hz: ISO 16:1975. f = 440 2^((m - 69) / 12), computed to ten digits.
    EXPECT_NEAR(hertz_of("F3"), 174.6141157, 5e-8);
    EXPECT_NEAR(hertz_of("C4"), 261.6255653, 5e-8);
    EXPECT_NEAR(hertz_of("E4"), 329.6275569, 5e-8);
    EXPECT_NEAR(hertz_of("G4"), 391.9954360, 5e-8);
    EXPECT_NEAR(hertz_of("C8"), 4186.009045, 5e-7);
    EXPECT_DOUBLE_EQ(hertz_of("A4"), 440.0);
    EXPECT_DOUBLE_EQ(hertz_of("F#3"), hertz_of("Gb3"));
    EXPECT_DOUBLE_EQ(hertz_of("Cb4"), hertz_of("B3"));
}

TEST(Tuning, Reference_pitches_and_just_ratios_have_their_cents) {
    // 1200 log2, computed.
    struct Row {
        double from, to, cents;
    };
    for (const Row& row : {Row{440, 442, 7.851415}, Row{440, 435, -19.785747}, Row{440, 432, -31.766654},
                           Row{15, 16, 111.731285}, Row{9, 10, 182.403712}, Row{8, 9, 203.910002},
                           Row{5, 6, 315.641287}, Row{4, 5, 386.313714}, Row{3, 4, 498.044999}, Row{2, 3, 701.955001},
                           Row{5, 8, 813.686286}, Row{3, 5, 884.358713}, Row{4, 7, 968.825906}, Row{5, 9, 1017.596288},
                           Row{8, 15, 1088.268715}, Row{80, 81, 21.506290}, Row{63, 64, 27.264092}})
        EXPECT_NEAR(interval_between(row.from * hertz, row.to * hertz).value(), row.cents, 5e-7)
            << row.to << "/" << row.from;
    EXPECT_NEAR(raised_by(a4, 7.851415 * cent).value(), 442.0, 2e-7);
}

TEST(Tuning, Beats_of_tempered_intervals_match_the_published_table) {
    // |q f_hi - p f_lo| in equal temperament, computed; printed to 0.1 in J. Neurosci. 2012, 32:12251, Table 1,
    // after Capleton 2007.
    struct Row {
        const char* low;
        const char* high;
        int p, q;
        double beats;
    };
    for (const Row& row :
         {Row{"F3", "A3", 5, 4, 6.929421}, Row{"C4", "E4", 5, 4, 10.382401}, Row{"F3", "C4", 3, 2, 0.591217},
          Row{"C4", "G4", 3, 2, 0.885824}, Row{"A3", "D4", 4, 3, 0.994304}})
        EXPECT_NEAR(std::abs(row.q * hertz_of(row.high) - row.p * hertz_of(row.low)), row.beats, 5e-7)
            << row.low << row.high;
}

TEST(Tuning, Notes_keep_their_spelling_and_refuse_what_is_not_a_note) {
    for (const char* name : {"A4", "F#3", "Bb5", "C-1", "G9"}) EXPECT_EQ(parse_note(name)->name(), name);
    EXPECT_EQ(parse_note("f\u266f3")->name(), "F#3");
    EXPECT_EQ(parse_note("B\u266d5")->name(), "Bb5");
    for (const char* wrong : {"", "A", "C#", "H4", "A4x", "4A", "A10", "1E4", "A#b4"})
        EXPECT_FALSE(parse_note(wrong)) << wrong;
}

TEST(Tuning, A_pitch_is_heard_as_hertz_as_a_note_and_as_an_offset) {
    const auto pitch = [](const char* text, const char* own = nullptr) {
        const auto spoken = parse_spoken_pitch(text);
        return spoken ? spoken->resolve(own ? std::optional(*parse_note(own)) : std::nullopt, a4) : std::nullopt;
    };
    EXPECT_DOUBLE_EQ(pitch("437.2Hz")->value(), 437.2);
    EXPECT_DOUBLE_EQ(pitch("A4")->value(), 440.0);
    EXPECT_NEAR(pitch("A4-12c")->value(), 440.0 * std::exp2(-0.01), 1e-9);
    EXPECT_NEAR(pitch("Bb5+3 cents")->value(), hertz_of("Bb5") * std::exp2(3.0 / 1200.0), 1e-9);
    EXPECT_NEAR(pitch("-12c", "A4")->value(), 440.0 * std::exp2(-0.01), 1e-9);
    EXPECT_FALSE(pitch("-12c"));
    for (const char* wrong : {"", "A4-12", "A4-12Hz", "12", "-5Hz", "0Hz", "A4 12 c c", "nanHz"})
        EXPECT_FALSE(pitch(wrong, "A4")) << wrong;
}

TEST(Tuning, The_nearest_note_is_found_on_any_reference) {
    EXPECT_EQ(nearest_note(437.2 * hertz, a4).name(), "A4");
    EXPECT_EQ(nearest_note(466.0 * hertz, a4).name(), "A#4");
    EXPECT_EQ(nearest_note(16.35 * hertz, a4).name(), "C0");
    EXPECT_EQ(nearest_note(15.4 * hertz, a4).name(), "B-1");
    EXPECT_EQ(nearest_note(440.0 * hertz, 415.0 * hertz).name(), "A#4");
}

}  // namespace
}  // namespace reedwright
