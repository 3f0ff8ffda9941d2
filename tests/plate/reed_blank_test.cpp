#include "core/plate/reed_blank.hpp"

#include "core/input/diagnostic.hpp"
#include "tests/plate/sample_reed.hpp"

#include <gmock/gmock.h>
#include <cmath>
#include <numbers>

namespace reedwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double pi = std::numbers::pi;
// Sums and products of a few dozen doubles: rounding stays far below.
constexpr double rounding = 1e-12;

Length mm(double value) {
    return value * millimetre;
}
double in_mm(Length length) {
    return in(length, millimetre);
}
double in_mm2(Area area) {
    return area.value() * 1e6;
}
double in_mm3(Volume volume) {
    return volume.value() * 1e9;
}

std::vector<std::string> faults_of(const Reed& reed) {
    try {
        lay_out_blank(reed);
    } catch (const InputError& error) {
        std::vector<std::string> texts;
        for (const Diagnostic& diagnostic : error.diagnostics()) texts.push_back(to_text(diagnostic));
        return texts;
    }
    return {};
}

Outline square(double side_mm, double radius_mm) {
    return {{{mm(0.0), mm(0.0)}, {mm(side_mm), mm(0.0)}, {mm(side_mm), mm(side_mm)}, {mm(0.0), mm(side_mm)}},
            mm(radius_mm)};
}

TEST(Outline, a_square_whose_corners_take_all_of_it_is_a_circle) {
    EXPECT_NEAR(in_mm2(square(2.0, 1.0).area()), pi, rounding);
    EXPECT_THAT(square(2.0, 1.0).pieces(), SizeIs(4));
}

TEST(Outline, inward_corners_are_rounded_by_adding_what_outward_ones_lose) {
    // An L of five outward corners and one inward; each right angle's corner is (1 - pi/4) r^2.
    const Outline ell{{{mm(0.0), mm(0.0)},
                       {mm(3.0), mm(0.0)},
                       {mm(3.0), mm(1.0)},
                       {mm(1.0), mm(1.0)},
                       {mm(1.0), mm(3.0)},
                       {mm(0.0), mm(3.0)}},
                      mm(0.2)};
    EXPECT_NEAR(in_mm2(ell.area()), 5.0 - (5 - 1) * (1.0 - pi / 4.0) * 0.04, rounding);
}

TEST(Outline, its_pieces_join_and_its_arcs_stay_on_their_circles) {
    const std::vector<OutlinePiece> pieces = square(2.0, 0.3).pieces();
    ASSERT_THAT(pieces, SizeIs(8));
    double turned = 0.0;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        const OutlinePiece& piece = pieces[i];
        const OutlinePiece& next = pieces[(i + 1) % pieces.size()];
        EXPECT_EQ(piece.to.x, next.from.x);
        EXPECT_EQ(piece.to.y, next.from.y);
        turned += piece.sweep;
        if (piece.radius.value() <= 0.0) continue;
        for (const PlanePoint& end : {piece.from, piece.to})
            EXPECT_NEAR(std::hypot(in_mm(end.x - piece.centre.x), in_mm(end.y - piece.centre.y)), 0.3, rounding);
    }
    EXPECT_NEAR(turned, 2.0 * pi, rounding);
}

TEST(Outline, a_corner_that_turns_by_less_than_30_degrees_stays_sharp) {
    // A kink of 26.6 degrees in the upper side of a rectangle.
    const Outline kinked{
        {{mm(0.0), mm(0.0)}, {mm(4.0), mm(0.0)}, {mm(4.0), mm(1.0)}, {mm(2.0), mm(2.0)}, {mm(0.0), mm(2.0)}}, mm(0.1)};
    std::size_t arcs = 0;
    for (const OutlinePiece& piece : kinked.pieces()) arcs += piece.radius.value() > 0.0;
    EXPECT_EQ(arcs, 4U);
}

TEST(Outline, a_radius_that_does_not_fit_is_refused) {
    EXPECT_THROW(square(2.0, 1.001).area(), std::invalid_argument);
    EXPECT_THROW(square(2.0, -0.1).area(), std::invalid_argument);
    EXPECT_THROW((Outline{{{mm(0.0), mm(0.0)}, {mm(1.0), mm(0.0)}}, mm(0.0)}.area()), std::invalid_argument);
}

TEST(ReedBlank, its_slot_begins_at_the_root_line_and_clears_sides_and_tip) {
    const ReedBlank blank = lay_out_blank(sample_reed());
    ASSERT_THAT(blank.plate.slots, SizeIs(1));
    const Outline& slot = blank.plate.slots[0];
    ASSERT_THAT(slot.corners, SizeIs(4));
    EXPECT_NEAR(in_mm(slot.corners[0].x), 0.0, rounding);
    EXPECT_NEAR(in_mm(slot.corners[0].y), -1.03, rounding);
    EXPECT_NEAR(in_mm(slot.corners[2].x), 15.03, rounding);
    EXPECT_NEAR(in_mm(slot.corners[2].y), 1.03, rounding);
    EXPECT_NEAR(in_mm2(slot.area()), 2.06 * 15.03 - (4.0 - pi) * 0.01, rounding);
}

TEST(ReedBlank, its_volumes_are_those_of_a_hand_calculation) {
    const ReedBlank blank = lay_out_blank(sample_reed());
    const double rivet = pi * 0.4 * 0.4;
    const double slot = 2.06 * 15.03 - (4.0 - pi) * 0.01;
    EXPECT_NEAR(in_mm3(blank.plate.volume()), 0.95 * ((3.0 + 4.0 + 15.03 + 3.0) * (2.06 + 6.0) - slot - rivet), 1e-10);
    EXPECT_NEAR(in_mm3(blank.tongue.volume()), 15.0 * 2.0 * 0.12 + 4.0 * 2.0 * 0.16 - rivet * 0.16, rounding);
}

TEST(ReedBlank, the_shoulder_of_a_stepped_tongue_keeps_its_clearance_too) {
    // 3 mm wide to 6 mm, then 2 mm: the slot's shoulder stands the clearance beyond the tongue's.
    const Profile width({{mm(0.0), mm(3.0)}, {mm(6.0), mm(3.0)}, {mm(6.0), mm(2.0)}, {mm(15.0), mm(2.0)}});
    Reed reed = sample_reed(Profile::constant(mm(15.0), mm(0.1)), width);
    reed.slot.corner_radius = mm(0.0);
    const Outline slot = lay_out_blank(reed).plate.slots[0];
    ASSERT_THAT(slot.corners, SizeIs(8));
    EXPECT_NEAR(in_mm(slot.corners[1].x), 6.03, rounding);
    EXPECT_NEAR(in_mm(slot.corners[1].y), -1.53, rounding);
    EXPECT_NEAR(in_mm(slot.corners[2].x), 6.03, rounding);
    EXPECT_NEAR(in_mm(slot.corners[2].y), -1.03, rounding);
    EXPECT_NEAR(in_mm2(slot.area()), 3.06 * 6.03 + 2.06 * 9.0, rounding);

    const Profile widening({{mm(0.0), mm(2.0)}, {mm(6.0), mm(2.0)}, {mm(6.0), mm(3.0)}, {mm(15.0), mm(3.0)}});
    reed.tongue.width = widening;
    EXPECT_NEAR(in_mm2(lay_out_blank(reed).plate.slots[0].area()), 2.06 * 5.97 + 3.06 * 9.06, rounding);
}

TEST(ReedBlank, a_tapered_tongue_keeps_the_clearance_square_to_its_edge) {
    Reed reed = sample_reed(Profile::constant(mm(12.0), mm(0.1)), Profile::taper(mm(12.0), mm(3.0), mm(2.0)));
    reed.slot.corner_radius = mm(0.0);
    const Outline slot = lay_out_blank(reed).plate.slots[0];
    ASSERT_THAT(slot.corners, SizeIs(4));
    // Distance of the tongue's corner at the root from the slot's side.
    const double dx = in_mm(slot.corners[1].x - slot.corners[0].x);
    const double dy = in_mm(slot.corners[1].y - slot.corners[0].y);
    const double reach = in_mm(-mm(1.5) - slot.corners[0].y);
    EXPECT_NEAR(dx * reach / std::hypot(dx, dy), 0.03, rounding);
    EXPECT_NEAR(dy / dx, 0.5 / 12.0, rounding);
}

TEST(ReedBlank, its_rivets_stand_evenly_along_the_pad_in_plate_and_tongue) {
    Reed reed = sample_reed();
    reed.pad.rivets = 2;
    const ReedBlank blank = lay_out_blank(reed);
    ASSERT_THAT(blank.tongue.holes, SizeIs(2));
    EXPECT_NEAR(in_mm(blank.tongue.holes[0].centre.x), -1.0, rounding);
    EXPECT_NEAR(in_mm(blank.tongue.holes[1].centre.x), -3.0, rounding);
    ASSERT_THAT(blank.plate.holes, SizeIs(2));
    EXPECT_EQ(blank.plate.holes[1].centre.x, blank.tongue.holes[1].centre.x);

    reed.pad.rivets = 0;
    EXPECT_THAT(lay_out_blank(reed).plate.holes, IsEmpty());
}

TEST(ReedBlank, its_names_carry_the_note_without_a_number_sign) {
    Reed reed = sample_reed();
    EXPECT_EQ(lay_out_blank(reed).name, "reed blank");
    EXPECT_EQ(lay_out_blank(reed).tongue.material, "CuSn6");
    EXPECT_EQ(lay_out_blank(reed).plate.material, "cuzn37-plate");
    reed.note = Note{'F', 1, 4};
    EXPECT_EQ(lay_out_blank(reed).name, "reed blank Fs4");
    EXPECT_EQ(lay_out_blank(reed).plate.name, "plate Fs4");
}

TEST(ReedBlankFit, a_rivet_keeps_half_its_diameter_of_metal_to_the_pad_s_edge) {
    Reed reed = sample_reed();
    reed.pad.rivet_diameter = mm(1.0);
    EXPECT_THAT(faults_of(reed), IsEmpty());
    reed.pad.rivet_diameter = mm(1.1);
    EXPECT_THAT(faults_of(reed),
                ElementsAre("pad.rivet_diameter: a hole of 1.1 mm leaves 0.45 mm of metal to the pad's sides; half its "
                            "diameter is the least (common practice, no source); a rivet of at most 1 mm"));
    reed.pad.rivet_diameter = mm(0.8);
    reed.pad.rivets = 3;
    EXPECT_THAT(faults_of(reed), ElementsAre("pad.rivet_diameter: a hole of 0.8 mm leaves 0.266667 mm of metal to the "
                                             "pad's ends; half its diameter is the "
                                             "least (common practice, no source); a rivet of at most 0.666 mm, a pad "
                                             "of at least 4.8 mm, or fewer rivets"));
    reed.pad.length = mm(4.8);
    EXPECT_THAT(faults_of(reed), IsEmpty());
}

TEST(ReedBlankFit, a_corner_radius_larger_than_the_slot_takes_is_refused_with_the_edge_and_the_largest) {
    Reed reed = sample_reed();
    reed.slot.corner_radius = mm(1.2);
    EXPECT_THAT(faults_of(reed),
                ElementsAre("slot.corner_radius: 1.2 mm does not fit the slot, whose edge of 2.06 mm at 15.03 mm from "
                            "the root takes at most 1.03 mm; a radius of at most 1.03 mm"));
    reed.slot.corner_radius = mm(1.03);
    EXPECT_THAT(faults_of(reed), IsEmpty());

    // A shoulder of 0.1 mm on either side has two corners to round.
    reed.slot.corner_radius = mm(0.1);
    reed.tongue.width = Profile({{mm(0.0), mm(2.2)}, {mm(6.0), mm(2.2)}, {mm(6.0), mm(2.0)}, {mm(15.0), mm(2.0)}});
    EXPECT_THAT(faults_of(reed),
                ElementsAre("slot.corner_radius: 0.1 mm does not fit the slot, whose edge of 0.1 mm at 6.03 mm from "
                            "the root takes at most 0.05 mm; a radius of at most 0.05 mm"));
    reed.slot.corner_radius = mm(0.05);
    EXPECT_THAT(faults_of(reed), IsEmpty());
}

TEST(ReedBlankFit, a_notch_that_the_clearance_closes_is_refused) {
    const Profile width({{mm(0.0), mm(2.0)},
                         {mm(5.0), mm(2.0)},
                         {mm(5.0), mm(1.5)},
                         {mm(5.05), mm(1.5)},
                         {mm(5.05), mm(2.0)},
                         {mm(15.0), mm(2.0)}});
    Reed reed = sample_reed(Profile::constant(mm(15.0), mm(0.1)), width);
    reed.slot.corner_radius = mm(0.0);
    EXPECT_THAT(faults_of(reed),
                ElementsAre(HasSubstr("0.03 mm does not fit between the tongue's width stations at 5 mm and 5.05 mm")));
    reed.slot.clearance = mm(0.02);
    EXPECT_THAT(faults_of(reed), IsEmpty());
}

TEST(ReedBlankFit, every_misfit_is_reported_at_once) {
    Reed reed = sample_reed();
    reed.pad.length = mm(0.0);
    reed.pad.plate_margin = mm(0.0);
    reed.pad.rivets = -1;
    reed.slot.corner_radius = mm(-0.1);
    EXPECT_THAT(faults_of(reed), ElementsAre(HasSubstr("pad.length"), HasSubstr("pad.plate_margin"),
                                             HasSubstr("pad.rivets: -1"), HasSubstr("slot.corner_radius: -0.1 mm")));
}

TEST(ReedBlankWarnings, a_corner_radius_that_crowds_the_tip_is_told_with_what_frees_it) {
    Reed reed = sample_reed();
    // r - sqrt(2) (r - c) = 0.1 - 0.098995 mm.
    EXPECT_THAT(blank_warnings(reed), ElementsAre("slot.corner_radius: 0.1 mm leaves the tongue's tip corners 0.001 mm "
                                                  "of the 0.03 mm clearance; a radius of at most "
                                                  "0.066 mm, a clearance of at least 0.046 mm, or the tongue's corners "
                                                  "broken to a radius of 0.07 mm frees them"));
    reed.slot.corner_radius = mm(0.2);
    EXPECT_THAT(blank_warnings(reed)[0], HasSubstr("puts the tongue's tip corners 0.04 mm into the plate"));
}

TEST(ReedBlankWarnings, what_a_warning_advises_frees_the_corner) {
    Reed reed = sample_reed();
    reed.slot.corner_radius = mm(0.066);
    EXPECT_THAT(blank_warnings(reed), IsEmpty());
    reed.slot.corner_radius = mm(0.067);
    EXPECT_THAT(blank_warnings(reed), SizeIs(1));
    reed.slot.corner_radius = mm(0.1);
    reed.slot.clearance = mm(0.046);
    EXPECT_THAT(blank_warnings(reed), IsEmpty());
    reed.slot.clearance = mm(0.045);
    EXPECT_THAT(blank_warnings(reed), SizeIs(1));
}

TEST(ReedBlankWarnings, a_shoulder_s_outward_corner_is_crowded_like_the_tip_and_its_inward_one_is_not) {
    const Profile width({{mm(0.0), mm(3.0)}, {mm(6.0), mm(3.0)}, {mm(6.0), mm(2.0)}, {mm(15.0), mm(2.0)}});
    EXPECT_THAT(blank_warnings(sample_reed(Profile::constant(mm(15.0), mm(0.1)), width)),
                ElementsAre(HasSubstr("the tongue's corners at 6 mm 0.001 mm"), HasSubstr("tip corners 0.001 mm")));
}

TEST(ReedBlankWarnings, rounded_root_corners_under_the_tongue_are_told_when_they_may_cost_a_cent) {
    // The fillet's area under one edge, r q - (q s + r^2 asin(q / r)) / 2 with q = r - c and
    // s = sqrt(r^2 - q^2), is 0.00473 mm^2 for r = 0.2 mm: 2 dL / L = 0.00063, 1.1 cents.
    Reed reed = sample_reed();
    reed.slot.corner_radius = mm(0.2);
    const auto warnings = blank_warnings(reed);
    ASSERT_THAT(warnings, SizeIs(2));
    EXPECT_THAT(
        warnings[1],
        HasSubstr("reaches 0.095 mm under the tongue's edges at the root and may raise the pitch by up to 1.1 cents"));
}

}  // namespace
}  // namespace reedwright
