// Paths moved aside by half a cut, what is refused, and blanks nested on strip. What other programs read in the files
// is held by read_back.py.
#include "cad_export/blank_outline.hpp"
#include "cad_export/cut_path.hpp"
#include "cad_export/dxf.hpp"
#include "cad_export/nest.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/drawing/sample_sets.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace reedwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double pi = std::numbers::pi;
// Sums and products of a few dozen doubles.
constexpr double rounding = 1e-12;

Length mm(double value) {
    return value * millimetre;
}
double in_mm2(Area area) {
    return area.value() * 1e6;
}

Outline rectangle(double length, double width, double radius) {
    return {{{mm(0), mm(0)}, {mm(length), mm(0)}, {mm(length), mm(width)}, {mm(0), mm(width)}}, mm(radius)};
}

// A slot 2 mm wide and 10 mm long, its last 4 mm 1.2 mm wide.
Outline shouldered() {
    return {{{mm(0), mm(-1)},
             {mm(6), mm(-1)},
             {mm(6), mm(-0.6)},
             {mm(10), mm(-0.6)},
             {mm(10), mm(0.6)},
             {mm(6), mm(0.6)},
             {mm(6), mm(1)},
             {mm(0), mm(1)}},
            mm(0.1)};
}

std::string refusal(const std::function<void()>& call) {
    try {
        call();
    } catch (const InputError& error) {
        std::string text;
        for (const Diagnostic& one : error.diagnostics()) text += to_text(one) + "\n";
        return text;
    }
    return {};
}

TEST(CutPath, A_sharp_corner_passed_on_the_outside_becomes_an_arc_about_itself) {
    const CutPath path = moved_aside(rectangle(10, 4, 0), mm(0.5));
    EXPECT_THAT(path.pieces, SizeIs(8));
    EXPECT_NEAR(in_mm2(path.area()), 40.0 + 28.0 * 0.5 + pi * 0.25, rounding);
    EXPECT_EQ(path.left_in_corners.value(), 0.0);
}

TEST(CutPath, A_rounded_corner_keeps_its_centre_and_loses_radius_inward) {
    const CutPath path = moved_aside(rectangle(10, 4, 0.5), mm(-0.2));
    const double slot = in_mm2(rectangle(9.6, 3.6, 0.3).area());
    EXPECT_NEAR(in_mm2(path.area()), slot, rounding);
    EXPECT_EQ(path.left_in_corners.value(), 0.0);
}

TEST(CutPath, A_corner_tighter_than_the_tool_stays_a_corner_of_its_way_and_is_told) {
    const CutPath path = moved_aside(rectangle(10, 4, 0.1), mm(-0.3));
    EXPECT_THAT(path.pieces, SizeIs(4));
    EXPECT_NEAR(in_mm2(path.area()), 9.4 * 3.4, rounding);
    EXPECT_NEAR(in(path.left_in_corners, millimetre), 0.3, rounding);
}

TEST(CutPath, Inward_corners_of_a_slot_gain_the_radius_that_outward_ones_lose) {
    // Four corners left of the shoulders and two at the tip turn outward with 0.1 - 0.05, two at the shoulders inward
    // with 0.1 + 0.05: a corner of radius r is (1 - pi / 4) r^2 from sharp.
    const double sharp = (6.0 - 0.1) * 1.9 + 4.0 * 1.1;
    const double corner = 1.0 - 0.25 * pi;
    const CutPath path = moved_aside(shouldered(), mm(-0.05));
    EXPECT_NEAR(in_mm2(path.area()), sharp + corner * (2 * 0.15 * 0.15 - 6 * 0.05 * 0.05), rounding);
}

TEST(CutPath, What_the_tool_does_not_fit_is_refused) {
    EXPECT_THROW(moved_aside(rectangle(10, 4, 0), mm(-2.1)), std::domain_error);
    // The shoulder is 0.4 mm high: too low for its rounding of 0.1 mm and a radius of 0.5 mm.
    EXPECT_THROW(moved_aside(shouldered(), mm(-0.5)), std::domain_error);
    // A waist 0.2 mm wide closes although every edge around it is long.
    const Outline waist{
        {{mm(0), mm(-1)}, {mm(5), mm(-0.1)}, {mm(10), mm(-1)}, {mm(10), mm(1)}, {mm(5), mm(0.1)}, {mm(0), mm(1)}},
        mm(0)};
    EXPECT_NO_THROW(moved_aside(waist, mm(-0.05)));
    EXPECT_THROW(moved_aside(waist, mm(-0.12)), std::domain_error);
}

TEST(CutPath, The_largest_cut_told_is_the_largest_that_fits) {
    const Length fits = largest_aside(rectangle(10, 4, 0), mm(-3));
    EXPECT_NEAR(in(fits, millimetre), -2.0, 1.5e-3);  // told to a micrometre, on the safe side
    EXPECT_NO_THROW(moved_aside(rectangle(10, 4, 0), fits));
}

RC_GTEST_PROP(CutPathLaw, Out_and_in_again_by_the_same_distance_is_the_same_area, ()) {
    const double length = *rc::gen::inRange(40, 200) * 0.1;
    const double width = *rc::gen::inRange(10, 39) * 0.1;
    const double radius = *rc::gen::inRange(0, 5) * 0.1;
    const double aside = *rc::gen::inRange(1, 40) * 0.01;
    const Outline outline = rectangle(length, width, radius);
    const CutPath out = moved_aside(outline, mm(aside));
    // Steiner: a convex outline gains perimeter s + pi s^2.
    const double perimeter = 2.0 * (length + width) - (8.0 - 2.0 * pi) * radius;
    RC_ASSERT(std::abs(in_mm2(out.area()) - in_mm2(outline.area()) - perimeter * aside - pi * aside * aside) < 1e-10);
}

TEST(PlateDxf, Every_slot_and_hole_that_the_cut_does_not_fit_is_named_with_what_does) {
    const SampleSet club = club_set();
    const std::string text = refusal([&] { plate_dxf(club.plates.plates[0], {mm(1.0), false}); });
    EXPECT_THAT(text, HasSubstr("slot of cell 10 blow: a cut 2 mm wide does not fit"));
    EXPECT_THAT(text, HasSubstr("a cut at most 1.7"));
    EXPECT_THAT(text, HasSubstr("rivet of cell 1 blow: a cut 2 mm wide does not fit a hole of 0.8 mm"));
    EXPECT_THAT(text, ::testing::Not(HasSubstr("slot of cell 1 blow")));
}

TEST(PlateDxf, Drilled_holes_keep_their_size) {
    const SampleSet club = club_set();
    EXPECT_THAT(refusal([&] { plate_dxf(club.plates.plates[0], {mm(0.5), false}); }), HasSubstr("rivet of cell 1"));
    const DxfFile file = plate_dxf(club.plates.plates[0], {mm(0.5), true});
    EXPECT_THAT(file.text, HasSubstr("CIRCLE"));
    EXPECT_THAT(file.text, HasSubstr("\n 40\n0.4\n"));
}

TEST(PlateDxf, Corners_that_come_out_rounder_than_drawn_are_told) {
    const SampleSet club = club_set();
    EXPECT_THAT(plate_dxf(club.plates.plates[0], {mm(0.05), false}).notes, IsEmpty());
    const DxfFile file = plate_dxf(club.plates.plates[0], {mm(0.2), true});
    ASSERT_THAT(file.notes, SizeIs(10));
    EXPECT_EQ(file.notes.front(),
              "slot of cell 1 blow: corners drawn with a radius of 0.05 mm come out with that of the cut, 0.2 mm");
}

TEST(PlateDxf, A_cut_that_is_no_width_is_refused) {
    const SampleSet club = club_set();
    for (const double width : {-0.1, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()})
        EXPECT_THROW(plate_dxf(club.plates.plates[0], {mm(width), false}), std::invalid_argument);
}

TEST(PlateDxf, The_same_plate_gives_the_same_bytes) {
    EXPECT_EQ(plate_dxf(club_set().plates.plates[1], {}).text, plate_dxf(club_set().plates.plates[1], {}).text);
}

TEST(TongueOutline, Shoulders_and_kinks_are_kept_and_straight_corners_dropped) {
    const Profile width({{mm(0), mm(2)}, {mm(5), mm(2)}, {mm(5), mm(1.6)}, {mm(8), mm(1.5)}, {mm(10), mm(1.5)}});
    const TonguePart part{"tongue", "brass", Profile::constant(mm(10), mm(1)), width, mm(4), {}};
    // Behind, at the shoulder's outer and inner corner, at the kink, at the tip: five on either side.
    EXPECT_THAT(tongue_outline(part).corners, SizeIs(10));
    EXPECT_NEAR(in_mm2(tongue_outline(part).area()), part.volume().value() * 1e9, rounding);
}

std::vector<TonguePart> club_tongues() {
    std::vector<TonguePart> tongues;
    for (const Plate& plate : club_set().plates.plates)
        for (const PlacedTongue& tongue : plate.tongues) tongues.push_back(tongue.part);
    return tongues;
}

RC_GTEST_PROP(NestLaw, Blanks_keep_the_gap_to_each_other_and_to_the_strip, ()) {
    const auto tongues = club_tongues();
    std::vector<TonguePart> some;
    for (const int i : *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 20))))
        some.push_back(tongues[static_cast<std::size_t>(i)]);
    Strip strip;
    strip.width = mm(*rc::gen::inRange(60, 400) * 0.1);
    strip.gap = mm(*rc::gen::inRange(0, 18) * 0.1);
    const Nest nest = nest_on_strip(some, strip);
    RC_ASSERT(nest.blanks.size() == some.size());
    const double near = in(strip.gap, millimetre) - 1e-6;
    std::vector<Box> boxes;
    for (const NestedBlank& blank : nest.blanks) {
        Box box = box_of(tongue_outline(some[blank.tongue]));
        boxes.push_back(
            {box.left + blank.root.x, box.right + blank.root.x, box.back + blank.root.y, box.front + blank.root.y});
    }
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        const auto& a = boxes[i];
        RC_ASSERT(in(a.left, millimetre) >= near);
        RC_ASSERT(in(a.back, millimetre) >= near);
        RC_ASSERT(in(strip.width - a.front, millimetre) >= near);
        RC_ASSERT(in(nest.used_length - a.right, millimetre) >= near);
        for (std::size_t j = 0; j < i; ++j) {
            const auto& b = boxes[j];
            const double apart_mm = std::max({in(a.left - b.right, millimetre), in(b.left - a.right, millimetre),
                                              in(a.back - b.front, millimetre), in(b.back - a.front, millimetre)});
            RC_ASSERT(apart_mm >= near);
        }
    }
}

TEST(Nest, Twenty_tongues_of_the_club_need_three_stacks_of_a_strip_of_twenty_millimetres) {
    Strip strip;
    strip.gap = mm(0.6);
    const Nest nest = nest_on_strip(club_tongues(), strip);
    // Seven of at most 2.2 mm side by side: 7 * 2.2 + 8 * 0.6 is 20.2 mm, but the seventh is narrower.
    std::vector<double> stacks;
    for (const NestedBlank& blank : nest.blanks)
        if (stacks.empty() || in(blank.root.x, millimetre) > stacks.back() + 1.0)
            stacks.push_back(in(blank.root.x, millimetre));
    EXPECT_THAT(stacks, SizeIs(3));
    EXPECT_GT(nest.used_share, 0.5);
    EXPECT_LT(nest.used_share, 1.0);
}

TEST(Nest, What_does_not_fit_the_strip_is_told_with_each_tongue) {
    auto tongues = club_tongues();
    tongues[1].material = "CuSn6";
    Strip strip;
    strip.width = mm(3.0);
    strip.gauge = mm(0.2);
    const std::string text = refusal([&] { nest_on_strip(tongues, strip); });
    EXPECT_THAT(text, HasSubstr("tongue 2 blow E4: of CuSn6, but the strip of tongue 1 blow C4 is of"));
    EXPECT_THAT(text, HasSubstr("tongue 10 blow C7: 0.317 mm thick, the strip 0.2 mm"));
    EXPECT_THAT(text, HasSubstr("tongue 1 blow C4: needs a strip 4.2 mm wide with its gaps, not 3 mm"));
    EXPECT_THAT(refusal([] { nest_on_strip({}, {}); }), HasSubstr("no tongue"));
    strip = {};
    strip.gap = mm(0.1);
    EXPECT_THAT(refusal([&] {
                    nest_dxf(club_tongues(), strip, {mm(0.1), false});
                }),
                HasSubstr("less than the width of the cut, 0.2 mm"));
}

}  // namespace
}  // namespace reedwright
