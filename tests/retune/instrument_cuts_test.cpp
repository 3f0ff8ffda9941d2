// The work on a whole instrument.
#include "core/retune/instrument_cuts.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>
#include <set>
#include <string>

namespace reedwright {
namespace {

using testing::Contains;
using testing::HasSubstr;

const std::string folder = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/";

const Instrument& club() {
    static const Instrument instrument =
        read_instrument_file(folder + "instrument.yaml", MaterialLibrary(REEDWRIGHT_SOURCE_DIR "/materials"));
    return instrument;
}

WorkRules own_tuning(const Instrument& instrument) {
    WorkRules rules;
    rules.tuning = instrument.tuning;
    return rules;
}

// Readings from lines without their header.
Readings readings(const Instrument& instrument, const std::string& lines,
                  const std::string& header = "cell,row,reading,temperature,how") {
    return read_readings(read_csv_text("readings.csv", header + "\n" + lines), instrument);
}

ReedWork only(const std::vector<ReedWork>& works) {
    std::vector<ReedWork> read;
    std::copy_if(works.begin(), works.end(), std::back_inserter(read),
                 [](const ReedWork& work) { return work.verdict != Verdict::unread; });
    EXPECT_EQ(read.size(), 1U);
    return read.front();
}

ReedWork work_on(const Instrument& instrument, const std::string& line) {
    return only(instrument_cuts(instrument, readings(instrument, line), own_tuning(instrument)));
}

TEST(InstrumentCuts, Every_reed_of_the_club_gets_the_verdict_of_its_story) {
    const Readings read = read_readings_file(folder + "readings.csv", club());
    const auto works = instrument_cuts(club(), read, own_tuning(club()));
    ASSERT_EQ(works.size(), 20U);
    const auto places = [&](Verdict verdict) {
        std::vector<std::string> result;
        for (const ReedWork& work : works)
            if (work.verdict == verdict) result.push_back(club().reeds[work.reed].place());
        return result;
    };
    EXPECT_THAT(places(Verdict::replace), testing::ElementsAre("4 draw"));
    EXPECT_THAT(places(Verdict::load), testing::ElementsAre("9 draw"));
    EXPECT_THAT(places(Verdict::leave), testing::ElementsAre("3 blow", "2 draw"));
    EXPECT_THAT(places(Verdict::unread), testing::ElementsAre("10 draw"));
    EXPECT_EQ(places(Verdict::cut).size(), 15U);
}

TEST(InstrumentCuts, Work_goes_from_replacements_over_the_rows_and_cells_and_names_each_reed_once) {
    // With so long a life wanted, whatever is sharp gets a load, all over both plates.
    Instrument demanding = club();
    demanding.least_life = 1e5 * 3600.0 * second;
    const auto works =
        instrument_cuts(demanding, read_readings_file(folder + "readings.csv", demanding), own_tuning(demanding));
    EXPECT_GE(std::count_if(works.begin(), works.end(), [](const auto& w) { return w.verdict == Verdict::load; }), 4);
    EXPECT_EQ(works.front().verdict, Verdict::replace);
    EXPECT_EQ(works.back().verdict, Verdict::unread);
    std::set<std::size_t> seen;
    std::vector<std::pair<std::string, int>> cut;
    for (const ReedWork& work : works) {
        EXPECT_TRUE(seen.insert(work.reed).second);
        const InstrumentReed& one = club().reeds[work.reed];
        if (work.verdict == Verdict::cut || work.verdict == Verdict::load) cut.emplace_back(one.row, one.cell);
    }
    // Blow comes before draw by its letters, too.
    EXPECT_TRUE(std::is_sorted(cut.begin(), cut.end()));
}

TEST(InstrumentCuts, A_cut_or_load_done_as_told_reaches_the_target) {
    const auto works = instrument_cuts(club(), read_readings_file(folder + "readings.csv", club()), own_tuning(club()));
    for (const ReedWork& work : works) {
        if (work.verdict != Verdict::cut && work.verdict != Verdict::load) continue;
        // The tongue behind the reading, worked on, solved again.
        const Reed likely = explain_reading(club().reeds[work.reed].reed, *work.on_bench).reed;
        Reed after = likely;
        if (work.cut) after.tongue = after_cut(likely.tongue, work.cut->effect.cut);
        if (work.load) after.tongue.loads.push_back(work.load->load);
        const Interval shift = interval_between(pitch_of(likely).pitch, pitch_of(after).pitch);
        // Depths and masses are found to 0.01 cent.
        EXPECT_NEAR(shift.value(), work.wanted.value(), 0.02) << club().reeds[work.reed].place();
        if (work.first) {
            EXPECT_LT(work.first->depth, work.cut->effect.cut.depth);
            EXPECT_EQ(work.first->depth, first_pass(likely, work.cut->effect).depth);
        }
    }
}

TEST(InstrumentCuts, Readings_come_to_bench_temperature_by_the_drift_of_brass) {
    const ReedWork cold = work_on(club(), "5,blow,655Hz,20 degC,\n");
    const ReedWork warm = work_on(club(), "5,blow,655Hz,30 degC,\n");
    EXPECT_DOUBLE_EQ(cold.on_bench->value(), 655.0);
    // Half of modulus change and expansion, (390 - 20.2) / 2 ppm a kelvin or 0.32 cents, over ten; thinner air gives a
    // few hundredths back.
    EXPECT_NEAR(interval_between(*cold.on_bench, *warm.on_bench).value(), 3.2, 0.1);
    EXPECT_LT(warm.wanted, cold.wanted);
    // Once on its target, a warm tuner shows as much less.
    EXPECT_NEAR(interval_between(warm.warm, warm.target).value(), 3.2, 0.1);
}

TEST(InstrumentCuts, An_unknown_drift_leaves_the_reading_and_says_so) {
    const Instrument plain = read_instrument(
        read_yaml_text("design.yaml",
                       "common: {material: {youngs_modulus: 110 GPa, density: 8530 kg/m^3, poisson_ratio: 0.34}, "
                       "plate_material: cuzn37-plate}\n"
                       "reeds:\n  - {cell: 1, row: blow, note: A4, length: 15 mm, width: 2 mm, thickness: 0.17 mm}\n"),
        MaterialLibrary(REEDWRIGHT_SOURCE_DIR "/materials"));
    const ReedWork work = work_on(plain, "1,blow,436Hz,30 degC,\n");
    EXPECT_DOUBLE_EQ(work.on_bench->value(), 436.0);
    EXPECT_EQ(work.warm, work.target);
    EXPECT_THAT(work.remarks, Contains(HasSubstr("drifts with temperature is not known")));
}

TEST(InstrumentCuts, Nearer_than_the_tolerance_is_left_alone) {
    // The target is 3 cents sharp, the tolerance 2 cents.
    EXPECT_EQ(work_on(club(), "1,blow,+1.1c,,\n").verdict, Verdict::leave);
    EXPECT_EQ(work_on(club(), "1,blow,+4.9c,,\n").verdict, Verdict::leave);
    EXPECT_EQ(work_on(club(), "1,blow,+0.9c,,\n").verdict, Verdict::cut);
    EXPECT_EQ(work_on(club(), "1,blow,+5.1c,,\n").verdict, Verdict::cut);
}

TEST(InstrumentCuts, A_quarter_tone_fallen_is_a_crack_and_less_is_not) {
    EXPECT_EQ(work_on(club(), "4,draw,-46c,,\n").verdict, Verdict::cut);
    const ReedWork fallen = work_on(club(), "4,draw,-48c,,\n");
    EXPECT_EQ(fallen.verdict, Verdict::replace);
    EXPECT_FALSE(fallen.cut);
    EXPECT_THAT(fallen.remarks, Contains(HasSubstr("crack")));
}

TEST(InstrumentCuts, What_is_allowed_for_a_breath_now_makes_no_crack_and_no_other_reed) {
    // Its targets move up, what it was made for does not.
    Instrument breathed = club();
    for (InstrumentReed& one : breathed.reeds) one.allowance = 14.0 * cent;
    const ReedWork plain = work_on(club(), "1,blow,-41c,,\n");
    const ReedWork work = work_on(breathed, "1,blow,-41c,,\n");
    EXPECT_EQ(plain.verdict, Verdict::cut);
    EXPECT_EQ(work.verdict, Verdict::cut);
    EXPECT_NEAR(work.wanted.value(), plain.wanted.value() + 14.0 - 3.0, 1e-9);
    // C5 read 63 cents below what it was made for is cracked, and not B4, for which it would have to be 70 below.
    EXPECT_EQ(work_on(club(), "4,blow,-60c,,\n").verdict, Verdict::replace);
    EXPECT_EQ(work_on(breathed, "4,blow,-60c,,\n").verdict, Verdict::replace);
    // Nor do readings 13 cents below look like an instrument that stands flat, which would hide one 53 below.
    std::string lines;
    for (const char* place : {"1,blow", "2,blow", "3,blow", "4,blow", "5,blow"})
        lines += fmt::format("{},-10c\n", place);
    for (const ReedWork& one : instrument_cuts(
             breathed, readings(breathed, lines + "4,draw,-50c\n", "cell,row,reading"), own_tuning(breathed)))
        if (breathed.reeds[one.reed].place() == "4 draw") {
            EXPECT_EQ(one.verdict, Verdict::replace);
        }
}

TEST(InstrumentCuts, An_instrument_that_is_flat_as_a_whole_is_not_cracked) {
    std::string lines;
    for (const InstrumentReed& one : club().reeds)
        lines += fmt::format("{},{},{}\n", one.cell, one.row, one.place() == "4 draw" ? "-120c" : "-62c");
    const auto works = instrument_cuts(club(), readings(club(), lines, "cell,row,reading"), own_tuning(club()));
    for (const ReedWork& work : works)
        EXPECT_EQ(work.verdict == Verdict::replace, club().reeds[work.reed].place() == "4 draw")
            << club().reeds[work.reed].place() << " " << verdict_name(work.verdict);
}

TEST(InstrumentCuts, Reeds_a_little_flat_all_over_do_not_hide_a_crack) {
    // The others lie 10 cents below their targets, this one 51.
    const auto works = instrument_cuts(
        club(), readings(club(), "1,blow,-7c\n2,blow,-7c\n3,blow,-7c\n4,blow,-7c\n4,draw,-48c\n", "cell,row,reading"),
        own_tuning(club()));
    EXPECT_EQ(works.front().verdict, Verdict::replace);
    EXPECT_EQ(club().reeds[works.front().reed].place(), "4 draw");
}

TEST(InstrumentCuts, A_new_pitch_is_tuned_to_and_not_taken_for_cracks) {
    WorkRules rules = own_tuning(club());
    rules.tuning.a4 = 456.0 * hertz;  // 62 cents up
    const ReedWork work = only(instrument_cuts(club(), readings(club(), "1,blow,+3c,,\n"), rules));
    EXPECT_EQ(work.verdict, Verdict::cut);
    EXPECT_NEAR(work.wanted.value(), 1200.0 * std::log2(456.0 / 440.0), 1e-6);
    // Nor does it look like another reed's reading: C5 on the old pitch is near B4 on one a semitone up.
    rules.tuning.a4 = 466.16 * hertz;
    EXPECT_EQ(only(instrument_cuts(club(), readings(club(), "4,blow,+3c,,\n"), rules)).verdict, Verdict::cut);
}

TEST(InstrumentCuts, A_reading_that_is_right_for_another_reed_is_read_again) {
    // B4 of cell 3 draw read where C5 of cell 4 blow was due.
    const ReedWork work = work_on(club(), "4,blow,494.9Hz,,\n");
    EXPECT_EQ(work.verdict, Verdict::check);
    EXPECT_THAT(work.remarks, Contains(HasSubstr("B4 of cell 3 draw")));
    EXPECT_FALSE(work.cut);
    // The instrument was made for its design's pitch, whatever it is to be tuned to now.
    WorkRules rules = own_tuning(club());
    rules.tuning.a4 = 452.0 * hertz;
    EXPECT_EQ(only(instrument_cuts(club(), readings(club(), "4,blow,494.9Hz,,\n"), rules)).verdict, Verdict::check);
}

TEST(InstrumentCuts, A_short_lived_tongue_is_not_cut_at_its_root_but_loaded) {
    Instrument instrument = club();
    EXPECT_EQ(work_on(instrument, "7,draw,+15c,,\n").verdict, Verdict::cut);
    instrument.least_life = 1e5 * 3600.0 * second;
    const ReedWork loaded = work_on(instrument, "7,draw,+15c,,\n");
    EXPECT_EQ(loaded.verdict, Verdict::load);
    EXPECT_NEAR(loaded.load->shift.value(), loaded.wanted.value(), 0.02);
    // The tip's side costs no hours, and stays open to the file.
    EXPECT_EQ(work_on(instrument, "7,draw,-15c,,\n").verdict, Verdict::cut);
}

TEST(InstrumentCuts, What_neither_file_nor_load_reaches_is_replaced) {
    WorkRules rules = own_tuning(club());
    rules.safe.least_share = 0.999;
    const auto up = only(instrument_cuts(club(), readings(club(), "7,blow,-20c,,\n"), rules));
    EXPECT_EQ(up.verdict, Verdict::replace);
    EXPECT_THAT(up.remarks, Contains(HasSubstr("no safe depth reaches")));
    const auto down = only(instrument_cuts(club(), readings(club(), "7,blow,+20c,,\n"), rules));
    EXPECT_EQ(down.verdict, Verdict::load);
}

TEST(InstrumentCuts, A_swing_beyond_the_proof_strength_leaves_no_cut) {
    Instrument instrument = club();
    instrument.least_life = 0.0 * second;
    for (InstrumentReed& one : instrument.reeds) one.swing_share = 0.4;
    const ReedWork work = work_on(instrument, "7,draw,-15c,,\n");
    EXPECT_EQ(work.verdict, Verdict::replace);
    EXPECT_THAT(work.remarks, Contains(HasSubstr("of the proof strength")));
}

TEST(Readings, Cents_stand_against_the_reeds_own_note_on_the_designs_A4) {
    const Readings read = readings(club(), "1,blow,-12c,,\n1,draw,D4+5c,22 degC,blown\n2,blow,,,\n");
    ASSERT_EQ(read.readings.size(), 2U);
    EXPECT_NEAR(read.readings[0].pitch.value(), 440.0 * std::exp2((-900.0 - 12.0) / 1200.0), 1e-9);
    EXPECT_EQ(read.readings[0].sounded, Sounded::plucked);
    EXPECT_FALSE(read.readings[0].temperature);
    EXPECT_EQ(read.readings[1].sounded, Sounded::blown);
    EXPECT_NEAR(in_celsius(*read.readings[1].temperature), 22.0, 1e-9);
    EXPECT_TRUE(read.in_cents);
    // A line without a reading, and reeds without a line.
    EXPECT_EQ(read.unread.size(), 18U);
    EXPECT_FALSE(readings(club(), "1,blow,261Hz,,\n").in_cents);
}

TEST(Readings, Columns_may_stand_in_any_order) {
    const Readings read = readings(club(), "-12c,blow,1\n", "reading,row,cell");
    EXPECT_EQ(club().reeds[read.readings.front().reed].place(), "1 blow");
}

}  // namespace
}  // namespace reedwright
