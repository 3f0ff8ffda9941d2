// Designs of instruments. What is refused is held exactly in tests/bad_readings.
#include "core/plan/instrument_file.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/tongue/reed_file.hpp"
#include "core/vibration/pitch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace reedwright {
namespace {

const MaterialLibrary& library() {
    static const MaterialLibrary materials(REEDWRIGHT_SOURCE_DIR "/materials");
    return materials;
}

Instrument design(const std::string& text) {
    return read_instrument(read_yaml_text("design.yaml", text), library());
}

const std::string one_reed =
    "reeds:\n  - {cell: 1, row: blow, note: A4, length: 15 mm, width: 2 mm, thickness: 0.161 mm, "
    "material: cuzn37-r630}\n";

TEST(InstrumentFile, A_reed_is_the_same_as_from_a_tongue_file) {
    const Instrument instrument = design("bench: {temperature: 26 degC, humidity: 40 %}\n" + one_reed);
    const Reed alone = read_reed(
        read_yaml_text("tongue.yaml",
                       "note: A4\ntongue: {length: 15 mm, width: 2 mm, thickness: 0.161 mm, material: cuzn37-r630}\n"
                       "temperature: 26 degC\nair: {temperature: 26 degC, humidity: 40 %}\n"),
        library());
    EXPECT_EQ(pitch_of(instrument.reeds.front().reed).pitch, pitch_of(alone).pitch);
    EXPECT_EQ(instrument.reeds.front().reed.note->name(), "A4");
}

TEST(InstrumentFile, What_is_left_out_is_told) {
    EXPECT_THAT(design(one_reed).assumed,
                testing::IsSupersetOf({"tuning.a4 440 Hz", "tuning.temperament equal", "bench.temperature 20 degC",
                                       "bench.allowance 0 cents", "playing.temperature 30 degC", "tolerance 2 cents",
                                       "swing 6 %", "least_life 100 h", "slot.plate_material cuzn37-plate"}));
    EXPECT_THAT(design("swing: 5 %\ntuning: {a4: 442 Hz}\n" + one_reed).assumed,
                testing::Not(testing::IsSupersetOf({"swing 6 %"})));
}

TEST(InstrumentFile, The_common_section_holds_where_a_reed_says_nothing_else) {
    const Instrument instrument = design(
        "swing: 4 %\n"
        "common: {material: cuzn37-r630, plate_material: aluminium-plate, seat: {give: 1.2, sigma: 0.3},\n"
        "         slot: {clearance: 0.05 mm, rest_gap: 0.2 mm}, uncertainty: {thickness: 3 um}}\n"
        "reeds:\n"
        "  - {cell: 1, row: blow, note: A4, length: 15 mm, width: 2 mm, thickness: 0.161 mm}\n"
        "  - {cell: 1, row: draw, note: B4, length: 15 mm, width: 2 mm, thickness: 0.18 mm, material: cusn6-r620,\n"
        "     swing: 3 %, slot: {clearance: 0.02 mm}, seat: {give: 0.9}, plate_material: cuzn37-plate,\n"
        "     loads: [{at: 14 mm, mass: 1 mg}]}\n");
    const InstrumentReed& plain = instrument.reeds[0];
    const InstrumentReed& own = instrument.reeds[1];
    EXPECT_EQ(plain.reed.tongue.material.id, "cuzn37-r630");
    EXPECT_EQ(own.reed.tongue.material.id, "cusn6-r620");
    EXPECT_EQ(plain.reed.slot.plate_material.id, "aluminium-plate");
    EXPECT_EQ(own.reed.slot.plate_material.id, "cuzn37-plate");
    EXPECT_DOUBLE_EQ(in(plain.reed.slot.clearance, millimetre), 0.05);
    EXPECT_DOUBLE_EQ(in(own.reed.slot.clearance, millimetre), 0.02);
    EXPECT_DOUBLE_EQ(in(own.reed.slot.rest_gap, millimetre), 0.2);
    EXPECT_DOUBLE_EQ(plain.reed.seat.give, 1.2);
    EXPECT_DOUBLE_EQ(own.reed.seat.give, 0.9);
    EXPECT_DOUBLE_EQ(own.reed.seat.give_sigma, 0.3);
    EXPECT_DOUBLE_EQ(in(own.reed.spread.thickness, micrometre), 3.0);
    EXPECT_DOUBLE_EQ(plain.swing_share, 0.04);
    EXPECT_DOUBLE_EQ(own.swing_share, 0.03);
    EXPECT_EQ(own.reed.tongue.loads.size(), 1U);
    EXPECT_EQ(own.place(), "1 draw");
}

TEST(InstrumentFile, The_bench_target_holds_temperament_offset_beats_and_allowance) {
    const Instrument instrument = design(
        "tuning: {a4: 442 Hz, temperament: just, key: C, offsets: {C5: -4 cents}}\n"
        "bench: {allowance: 3 cents}\n"
        "common: {material: cuzn37-r630}\n"
        "reeds:\n"
        "  - {cell: 1, row: low, note: C5, length: 13 mm, width: 2 mm, thickness: 0.15 mm}\n"
        "  - {cell: 1, row: high, note: C5, beats: 2 Hz, length: 13 mm, width: 2 mm, thickness: 0.15 mm}\n");
    // A just C is 3/5 of A, an octave up 6/5.
    const Frequency low = bench_target(instrument, instrument.reeds[0], instrument.tuning);
    EXPECT_NEAR(low.value(), raised_by(442.0 * 6.0 / 5.0 * hertz, -1.0 * cent).value(), 1e-9);
    const Frequency high = bench_target(instrument, instrument.reeds[1], instrument.tuning);
    EXPECT_NEAR((high - low).value(), raised_by(2.0 * hertz, 3.0 * cent).value(), 1e-9);
    EXPECT_THAT(instrument.rows(), testing::ElementsAre("low", "high"));
}

TEST(InstrumentFile, Twelve_distances_make_a_temperament) {
    const Instrument instrument = design(
        "tuning: {key: A, temperament: [0 cents, 1 cents, 2 cents, 3 cents, 4 cents, 5 cents, 6 cents, 7 cents, "
        "8 cents, 9 cents, 10 cents, 11 cents]}\n" +
        one_reed);
    EXPECT_DOUBLE_EQ(instrument.tuning.temperament.offset(*parse_note("C5")).value(), 3.0);
}

TEST(InstrumentFile, The_club_mouth_organ_is_near_its_notes) {
    const Instrument instrument =
        read_instrument_file(REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/instrument.yaml", library());
    ASSERT_EQ(instrument.reeds.size(), 20U);
    // Twenty reeds share their seat: it is told once. Every reed states its swing.
    std::vector<std::string> assumed = instrument.assumed;
    std::sort(assumed.begin(), assumed.end());
    EXPECT_EQ(std::adjacent_find(assumed.begin(), assumed.end()), assumed.end());
    EXPECT_THAT(assumed, testing::Not(testing::Contains("swing 6 %")));
    for (const InstrumentReed& one : instrument.reeds)
        // Some 30 cents: the design was rounded to whole micrometres off its notes.
        EXPECT_LT(std::abs(interval_between(instrument.tuning.pitch(one.note), pitch_of(one.reed).pitch).value()), 30.0)
            << one.place();
}

}  // namespace
}  // namespace reedwright
