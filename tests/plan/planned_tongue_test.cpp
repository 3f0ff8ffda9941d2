// From notes to tongues, and what a design is held against.
#include "core/plan/planned_tongue.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/design_check.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/vibration/pitch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

namespace reedwright {
namespace {

using testing::HasSubstr;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs/";

const MaterialLibrary& library() {
    static const MaterialLibrary all(REEDWRIGHT_SOURCE_DIR "/materials");
    return all;
}

std::string text_of(const std::string& name) {
    std::ifstream stream(designs + name);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

// The design with a piece of its text changed.
Design changed(const std::string& from, const std::string& to,
               const std::string& name = "03_ten_hole_brass/equal.yaml") {
    std::string text = text_of(name);
    const auto at = text.find(from);
    if (at == std::string::npos) throw std::out_of_range(from);
    text.replace(at, from.size(), to);
    return read_design(read_yaml_text("design.yaml", text), library());
}

std::string refused(const std::string& from, const std::string& to) {
    try {
        (void)changed(from, to);
    } catch (const InputError& error) {
        return error.what();
    }
    return "read without a word";
}

class Examples : public testing::TestWithParam<const char*> {};

TEST_P(Examples, Every_note_is_met_within_a_tenth_of_a_cent_as_solved_and_the_design_passes) {
    Design design = read_design_file(designs + GetParam(), library());
    const auto tongues = plan_tongues(design);
    ASSERT_EQ(tongues.size(), design.instrument.reeds.size());
    for (const PlannedTongue& tongue : tongues) {
        const InstrumentReed& one = design.instrument.reeds[tongue.reed];
        EXPECT_LT(std::abs(tongue.error.value()), 0.1) << one.place();
        // The tongue that the design holds sounds what is said of it.
        EXPECT_NEAR(interval_between(tongue.pitch, pitch_of(one.reed).pitch).value(), 0.0, 1e-6) << one.place();
        // Shop steps: lengths of 0.1 mm, thickness of a whole number of steps.
        const double length = in(one.reed.tongue.length(), 0.1 * millimetre);
        EXPECT_NEAR(length, std::round(length), 1e-6);
        for (const Station& station : one.reed.tongue.thickness.stations()) {
            const double steps = in(station.value, design.rules.steps.thickness);
            EXPECT_NEAR(steps, std::round(steps), 1e-6);
        }
        // A step of 2 um on 0.15 mm is 23 cents; the best of the roundings leaves far less than half of it.
        EXPECT_LT(std::abs(tongue.rounded_error.value()), 10.0) << one.place();
    }
    const DesignCheck check = check_design(design, tongues);
    for (const Finding& one : check.findings)
        EXPECT_TRUE(one.ok()) << one.where << ": " << one.kind << " " << one.value;
}

TEST_P(Examples, Lengths_fall_smoothly_from_low_notes_to_high) {
    Design design = read_design_file(designs + GetParam(), library());
    const auto& reeds = design.instrument.reeds;
    for (const InstrumentReed& a : reeds)
        for (const InstrumentReed& b : reeds) {
            if (a.note.semitone() >= b.note.semitone()) continue;
            EXPECT_GE(a.reed.tongue.length().value(), b.reed.tongue.length().value() - 1e-12)
                << a.place() << ", " << b.place();
        }
}

INSTANTIATE_TEST_SUITE_P(All, Examples,
                         testing::Values("03_ten_hole_brass/equal.yaml", "03_ten_hole_brass/just.yaml",
                                         "03_ten_hole_brass/every_key.yaml", "04_tremolo_bronze/design.yaml",
                                         "05_steel_block/design.yaml"));

TEST(Plan, A_tremolo_partner_beats_as_asked) {
    Design design = read_design_file(designs + "04_tremolo_bronze/design.yaml", library());
    const auto tongues = plan_tongues(design);
    for (std::size_t i = 0; i < 16; ++i) {
        const double apart = tongues[i + 16].target.value() - tongues[i].target.value();
        // The bench's allowance of 2 cents raises both, so the beats by a thousandth.
        EXPECT_NEAR(apart, 3.0 * std::exp2(2.0 / 1200.0), 1e-9);
    }
}

TEST(Plan, A_note_beyond_the_strip_names_the_limit_and_what_frees_it) {
    Design design = changed("gauges: [0.18 mm, 0.22 mm, 0.26 mm, 0.30 mm, 0.36 mm]", "gauges: [0.18 mm, 0.22 mm]");
    const auto tongues = plan_tongues(design);
    const PlannedTongue& highest = tongues[9];
    ASSERT_FALSE(highest.in_reach());
    EXPECT_EQ(highest.limits.front().name, "gauge");
    EXPECT_LT(highest.error.value(), -100.0);
    // The remedy is true: the length it names brings the note into reach.
    const std::string& remedy = highest.limits.front().remedy;
    EXPECT_THAT(remedy, HasSubstr("a tongue of about "));
    const double length = std::stod(remedy.substr(std::string("a tongue of about ").size()));
    Design freed = changed("highest: 9.5 mm", "highest: " + std::to_string(length - 0.1) + " mm");
    freed.rules.gauges = {0.22 * millimetre};
    EXPECT_TRUE(plan_tongues(freed)[9].in_reach());
}

TEST(Plan, No_tongue_is_planned_thicker_than_wide) {
    Design design = changed("gauges: [0.18 mm, 0.22 mm, 0.26 mm, 0.30 mm, 0.36 mm]", "gauges: [0.36 mm]");
    Reed& reed = design.instrument.reeds.back().reed;
    reed.tongue.width = Profile::constant(reed.tongue.length(), 0.15 * millimetre);
    reed.seat.root_width = 0.15 * millimetre;
    const PlannedTongue narrow = plan_tongues(design).back();
    ASSERT_FALSE(narrow.in_reach());
    EXPECT_EQ(narrow.limits.front().name, "width");
    EXPECT_THAT(narrow.limits.front().text, testing::HasSubstr("more than it is wide, 0.15 mm"));
    EXPECT_LE(narrow.solved_thickness.largest(), 0.15 * millimetre + 1e-12 * metre);
}

TEST(Plan, Too_wide_a_swing_is_told_with_one_that_lasts) {
    Design design = changed("swing: {lowest: 5.5 %, highest: 1.5 %}", "swing: {lowest: 5.5 %, highest: 5 %}");
    const auto tongues = plan_tongues(design);
    const auto& limits = tongues[9].limits;
    const auto life = std::find_if(limits.begin(), limits.end(), [](const auto& one) { return one.name == "life"; });
    ASSERT_NE(life, limits.end());
    EXPECT_THAT(life->remedy, HasSubstr("a swing of about "));
    EXPECT_FALSE(check_design(design, tongues).passes());
}

TEST(Plan, Mistakes_of_a_design_are_told_at_their_line) {
    EXPECT_THAT(refused("kind: ten-hole", "kind: ten-holes"), HasSubstr("design.yaml:8:16: layout.kind: 'ten-holes'"));
    EXPECT_THAT(refused("first: C4", "first: H4"), HasSubstr("layout.first"));
    EXPECT_THAT(refused("slot_width: 0.005 mm", "slot_width: -0.005 mm"),
                HasSubstr("tolerances.slot_width: -0.005 mm"));
    EXPECT_THAT(refused("width: 28 mm", "width: 20 mm"), HasSubstr("its slot reaches from 9.5 mm"));
    EXPECT_THAT(refused("inner: [blow]", "inner: [blov]"), HasSubstr("did you mean blow?"));
    EXPECT_THAT(refused("family: heavy-tip, waist: 62 %", "family: heavy-tip"), HasSubstr("waist is missing"));
    EXPECT_THAT(refused("common:", "reeds:\n  - {cell: 11, row: blow, note: C4}\ncommon:"),
                HasSubstr("is no place of the layout"));
    EXPECT_THAT(refused("spacing: 7.5 mm", "spacing: 2 mm"), HasSubstr("their slots meet"));
}

TEST(Plan, What_all_reeds_lack_is_told_once_with_the_key_that_gives_it) {
    const auto lines = [](const std::string& text) {
        return 1 + std::count(text.begin(), text.end(), '\n') - std::count(text.begin(), text.end(), '^') * 3;
    };
    std::string refusal = refused("  material: cuzn37-r630\n", "");
    EXPECT_THAT(refusal, HasSubstr("common.material is missing, and 20 reeds state no material of their own"));
    EXPECT_THAT(refusal, HasSubstr("common: {material: cuzn37-r630}"));
    EXPECT_EQ(lines(refusal), 1) << refusal;
    refusal = refused("profiles:", "profile:");
    EXPECT_THAT(refusal, HasSubstr("did you mean profiles?"));
    EXPECT_THAT(refusal, HasSubstr("tongues.profiles is missing, and 20 reeds state no thickness of their own"));
    EXPECT_EQ(lines(refusal), 2) << refusal;
}

TEST(Plan, The_design_of_the_readme_is_the_one_that_is_tested) {
    EXPECT_THAT(text_of("../README.md"), HasSubstr("```yaml\n" + text_of("03_ten_hole_brass/every_key.yaml") + "```"));
}

TEST(Plan, The_way_out_that_is_told_of_a_cell_too_short_for_its_pads_passes_the_check) {
    const std::string refusal = refused("cell_back: 5 mm", "cell_back: 6 mm");
    EXPECT_THAT(refusal, HasSubstr("comb.cell_back of at most 5.3 mm, or plates.root_line of at least 10.2 mm"));
    Design design = changed("cell_back: 5 mm", "cell_back: 5.3 mm");
    for (const Finding& one : check_design(design, plan_tongues(design)).findings) {
        if (one.kind != "pad in cell") continue;
        EXPECT_TRUE(one.ok()) << one.value;
    }
}

TEST(Check, A_comb_wall_and_a_hole_near_a_cell_fail_with_their_numbers) {
    Design design = changed("cell_width: 5.5 mm", "cell_width: 6.8 mm");
    const auto tongues = plan_tongues(design);
    const DesignCheck check = check_design(design, tongues);
    const auto wall = std::find_if(check.findings.begin(), check.findings.end(),
                                   [](const Finding& one) { return one.kind == "comb wall"; });
    ASSERT_NE(wall, check.findings.end());
    EXPECT_NEAR(wall->value, 0.7, 1e-9);
    EXPECT_FALSE(wall->ok());
}

TEST(Check, A_design_that_states_no_tolerances_passes_with_room_left) {
    Design design =
        changed("tolerances: {slot_width: 0.005 mm, tongue_width: 0.005 mm, centring: 0.008 mm, tilt: 0.005 mm}", "");
    const DesignCheck check = check_design(design, plan_tongues(design));
    int sides = 0;
    for (const Finding& one : check.findings) {
        EXPECT_TRUE(one.ok()) << one.where << ": " << one.kind << " " << one.value;
        if (one.kind != "side clearance, worst case") continue;
        ++sides;
        // 30 um of clearance, less half of 5 um twice, 10 um and 5 um.
        EXPECT_NEAR(one.value, 0.010, 1e-12) << one.where;
    }
    EXPECT_EQ(sides, 20);
}

TEST(Check, What_rounding_alone_puts_beyond_a_limit_keeps_it_and_a_picometre_more_does_not) {
    for (const double limit : {0.0, 0.08, 30.0}) {
        for (const bool at_least : {true, false}) {
            const double beyond = at_least ? -1.0 : 1.0;
            EXPECT_TRUE((Finding{"", "", limit + beyond * 1e-14, limit, at_least, "mm", ""}.ok())) << limit;
            EXPECT_FALSE((Finding{"", "", limit + beyond * 2e-9, limit, at_least, "mm", ""}.ok())) << limit;
        }
    }
}

// A uniform tongue's mode, 1 at the tip, has the slope 2 x 0.734096 x 1.875104 / 2 = 1.37651 / L there, and the
// integral of its slope squared is 4.6478 / 4 = 1.16195 / L (closed form of the clamped-free beam, whose usual
// normalisation is 2 at the tip): the corner moves out by h^2 1.37651^2 / (8 x 1.16195 L) at most.
TEST(Check, The_arc_of_a_uniform_tongue_moves_its_corner_out_as_the_closed_form_says) {
    Design design = read_design_file(designs + "03_ten_hole_brass/equal.yaml", library());
    Reed reed = design.instrument.reeds.front().reed;
    const Length length = 15.0 * millimetre;
    reed.tongue.thickness = Profile::constant(length, 0.2 * millimetre);
    reed.tongue.width = Profile::constant(length, 2.0 * millimetre);
    reed.seat.give = 0.0;
    const SlotClearance clearance =
        slot_clearance(reed, vibration_of(reed, {Tier::beam}), 1.0 * millimetre, Tolerances{});
    const double expected_mm = 0.2 * 0.2 * 1.37651 * 1.37651 / (8.0 * 1.16195 * 15.0);
    // Differences over 200 stretches for the slope, half a stretch from the tip where it hardly changes.
    EXPECT_NEAR(in(clearance.outward, millimetre) / expected_mm, 1.0, 0.01);
}

}  // namespace
}  // namespace reedwright
