// The air that the notes of a design lose, and what a design may say of it.
#include "core/plan/note_leaks.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/design_check.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/wind/sounding.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>
#include <fstream>
#include <sstream>

namespace reedwright {
namespace {

using testing::HasSubstr;
using Changes = std::vector<std::pair<std::string, std::string>>;

const MaterialLibrary& library() {
    static const MaterialLibrary all(REEDWRIGHT_SOURCE_DIR "/materials");
    return all;
}

std::string changed_text(const Changes& changes, const std::string& name) {
    std::ifstream stream(REEDWRIGHT_SOURCE_DIR "/designs/" + name);
    std::stringstream all;
    all << stream.rdbuf();
    std::string text = all.str();
    for (const auto& [from, to] : changes) {
        const auto at = text.find(from);
        if (at == std::string::npos) throw std::out_of_range(from);
        text.replace(at, from.size(), to);
    }
    return text;
}

Design planned(const Changes& changes = {}, const std::string& name = "03_ten_hole_brass/equal.yaml") {
    Design design = read_design(read_yaml_text("design.yaml", changed_text(changes, name)), library());
    (void)plan_tongues(design);
    return design;
}

std::string refused(const Changes& changes, const std::string& name = "03_ten_hole_brass/equal.yaml") {
    try {
        (void)read_design(read_yaml_text("design.yaml", changed_text(changes, name)), library());
    } catch (const InputError& error) {
        return error.what();
    }
    return "read without a word";
}

const NoteLeak& note_of(const DesignLeaks& leaks, const Design& design, const std::string& place) {
    for (const NoteLeak& one : leaks.notes)
        if (playing_place(design.instrument, one.note) == place) return one;
    throw std::out_of_range(place);
}

const Pressure half_kilopascal = 500.0 * pascal;

// The example as it stands, worked out once.
const Design& plain_design() {
    static const Design design = planned();
    return design;
}
const DesignLeaks& plain_leaks() {
    static const DesignLeaks leaks = design_leaks(plain_design(), half_kilopascal);
    return leaks;
}

TEST(CellNotes, Blow_and_draw_take_turns_and_pairs_sound_together) {
    const Design& single = plain_design();
    const auto notes = cell_notes(single);
    ASSERT_EQ(notes.size(), 20U);
    for (const CellNote& note : notes) {
        ASSERT_EQ(note.playing.size(), 1U);
        ASSERT_EQ(note.idle.size(), 1U);
        // The inner plate's tongues are pressed in by pressure in the cell.
        EXPECT_EQ(note.wind == CellWind::pressed, single.instrument.reeds[note.playing[0]].row == "blow");
        EXPECT_NE(closing_wind(single, note.idle[0]), note.wind);
    }
    const Design pairs = planned({}, "04_tremolo_bronze/design.yaml");
    for (const CellNote& note : cell_notes(pairs)) {
        EXPECT_EQ(note.playing.size(), 2U);
        EXPECT_EQ(note.idle.size(), 2U);
    }
    // Without plates the words of the rows tell; on plates of cells the faces.
    EXPECT_EQ(cell_notes(planned({}, "02_club_mouth_organ/instrument.yaml")).size(), 20U);
    EXPECT_EQ(cell_notes(planned({}, "05_steel_block/design.yaml")).size(), 24U);
}

TEST(NoteLeaks, A_notes_own_air_is_that_of_its_blown_reed_and_a_silent_one_has_none) {
    const Design& design = plain_design();
    const DesignLeaks& leaks = plain_leaks();
    const auto blown = blown_reeds(design, design.instrument.playing);
    std::size_t silent = 0;
    double own_ml_s = 0.0, lost_ml_s = 0.0;
    for (const NoteLeak& leak : leaks.notes) {
        const BlownReed& reed = blown[leak.note.playing[0]];
        const Sounding sounding = sound(reed, half_kilopascal);
        const bool sounds = sounding.outcome == Outcome::sounds;
        EXPECT_EQ(leak.speaks, sounds);
        silent += sounds ? 0 : 1;
        // The design's flows are followed with a coarser tolerance.
        if (sounds)
            EXPECT_NEAR((leak.own / sounding.mean_flow).value(), 1.0, 1e-3)
                << playing_place(design.instrument, leak.note);
        else
            EXPECT_EQ(leak.own.value(), 0.0);
        if (sounds) own_ml_s += in(leak.own, millilitre_per_second);
        if (sounds) lost_ml_s += in(leak.ranking.loss, millilitre_per_second);
        EXPECT_NEAR((leak.past_reeds + leak.through_joints) / leak.ranking.loss, 1.0, 1e-12);
    }
    EXPECT_GT(silent, 0U);
    EXPECT_LT(silent, 20U);
    EXPECT_EQ(leaks.silent(), silent);
    EXPECT_NEAR(in(leaks.own, millilitre_per_second), own_ml_s, 1e-9 * own_ml_s);
    EXPECT_NEAR(in(leaks.loss_while_speaking, millilitre_per_second), lost_ml_s, 1e-9 * lost_ml_s);
    EXPECT_LT(leaks.loss_while_speaking, leaks.loss);
    // Valves are tried as mends though none is stated, and what they are taken for is told.
    EXPECT_THAT(leaks.assumed, testing::Contains("valves.gap 0.005 mm"));
    EXPECT_THAT(leaks.assumed, testing::Contains("valves.overlap 0.8 mm"));
}

TEST(NoteLeaks, Screws_seal_better_than_pins_and_pressure_lifts_what_suction_draws_on) {
    const DesignLeaks& leaks = plain_leaks();
    ASSERT_TRUE(leaks.joints_known);
    EXPECT_LT(leaks.by_fixing.screws, 0.1 * leaks.by_fixing.pins);
    for (const NoteLeak& leak : leaks.notes)
        EXPECT_DOUBLE_EQ(leak.through_joints.value(), leak.by_fixing.screws.value());
    const Design pinned = planned({{"kind: screws", "kind: pins"}});
    const DesignLeaks with_pins = design_leaks(pinned, half_kilopascal);
    EXPECT_NEAR((with_pins.by_fixing.pins / leaks.by_fixing.pins).value(), 1.0, 1e-12);
    for (const NoteLeak& leak : with_pins.notes)
        EXPECT_DOUBLE_EQ(leak.through_joints.value(), leak.by_fixing.pins.value());
    EXPECT_GT(note_of(with_pins, pinned, "5 blow").through_joints, note_of(with_pins, pinned, "5 draw").through_joints);
    // What mends pins most is what was asked for: screws, on either plate.
    int screws = 0;
    for (const WholeMend& mend : with_pins.mends)
        if (mend.kind == MendKind::screws) {
            ++screws;
            EXPECT_EQ(mend.notes, 20U) << mend.name;
        }
    EXPECT_EQ(screws, 2);
    // A screw that does not clamp is a pin.
    const Design loose = planned({{"kind: screws", "kind: screws\n    clamp: 0 N"}});
    EXPECT_NEAR((design_leaks(loose, half_kilopascal).by_fixing.screws / leaks.by_fixing.pins).value(), 1.0, 1e-12);
}

TEST(NoteLeaks, A_joint_leaks_as_its_land_and_span_say) {
    // Flat plates without load to speak of leave the roughness alone: Q = p r^3 / 12 mu times the sum of run over land.
    const Design design = planned({{"root_line: 9.5 mm",
                                    "root_line: 9.5 mm\n  out_of_flat: 0 mm\n  over: 100 mm\n"
                                    "  roughness: 20 um"},
                                   {"kind: screws", "kind: screws\n    clamp: 5000 N"}});
    const NoteLeak leak = note_of(design_leaks(design, 1.0 * pascal), design, "5 draw");
    const double viscosity =
        moving_air(Air{design.instrument.playing, design.instrument.bench.humidity}).viscosity.value();
    // A cell 5.5 mm wide every 7.5 mm leaves walls of 2 mm; 23 mm deep with 5 mm behind; two plates.
    const double lands = 2.0 * (2.0 * 23.0 / 2.0 + 5.5 / 5.0);
    EXPECT_NEAR(leak.through_joints.value() / (std::pow(20e-6, 3) * lands / (12.0 * viscosity)), 1.0, 1e-6);
}

TEST(NoteLeaks, A_valve_over_a_row_seals_it_and_a_reeds_own_word_stands) {
    const Design& open = plain_design();
    const Changes valves{{"comb: {", "valves: {rows: [blow]}\nreeds:\n  - {cell: 2, row: blow, valve: no}\ncomb: {"}};
    const Design valved = planned(valves);
    const DesignLeaks& before = plain_leaks();
    const DesignLeaks after = design_leaks(valved, half_kilopascal);
    EXPECT_LT(note_of(after, valved, "1 draw").past_reeds, 0.01 * note_of(before, open, "1 draw").past_reeds);
    EXPECT_EQ(note_of(after, valved, "2 draw").past_reeds, note_of(before, open, "2 draw").past_reeds);
    EXPECT_EQ(note_of(after, valved, "1 blow").past_reeds, note_of(before, open, "1 blow").past_reeds);
    EXPECT_EQ(before.mends.front().kind, MendKind::valve);
    EXPECT_EQ(before.mends.front().name, "blow");
    EXPECT_EQ(before.mends.front().notes, 10U);
}

TEST(NoteLeaks, Wax_seals_and_what_is_not_stated_is_told) {
    const Design waxed =
        planned({{"edge: 2.5 mm", "edge: 2.5 mm, fixings: {kind: wax}"}}, "05_steel_block/design.yaml");
    EXPECT_THAT(design_leaks(waxed, half_kilopascal).remarks, testing::ElementsAre(HasSubstr("wax")));
    const Design bare = planned({}, "02_club_mouth_organ/instrument.yaml");
    EXPECT_THAT(design_leaks(bare, half_kilopascal).remarks, testing::ElementsAre(HasSubstr("no plates are stated")));
}

TEST(NoteLeaks, Reeds_that_cannot_be_blown_are_refused_at_their_place_once) {
    const Design pressed =
        planned({{"comb: {", "reeds:\n  - {cell: 2, row: draw, slot: {rest_gap: -0.1 mm}}\ncomb: {"}});
    try {
        (void)design_leaks(pressed, half_kilopascal);
        FAIL() << "a tongue inside its slot was blown";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("2 draw: slot.rest_gap: -0.1 mm lies inside the slot: a closing reed is "
                                            "choked there from the start"));
        EXPECT_GT(error.diagnostics().front().place.line, 10);
    }
    const Design tight = planned({{"clearance: 0.03 mm", "clearance: 0 mm"}}, "02_club_mouth_organ/instrument.yaml");
    try {
        (void)design_leaks(tight, half_kilopascal);
        FAIL() << "a tongue without clearance was blown";
    } catch (const InputError& error) {
        ASSERT_EQ(error.diagnostics().size(), 1U);
        EXPECT_THAT(error.what(), HasSubstr("1 blow and 19 more: slot.clearance: 0 mm leaves the tongue no way"));
    }
    EXPECT_THROW(design_leaks(plain_design(), 5001.0 * pascal), InputError);
    EXPECT_THROW(design_leaks(plain_design(), 0.0 * pascal), InputError);
}

TEST(DesignKeys, Of_air_are_read_strictly) {
    EXPECT_THAT(refused({{"kind: screws", "kind: nails"}}), HasSubstr("'nails' is not one of screws, pins, wax"));
    EXPECT_THAT(refused({{"kind: screws", "kind: screws\n    clamp: 100"}}),
                HasSubstr("plates.fixings.clamp: '100' has no unit, and a force needs one"));
    EXPECT_THAT(refused({{"kind: screws", "kind: screws\n    clamp: 6 kN"}}), HasSubstr("unknown unit 'kN'"));
    EXPECT_THAT(refused({{"kind: screws", "kind: wax"}}), HasSubstr("goes with screws or pins"));
    EXPECT_THAT(refused({{"root_line: 9.5 mm", "root_line: 9.5 mm\n  out_of_flat: -1 um"}}),
                HasSubstr("plates.out_of_flat: -0.001 mm is outside 0 mm to 2 mm"));
    EXPECT_THAT(refused({{"root_line: 9.5 mm", "root_line: 9.5 mm\n  over: 50 mm"}}),
                HasSubstr("is the length over which plates.out_of_flat was measured"));
    EXPECT_THAT(refused({{"comb: {", "valves: {rows: [blew]}\ncomb: {"}}), HasSubstr("did you mean blow?"));
    EXPECT_THAT(refused({{"comb: {", "valves: {gap: 5}\ncomb: {"}}), HasSubstr("valves.gap: '5' has no unit"));
    EXPECT_THAT(refused({{"comb: {", "reeds:\n  - {cell: 2, row: draw, valve: maybe}\ncomb: {"}}), HasSubstr("valve"));
    EXPECT_THAT(refused({{"comb: {", "reeds:\n  - {cell: 2, row: draw, bend: 2}\ncomb: {"}}),
                HasSubstr("bend: '2' has no unit"));
    EXPECT_THAT(refused({{"comb: {", "limits: {joint_leak: 120 %}\ncomb: {"}}), HasSubstr("limits.joint_leak"));
    EXPECT_THAT(refused({{"playing: {temperature: 30 degC}", "playing: {pressure: 9 kPa}"}}),
                HasSubstr("playing.pressure: 9 kPa is outside 1 Pa to 5 kPa"));
}

const Finding* finding(const DesignCheck& check, const std::string& kind, const std::string& where) {
    for (const Finding& one : check.findings)
        if (one.kind == kind && one.where == where) return &one;
    return nullptr;
}

DesignCheck checked(const Changes& changes) {
    Design design =
        read_design(read_yaml_text("design.yaml", changed_text(changes, "03_ten_hole_brass/equal.yaml")), library());
    const auto tongues = plan_tongues(design);
    return check_design(design, tongues);
}

TEST(DesignCheck, Holds_joints_against_a_share_of_the_note_and_all_air_where_asked) {
    const DesignCheck plain = checked({});
    const Finding* joints = finding(plain, "air through the joints, of the note's own", "5 draw");
    ASSERT_NE(joints, nullptr);
    EXPECT_EQ(joints->limit, 1.0);
    EXPECT_TRUE(joints->ok());
    EXPECT_EQ(finding(plain, "air lost in all, of the note's own", "5 draw"), nullptr);
    // A note that does not speak has no air of its own to hold it against.
    EXPECT_EQ(finding(plain, "air through the joints, of the note's own", "10 blow"), nullptr);
    EXPECT_THAT(plain.notes, testing::Contains(HasSubstr("notes do not speak or barely do at 500 Pa in the model")));
    EXPECT_THAT(plain.assumed, testing::Contains(testing::StartsWith("cell.inlet_area 35.8 mm^2 (the comb's cells)")));
    const DesignCheck strict = checked({{"kind: screws", "kind: pins"},
                                        {"root_line: 9.5 mm", "root_line: 9.5 mm\n  out_of_flat: 0.1 mm"},
                                        {"comb: {", "limits: {joint_leak: 0.5 %, air_lost: 40 %}\ncomb: {"}});
    EXPECT_FALSE(strict.passes());
    EXPECT_FALSE(finding(strict, "air through the joints, of the note's own", "5 draw")->ok());
    EXPECT_FALSE(finding(strict, "air lost in all, of the note's own", "5 draw")->ok());
    EXPECT_TRUE(finding(strict, "air lost in all, of the note's own", "1 blow")->ok());
}

// The rule is common practice, no source.
TEST(DesignCheck, Bends_asked_for_are_held_against_the_trades_rule) {
    const auto bend = [](const std::string& place, double cents, const std::string& more = "") {
        const std::string kind = "bend asked for, by the trade's rule";
        const auto blank = place.find(' ');
        const DesignCheck check = checked(
            {{"comb: {", more + "reeds:\n  - {cell: " + place.substr(0, blank) + ", row: " + place.substr(blank + 1) +
                             ", bend: " + std::to_string(cents) + " cents}\ncomb: {"}});
        const Finding* found = finding(check, kind, place);
        return found != nullptr && found->ok();
    };
    EXPECT_TRUE(bend("3 draw", 300.0));
    EXPECT_FALSE(bend("3 draw", 310.0));
    EXPECT_FALSE(bend("3 blow", 50.0));
    EXPECT_TRUE(bend("10 blow", 200.0));
    // Behind a valve a semitone is left.
    EXPECT_FALSE(bend("3 draw", 300.0, "valves: {rows: [blow]}\n"));
    EXPECT_TRUE(bend("3 draw", 100.0, "valves: {rows: [blow]}\n"));
}

}  // namespace
}  // namespace reedwright
