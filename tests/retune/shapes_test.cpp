// Cuts of every shape: what they take, what they do, and their inverse.
#include "core/input/diagnostic.hpp"
#include "core/material/material_file.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/cut_consequences.hpp"
#include "core/vibration/cut_effect.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace reedwright::test {
namespace {

Reed tapered() {
    Reed result = reed(metal(110.0, 8530.0, 0.34), profile({{0, 0.16}, {15, 0.09}}), profile({{0, 2.0}, {15, 1.8}}));
    result.seat.give = 0.64;
    return result;
}

Cut shaped(CutShape shape, double from_mm, double to_mm, double depth_um, double share = 1.0) {
    return {{from_mm * millimetre, to_mm * millimetre}, depth_um * micrometre, 0.1 * millimetre, shape, share};
}

TEST(Shapes, Take_the_metal_that_their_geometry_says) {
    const Reed reed = uniform(15.0, 2.0, 0.12);
    const double density = 8530.0;
    const auto volume_mm3 = [&](const Cut& cut) { return removed_mass(reed.tongue, cut).value() / density * 1e9; };
    // A triangle of mouth 0.2 and depth 0.01 across 2 mm.
    EXPECT_NEAR(volume_mm3(shaped(CutShape::v_groove, 2.0, 2.2, 10.0)), 0.5 * 0.2 * 0.01 * 2.0, 1e-9);
    // A flat arc holds two thirds of its chord times depth; twelve chords lose half a percent of it.
    EXPECT_NEAR(volume_mm3(shaped(CutShape::round_groove, 2.0, 2.4, 10.0)), 2.0 / 3.0 * 0.4 * 0.01 * 2.0,
                0.01 * 0.0053);
    EXPECT_NEAR(volume_mm3(shaped(CutShape::lines, 0.0, 3.0, 10.0, 0.4)), 0.4 * 0.01 * (3.0 - 0.05) * 2.0, 1e-9);
    // Two corners of radius r lose 2 r^2 (1 - pi / 4) of the plan; twelve chords inside the arc take a hair more.
    EXPECT_NEAR(volume_mm3(shaped(CutShape::round_tip, 12.0, 15.0, 500.0)),
                2.0 * 0.25 * (1.0 - std::numbers::pi / 4.0) * 0.12, 0.02 * 0.0129);
    EXPECT_NEAR(volume_mm3(shaped(CutShape::narrow, 12.0, 15.0, 100.0)), 0.1 * (3.0 - 0.05) * 0.12, 1e-9);
}

TEST(Shapes, A_narrowed_or_rounded_tip_raises_and_a_narrowed_root_lowers) {
    const Reed reed = tapered();
    EXPECT_GT(effect_of_cut(reed, shaped(CutShape::narrow, 12.0, 15.0, 50.0)).shift.value(), 0.0);
    EXPECT_LT(effect_of_cut(reed, shaped(CutShape::narrow, 0.0, 3.0, 50.0)).shift.value(), 0.0);
    EXPECT_GT(effect_of_cut(reed, shaped(CutShape::round_tip, 12.0, 15.0, 300.0)).shift.value(), 0.0);
    // Beam theory of a uniform strip: narrowing acts at the root as the stiffness it takes, a third of what thinning by
    // the same share does (S(0) = 2 against 6, computed).
    const Reed even = uniform(15.0, 2.0, 0.12);
    const double narrower = effect_of_cut(even, shaped(CutShape::narrow, 0.0, 0.5, 20.0), beam).shift.value();
    const double thinner = effect_of_cut(even, shaped(CutShape::flat, 0.0, 0.5, 1.2), beam).shift.value();
    EXPECT_NEAR(narrower / thinner, 1.0 / 3.0, 0.02);
}

TEST(Shapes, Lines_over_the_whole_width_are_a_flat_cut) {
    const Reed reed = tapered();
    EXPECT_NEAR(effect_of_cut(reed, shaped(CutShape::lines, 0.0, 3.0, 8.0, 1.0)).shift.value(),
                effect_of_cut(reed, shaped(CutShape::flat, 0.0, 3.0, 8.0)).shift.value(), 1e-9);
    const CutEffect half = effect_of_cut(reed, shaped(CutShape::lines, 0.0, 3.0, 8.0, 0.5));
    EXPECT_NEAR(half.shift.value() / effect_of_cut(reed, shaped(CutShape::flat, 0.0, 3.0, 4.0)).shift.value(), 1.0,
                1e-9);
    // The bottoms of the lines are what is left, not the mean.
    EXPECT_NEAR(in(thinnest_after(reed.tongue, shaped(CutShape::lines, 10.0, 15.0, 30.0, 0.5)), millimetre), 0.06,
                1e-6);
}

RC_GTEST_PROP(Shapes, Every_shape_is_inverted_within_a_fiftieth_of_a_cent, ()) {
    const Reed reed = tapered();
    const auto shape = *rc::gen::element(CutShape::flat, CutShape::v_groove, CutShape::round_groove, CutShape::lines,
                                         CutShape::round_tip, CutShape::narrow);
    const bool root = *rc::gen::arbitrary<bool>() && shape != CutShape::round_tip;
    Cut cut = root ? shaped(shape, 0.0, 3.0, 1.0, 0.5) : shaped(shape, 12.0, 15.0, 1.0, 0.5);
    if (shape == CutShape::v_groove || shape == CutShape::round_groove)
        cut.zone = root ? Zone{1.0 * millimetre, 1.4 * millimetre} : Zone{14.0 * millimetre, 14.5 * millimetre};
    const double wanted = *rc::gen::inRange(1, 80) * 0.1 * (root ? -1.0 : 1.0);
    const DepthSearch search = find_depth(reed, cut, wanted * cent);
    if (!search.reachable) return;
    RC_ASSERT(std::abs(effect_of_cut(reed, search.best.cut).shift.value() - wanted) < 0.02);
}

TEST(Shapes, Too_much_is_refused) {
    const Reed reed = tapered();
    EXPECT_THROW(effect_of_cut(reed, shaped(CutShape::v_groove, 14.0, 14.2, 85.0)), InputError);
    EXPECT_THROW(effect_of_cut(reed, shaped(CutShape::lines, 12.0, 15.0, 85.0, 0.1)), InputError);
    EXPECT_THROW(effect_of_cut(reed, shaped(CutShape::round_tip, 12.0, 15.0, 1000.0)), InputError);
    EXPECT_THROW(effect_of_cut(reed, shaped(CutShape::narrow, 12.0, 15.0, 900.0)), InputError);
}

TEST(Consequences, A_root_cut_costs_life_and_a_tip_cut_hardly_any) {
    Reed reed = tapered();
    reed.tongue.material.tensile_strength = Property<Pressure>{630.0 * megapascal, {}, {}, {}, {}, ""};
    reed.tongue.material.fatigue_strength = Property<Pressure>{140.0 * megapascal, {}, {}, {}, {}, ""};
    const Length swing = default_swing(reed.tongue);
    const CutConsequences root =
        consequences_of(reed, effect_of_cut(reed, shaped(CutShape::flat, 0.0, 3.0, 8.0)), swing);
    const CutConsequences tip =
        consequences_of(reed, effect_of_cut(reed, shaped(CutShape::flat, 12.0, 15.0, 8.0)), swing);
    EXPECT_LT(*root.life_kept, 0.9);
    EXPECT_GT(*tip.life_kept, 0.9);
    EXPECT_LT(root.stiffness_after, root.stiffness_before);
    EXPECT_LT(tip.ratio_after, tip.ratio_before);
    const CutConsequences scratch =
        consequences_of(reed, effect_of_cut(reed, shaped(CutShape::v_groove, 0.6, 0.8, 15.0)), swing);
    EXPECT_GT(scratch.after.notch_factor, 1.2);
    EXPECT_LT(*scratch.life_kept, *root.life_kept);
}

TEST(Choosing, The_best_zone_keeps_most_life_and_every_zone_reaches) {
    const Reed reed = tapered();
    for (const double wanted : {12.0, -12.0, 40.0, -40.0}) {
        const auto choices = rank_cuts(reed, wanted * cent, default_swing(reed.tongue));
        ASSERT_GE(choices.size(), 2U);
        for (const CutChoice& choice : choices) EXPECT_NEAR(choice.effect.shift.value(), wanted, 0.01) << choice.zone;
        for (std::size_t i = 1; i < choices.size(); ++i)
            EXPECT_GE(choices[0].life_kept, choices[i].life_kept - 0.021) << choices[i].zone;
    }
    EXPECT_TRUE(rank_cuts(reed, 900.0 * cent, default_swing(reed.tongue)).empty());
}

TEST(Choosing, Hours_rank_the_zones_and_only_hardly_different_ones_go_by_thickness) {
    Reed reed = tapered();
    reed.tongue.material = read_material_file(REEDWRIGHT_SOURCE_DIR "/materials/cuzn37-r630.yaml");
    const auto ranked = [&](double wanted_cents) {
        return rank_cuts(reed, wanted_cents * cent, default_swing(reed.tongue));
    };
    const auto names = [](const std::vector<CutChoice>& choices) {
        std::vector<std::string> result;
        for (const CutChoice& one : choices) result.push_back(one.zone);
        return result;
    };
    // Twelve cents down cost a tenth of the hours at the root and gain a tenth in the middle, where the most thickness
    // goes: the hours decide.
    const auto twelve = ranked(-12.0);
    EXPECT_EQ(names(twelve), (std::vector<std::string>{"middle", "inner", "root"}));
    ASSERT_EQ(twelve.size(), 3U);
    EXPECT_GT(twelve[0].life_kept, twelve[1].life_kept + 0.02);
    EXPECT_GT(twelve[1].life_kept, twelve[2].life_kept + 0.02);
    EXPECT_LT(twelve[0].thickness_kept, twelve[1].thickness_kept);
    // Half a cent from inner or from the middle differs by less than two percent of the hours: the thickness decides.
    const auto half = ranked(-0.5);
    ASSERT_EQ(half.size(), 3U);
    EXPECT_EQ(half[0].zone, "inner");
    EXPECT_GT(half[0].thickness_kept, half[1].thickness_kept);
}

TEST(Choosing, Zones_are_cut_with_the_ramps_that_are_said) {
    const Reed reed = tapered();
    const auto sharp = rank_cuts(reed, 12.0 * cent, default_swing(reed.tongue), {}, {}, 0.0 * metre);
    const auto sloped = rank_cuts(reed, 12.0 * cent, default_swing(reed.tongue), {}, {}, 1.0 * millimetre);
    ASSERT_FALSE(sharp.empty());
    ASSERT_FALSE(sloped.empty());
    EXPECT_EQ(sharp[0].effect.cut.ramp.value(), 0.0);
    EXPECT_GT(sloped[0].effect.cut.depth, 1.02 * sharp[0].effect.cut.depth);
    EXPECT_TRUE(rank_cuts(reed, 12.0 * cent, default_swing(reed.tongue), {}, {}, 14.0 * millimetre).empty());
}

}  // namespace
}  // namespace reedwright::test
