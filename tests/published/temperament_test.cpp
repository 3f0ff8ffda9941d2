// Temperaments and beats against ratios and commas.
#include "core/tuning/temperament.hpp"
#include "core/tuning/beats.hpp"

#include <gtest/gtest.h>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string>

namespace reedwright {
namespace {

// Printed to six decimals of a cent.
constexpr double last_digit = 5e-7;

const Frequency a4 = 440.0 * hertz;

Note note(const std::string& name) {
    return *parse_note(name);
}

double tempered_hertz(const Temperament& temperament, const std::string& name) {
    return raised_by(equal_pitch(note(name), a4), temperament.offset(note(name))).value();
}

TEST(Temperament, Five_limit_degrees_have_the_cents_of_their_ratios) {
    // 1200 log2 of the ratios of just intonation, computed.
    struct Row {
        int degree;
        const char* ratio;
        double cents;
    };
    const Temperament just = Temperament::just(note("C4"));
    for (const Row& row :
         {Row{0, "1/1", 0.0}, Row{1, "16/15", 111.731285}, Row{2, "9/8", 203.910002}, Row{3, "6/5", 315.641287},
          Row{4, "5/4", 386.313714}, Row{5, "4/3", 498.044999}, Row{7, "3/2", 701.955001}, Row{8, "8/5", 813.686286},
          Row{9, "5/3", 884.358713}, Row{10, "9/5", 1017.596288}, Row{11, "15/8", 1088.268715}})
        EXPECT_NEAR(just.degree(row.degree).value() + 100.0 * row.degree, row.cents, last_digit) << row.ratio;
    // 45/32 is a just third above 9/8.
    EXPECT_NEAR(just.degree(6).value() + 600.0, 203.910002 + 386.313714, 2.0 * last_digit);
}

TEST(Temperament, The_septimal_seventh_is_a_seventh_partial_and_a_septimal_comma_below_two_fourths) {
    // 7/4 = 968.825906, 4/3 = 498.044999, septimal comma 64/63 = 27.264092 cents, computed.
    const Temperament septimal = Temperament::septimal(note("G3"));
    EXPECT_NEAR(septimal.degree(10).value() + 1000.0, 968.825906, last_digit);
    EXPECT_NEAR(2.0 * 498.044999 - (septimal.degree(10).value() + 1000.0), 27.264092, 3.0 * last_digit);
    // G B D F as 4 : 5 : 6 : 7.
    const double g = tempered_hertz(septimal, "G4");
    EXPECT_NEAR(tempered_hertz(septimal, "B4") / g, 5.0 / 4.0, 1e-12);
    EXPECT_NEAR(tempered_hertz(septimal, "D5") / g, 6.0 / 4.0, 1e-12);
    EXPECT_NEAR(tempered_hertz(septimal, "F5") / g, 7.0 / 4.0, 1e-12);
}

TEST(Temperament, Quarter_comma_fifths_stack_to_pure_thirds) {
    // Fifth 696.578428, syntonic comma 21.506290, 5/4 386.313714 cents, computed.
    const Temperament meantone = Temperament::quarter_comma(note("C4"));
    EXPECT_NEAR(meantone.degree(7).value() + 700.0, 696.578428, last_digit);
    EXPECT_NEAR(701.955001 - (meantone.degree(7).value() + 700.0), 21.506290 / 4.0, 2.0 * last_digit);
    for (const int root : {3, 10, 5, 0, 7, 2, 9, 4})
        EXPECT_NEAR(meantone.degree(root + 4).value() - meantone.degree(root).value() + 400.0, 386.313714, last_digit)
            << root;
    // The wide fifth from G# to Eb is what twelve fifths fall short of seven octaves, beyond a fifth.
    EXPECT_NEAR(meantone.degree(3).value() - meantone.degree(8).value() + 700.0, 8400.0 - 11.0 * 696.578428,
                12.0 * last_digit);
}

TEST(Temperament, A_Pythagorean_comma_is_twelve_fifths_beyond_seven_octaves) {
    // 23.460010 cents, computed.
    EXPECT_NEAR(12.0 * interval_between(2.0 * hertz, 3.0 * hertz).value() - 8400.0, 23.460010, last_digit);
    EXPECT_NEAR(4.0 * interval_between(2.0 * hertz, 3.0 * hertz).value() - 2400.0 -
                    interval_between(4.0 * hertz, 5.0 * hertz).value(),
                21.506290, last_digit);
}

TEST(Temperament, A4_keeps_its_hertz_in_every_temperament_and_key) {
    for (const char* name : {"equal", "just", "septimal", "quarter-comma"})
        for (const char* key : {"C", "F#", "Bb", "A", "E"}) {
            const auto temperament = Temperament::named(name, *parse_key(key));
            ASSERT_TRUE(temperament) << name;
            EXPECT_DOUBLE_EQ(tempered_hertz(*temperament, "A4"), 440.0) << name << " in " << key;
            EXPECT_DOUBLE_EQ(tempered_hertz(*temperament, "A2"), 110.0) << name << " in " << key;
        }
    // So a just C lies a pure sixth below it: 440 * 3 / 5.
    EXPECT_NEAR(tempered_hertz(Temperament::just(note("C4")), "C4"), 264.0, 1e-9);
}

TEST(Temperament, Octaves_stay_pure_and_enharmonic_notes_are_one) {
    const Temperament just = Temperament::just(note("Eb4"));
    EXPECT_EQ(just.offset(note("G2")), just.offset(note("G6")));
    EXPECT_EQ(just.offset(note("F#3")), just.offset(note("Gb3")));
    EXPECT_EQ(just.name(), "just in Eb");
    EXPECT_EQ(Temperament::equal().offset(note("Eb4")).value(), 0.0);
    EXPECT_FALSE(Temperament::named("Equal", note("C4")));
    EXPECT_FALSE(parse_key("H"));
    EXPECT_FALSE(parse_key("C4"));
}

TEST(Temperament, Custom_degrees_count_from_their_key) {
    std::array<Interval, 12> degrees{};
    degrees[2] = -7.0 * cent;  // of D: E
    degrees[7] = 10.0 * cent;  // of D: A, which stays; all others are shifted instead
    const Temperament own = Temperament::custom(note("D4"), degrees);
    EXPECT_DOUBLE_EQ(own.offset(note("A4")).value(), 0.0);
    EXPECT_DOUBLE_EQ(own.offset(note("E5")).value(), -17.0);
    EXPECT_DOUBLE_EQ(own.offset(note("D3")).value(), -10.0);
}

TEST(Beats, Tempered_intervals_beat_as_the_published_table_says) {
    // Equal temperament, computed; to 0.1 in J. Neurosci. 2012, 32:12251, Table 1, after Capleton 2007.
    struct Row {
        const char* low;
        const char* high;
        int p, q;
        double beats;
    };
    for (const Row& row :
         {Row{"F3", "A3", 5, 4, 6.929421}, Row{"C4", "E4", 5, 4, 10.382401}, Row{"F3", "C4", 3, 2, 0.591217},
          Row{"C4", "G4", 3, 2, 0.885824}, Row{"A3", "D4", 4, 3, 0.994304}})
        EXPECT_NEAR(beat_rate(equal_pitch(note(row.low), a4), equal_pitch(note(row.high), a4), row.p, row.q).value(),
                    row.beats, last_digit)
            << row.low << row.high;
}

TEST(Beats, A_tremolo_pair_beats_by_its_difference_of_pitch) {
    EXPECT_DOUBLE_EQ(tremolo_partner(a4, 2.5 * hertz).value(), 442.5);
    EXPECT_DOUBLE_EQ(beat_rate(a4, tremolo_partner(a4, 2.5 * hertz)).value(), 2.5);
    // 442 Hz is 7.851415 cents above 440, computed.
    EXPECT_NEAR(tremolo_offset(a4, 2.0 * hertz).value(), 7.851415, last_digit);
    EXPECT_LT(tremolo_offset(880.0 * hertz, 2.0 * hertz), tremolo_offset(a4, 2.0 * hertz));
    EXPECT_THROW((void)tremolo_partner(10.0 * hertz, -10.0 * hertz), std::invalid_argument);
}

}  // namespace
}  // namespace reedwright
