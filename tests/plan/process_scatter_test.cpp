// The spread of a design before tuning.
#include "core/plan/process_scatter.hpp"
#include "core/plan/instrument_file.hpp"

#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

Design club() {
    return read_design_file(REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml",
                            MaterialLibrary(REEDWRIGHT_SOURCE_DIR "/materials"));
}

TEST(ProcessScatter, It_is_the_same_for_any_number_of_threads) {
    Design design = club();
    const auto tongues = plan_tongues(design);
    const auto one = process_scatter(design, tongues, {2000, 7, 1, {}});
    const auto two = process_scatter(design, tongues, {2000, 7, 2, {}});
    ASSERT_EQ(one.size(), 20U);
    for (std::size_t i = 0; i < one.size(); ++i) {
        EXPECT_EQ(one[i].scatter.mean.value(), two[i].scatter.mean.value());
        EXPECT_EQ(one[i].scatter.high95.value(), two[i].scatter.high95.value());
    }
}

TEST(ProcessScatter, The_input_named_first_is_the_one_whose_tightening_helps_most) {
    Design design = club();
    const auto tongues = plan_tongues(design);
    const ScatterRequest request{5000, 3, 0, {}};
    const auto before = process_scatter(design, tongues, request);
    // The lowest tongue is thin: its thickness.
    ASSERT_EQ(before[0].tighten_first, Input::thickness);
    const double gain = before[0].tighten_share;
    design.process->thickness = 0.001 * design.process->thickness;
    const auto after = process_scatter(design, tongues, request);
    const double kept = std::pow(after[0].scatter.standard.value() / before[0].scatter.standard.value(), 2);
    // The variance that goes is the share that was told, to a Monte Carlo of 5000 and the first order: a few
    // hundredths.
    EXPECT_NEAR(kept, 1.0 - gain, 0.04);
}

TEST(ProcessScatter, Only_what_a_shop_can_hold_closer_is_named_and_the_lots_share_is_told_apart) {
    Design design = club();
    // A lot that nobody knows: its modulus makes nearly all of the spread.
    for (InstrumentReed& one : design.instrument.reeds)
        one.reed.tongue.material.youngs_modulus.sigma = 0.15 * one.reed.tongue.material.youngs_modulus.value;
    design.process->length = 0.2 * millimetre;
    design.process->thickness = 0.01 * micrometre;
    design.process->modulus_share.reset();
    const auto scatter = process_scatter(design, plan_tongues(design), {100, 3, 0, {}});
    EXPECT_EQ(tighten_first(scatter), Input::length);
    for (const TongueScatter& one : scatter) {
        EXPECT_EQ(one.tighten_first, Input::length);
        double variance = 0.0;
        for (const double cents : one.effect_cents) variance += cents * cents;
        const auto part = [&](Input input) { return std::pow(one.effect_cents[index_of(input)], 2) / variance; };
        // The same sums in another order: equal to rounding.
        EXPECT_NEAR(one.tighten_share, part(Input::length), 1e-12);
        EXPECT_NEAR(one.lot_share, part(Input::modulus) + part(Input::density) + part(Input::seat), 1e-12);
        EXPECT_GT(one.lot_share, one.tighten_share);
    }
    EXPECT_GT(lot_share(scatter), 0.5);
    EXPECT_LT(lot_share(scatter), 1.0);
}

TEST(ProcessScatter, A_spread_beyond_what_cuts_take_in_loses_tongues) {
    Design design = club();
    auto tongues = plan_tongues(design);
    const ScatterRequest request{2000, 3, 0, {}};
    EXPECT_LT(process_scatter(design, tongues, request)[0].beyond_recovery, 1e-6);
    for (PlannedTongue& tongue : tongues) {
        tongue.room_up = 50.0 * cent;
        tongue.room_down = -50.0 * cent;
    }
    const auto narrow = process_scatter(design, tongues, request)[0];
    // Some 54 cents of spread about -3: P(|x| > 50) lies near 0.36.
    EXPECT_NEAR(narrow.beyond_recovery, std::erfc(50.0 / narrow.scatter.standard.value() / std::sqrt(2.0)), 0.01);
}

}  // namespace
}  // namespace reedwright
