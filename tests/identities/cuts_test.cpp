// What holds for every cut on every tongue.
#include "core/retune/first_pass.hpp"
#include "core/retune/load_search.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/cut_effect.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace reedwright::test {
namespace {

// Any tongue that a shop might meet: stations of thickness and width drawn at random, on a seat.
Reed any_reed() {
    const double length = *rc::gen::inRange(80, 400) * 0.1;
    const auto count = *rc::gen::inRange<std::size_t>(2, 6);
    Stations thickness;
    for (std::size_t i = 0; i < count; ++i)
        thickness.push_back(
            {length * static_cast<double>(i) / static_cast<double>(count - 1), *rc::gen::inRange(70, 300) * 1e-3});
    const double width = *rc::gen::inRange(15, 30) * 0.1;
    Reed result =
        reed(metal(*rc::gen::inRange(90, 210), *rc::gen::inRange(7500, 9000), *rc::gen::inRange(25, 37) * 0.01),
             profile(thickness), profile({{0, width}, {length, width * *rc::gen::inRange(70, 100) * 0.01}}));
    result.seat.give = *rc::gen::inRange(0, 150) * 0.01;
    return result;
}

RC_GTEST_PROP(Cuts, Metal_off_the_tip_raises_and_off_the_root_lowers, ()) {
    // Common practice, no source; and derived: at the tip the curvature is nothing and the deflection all, at the
    // root the other way round. A fifth of a percent of the length is near enough to either end on any tongue.
    const Reed reed = any_reed();
    const Length end = 0.02 * reed.tongue.length();
    const Length depth = 0.02 * reed.tongue.thickness.smallest();
    const Length none = 0.0 * millimetre;
    RC_ASSERT(effect_of_cut(reed, {{reed.tongue.length() - end, reed.tongue.length()}, depth, none}).shift.value() >
              0.0);
    RC_ASSERT(effect_of_cut(reed, {{none, end}, depth, none}).shift.value() < 0.0);
    const auto map = vibration_of(reed).where_map(50);
    RC_ASSERT(map.front().effect.value() < 0.0);
    RC_ASSERT(map.back().effect.value() > 0.0);
    RC_ASSERT(!vibration_of(reed).neutral_places().empty());
}

RC_GTEST_PROP(Cuts, The_depth_found_brings_the_wanted_shift, ()) {
    const Reed reed = any_reed();
    const bool tip = *rc::gen::arbitrary<bool>();
    const double wanted = *rc::gen::inRange(2, 30) * (tip ? 1.0 : -1.0);
    const DepthSearch search =
        find_depth(reed, parse_zone(tip ? "tip" : "root", reed.tongue.length()), 0.1 * millimetre, wanted * cent);
    if (!search.reachable) return;
    // The search ends within 0.01 cent; solved afresh, the cut must agree.
    RC_ASSERT(std::abs(effect_of_cut(reed, search.best.cut).shift.value() - wanted) < 0.01);
    RC_ASSERT(search.best.cut.depth <= search.deepest);
    const FirstPass pass = first_pass(reed, search.best);
    RC_ASSERT(pass.depth < search.best.cut.depth);
    RC_ASSERT(pass.overshoot_chance < 0.0501);
}

RC_GTEST_PROP(Cuts, The_load_found_brings_the_wanted_fall, ()) {
    const Reed reed = any_reed();
    const double wanted = -0.5 * *rc::gen::inRange(2, 200);
    const LoadEffect effect = find_load(reed, reed.tongue.length(), wanted * cent);
    RC_ASSERT(effect.reachable);
    RC_ASSERT(std::abs(effect_of_load(reed, effect.load).shift.value() - wanted) < 0.01);
}

RC_GTEST_PROP(Cuts, A_trial_weight_corrects_the_load_for_a_tongue_that_is_not_as_stated, ()) {
    const Reed stated = any_reed();
    // The real tongue is heavier than it was measured, by up to a tenth, and sounds what it sounds.
    Reed real = stated;
    real.tongue.material.density.value *= 1.0 + 0.01 * *rc::gen::inRange(0, 10);
    const Length tip = stated.tongue.length();
    const Mass trial = 0.02 * stated.tongue.mass();
    const Interval fall = effect_of_load(real, {tip, trial}).shift;
    const Mass naive = find_load(stated, tip, -20.0 * cent).load.mass;
    const Mass corrected = naive / trial_ratio(stated, tip, trial, fall);
    RC_ASSERT(std::abs(effect_of_load(real, {tip, corrected}).shift.value() + 20.0) < 0.1);
}

RC_GTEST_PROP(Cuts, Removed_mass_is_what_the_tongue_loses, ()) {
    const Reed reed = any_reed();
    const double length = in(reed.tongue.length(), millimetre);
    const double from = length * *rc::gen::inRange(0, 70) * 0.01;
    const Cut cut{{from * millimetre, (from + 0.3 * length) * millimetre}, 5.0 * micrometre, 0.1 * millimetre};
    const Tongue after = after_cut(reed.tongue, cut);
    RC_ASSERT(std::abs((removed_mass(reed.tongue, cut) / (reed.tongue.mass() - after.mass())).value() - 1.0) < 1e-6);
}

RC_GTEST_PROP(Cuts, A_reading_is_explained_by_what_is_uncertain_and_by_nothing_else, ()) {
    Reed reed = any_reed();
    reed.tongue.material.youngs_modulus.sigma = 0.03 * reed.tongue.material.youngs_modulus.value;
    const double off = *rc::gen::inRange(-60, 60);
    const Frequency reading = raised_by(pitch_of(reed).pitch, off * cent);
    const ExplainedReading explained = explain_reading(reed, reading);
    RC_ASSERT(std::abs(explained.surprise.value() - off) < 1e-6);
    // The tuner's half cent takes its share of the variance, a small one.
    RC_ASSERT(std::abs(explained.remainder.value()) < 0.01 * std::abs(off) + 1e-3);
    RC_ASSERT(explained.deviations[static_cast<std::size_t>(Input::density)] == 0.0);
    RC_ASSERT(explained.deviations[static_cast<std::size_t>(Input::thickness)] * off >= 0.0);
}

TEST(Cuts, A_zone_is_read_as_the_trade_says_it) {
    const Length length = 15.0 * millimetre;
    EXPECT_NEAR(in(parse_zone("tip", length).from, millimetre), 12.0, 1e-9);
    EXPECT_NEAR(in(parse_zone("root", length).to, millimetre), 3.0, 1e-9);
    EXPECT_NEAR(in(parse_zone("12mm..14.5 mm", length).to, millimetre), 14.5, 1e-9);
}

TEST(Cuts, Ramps_lie_inside_the_zone_and_are_left_out_at_an_end) {
    const Length length = 15.0 * millimetre;
    const Profile tip = depth_profile({{12.0 * millimetre, length}, 10.0 * micrometre, 0.1 * millimetre}, length);
    EXPECT_NEAR(in(tip.at_tip(), micrometre), 10.0, 1e-9);
    EXPECT_NEAR(in(tip.before(12.05 * millimetre), micrometre), 5.0, 1e-6);
    const Profile middle =
        depth_profile({{6.0 * millimetre, 9.0 * millimetre}, 10.0 * micrometre, 0.1 * millimetre}, length);
    EXPECT_NEAR(middle.area().value(), 10e-6 * 2.9e-3, 1e-15);
    const Profile sharp =
        depth_profile({{6.0 * millimetre, 9.0 * millimetre}, 10.0 * micrometre, 0.0 * millimetre}, length);
    EXPECT_NEAR(sharp.area().value(), 10e-6 * 3e-3, 1e-15);
}

TEST(Cuts, What_cannot_be_reached_is_said_with_the_best_that_can) {
    const Reed reed = uniform(15.0, 2.0, 0.12);
    const DepthSearch far = find_depth(reed, {13.0 * millimetre, 14.0 * millimetre}, 0.1 * millimetre, 200.0 * cent);
    EXPECT_FALSE(far.reachable);
    EXPECT_GT(far.best.shift.value(), 10.0);
    EXPECT_NEAR(in(far.deepest, micrometre), 60.0, 1e-6);
    const DepthSearch wrong = find_depth(reed, parse_zone("tip", reed.tongue.length()), 0.1 * millimetre, -10.0 * cent);
    EXPECT_FALSE(wrong.reachable);
}

}  // namespace
}  // namespace reedwright::test
