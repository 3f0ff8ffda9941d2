#include "core/uncertainty/pitch_scatter.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/uncertainty/random.hpp"
#include "core/uncertainty/reduced_pitch.hpp"
#include "tests/uncertainty/random_reeds.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

namespace reedwright {

namespace {

Reed tapered_brass() {
    Reed reed = test::reed(test::metal(106.5, 8440.0, 0.325), test::profile({{0, 0.161}, {6, 0.131}, {15, 0.089}}),
                           test::profile({{0, 2}, {15, 2}}));
    reed.seat.give = 0.64;
    reed.air = Air{};
    test::add_usual_spread(reed);
    return reed;
}

PitchScatter scatter(const Reed& reed, std::uint64_t samples, unsigned threads = 0, std::uint64_t seed = 1,
                     Model model = {}) {
    return pitch_scatter(reed, model, {samples, seed, threads, {}});
}

double first_order_cents(const Reed& reed) {
    double squares = 0.0;
    for (const double cents : cents_per_deviation(reed, vibration_of(reed), Model{})) squares += cents * cents;
    return std::sqrt(squares);
}

TEST(PitchScatter, Is_the_same_bits_for_one_two_and_three_threads) {
    const Reed reed = tapered_brass();
    // 100003 leaves a remainder in blocks, batches and lanes.
    const PitchScatter alone = scatter(reed, 100003, 1);
    for (const unsigned threads : {2U, 3U}) {
        const PitchScatter together = scatter(reed, 100003, threads);
        EXPECT_EQ(alone.mean, together.mean);
        EXPECT_EQ(alone.standard, together.standard);
        EXPECT_EQ(alone.low95, together.low95);
        EXPECT_EQ(alone.high95, together.high95);
    }
    EXPECT_NE(alone.mean, scatter(reed, 100003, 1, 2).mean);
}

TEST(PitchScatter, Modulus_and_seat_of_one_calibration_are_drawn_together_and_budgeted_together) {
    Reed reed = tapered_brass();
    reed.tongue.material.youngs_modulus.sigma = 0.012 * reed.tongue.material.youngs_modulus.value;
    reed.seat.give_sigma = 0.3;
    reed.spread = Spread{0.2 * micrometre, 0.003 * millimetre, 0.001 * millimetre, {}, {}};
    const double apart = scatter(reed, 200000).standard.value();
    double last = apart;
    for (const double correlation : {0.5, 0.9}) {
        reed.seat.modulus_correlation = correlation;
        const double told = pitch_budget(reed, vibration_of(reed), {}).of_inputs().value();
        const double drawn = scatter(reed, 200000).standard.value();
        // 200 000 draws hold a standard deviation to 0.16 %; the pitch bends a little over the give.
        EXPECT_NEAR(drawn / told, 1.0, 0.01) << correlation;
        EXPECT_LT(drawn, 0.95 * last) << correlation;
        last = drawn;
    }
    // A stiffer lot on a seat that gives more: opposite signs, so the other way they add up.
    reed.seat.modulus_correlation = -0.9;
    EXPECT_GT(scatter(reed, 200000).standard.value(), 1.05 * apart);
}

TEST(PitchScatter, Is_the_scatter_of_the_full_model_sample_by_sample) {
    const Reed reed = tapered_brass();
    constexpr std::size_t count = 3000;
    std::array<std::vector<double>, 8> z;
    for (auto& column : z) column.resize(count);
    for (std::size_t pair = 0; pair < 4; ++pair)
        RandomSamples(1).normal(0, static_cast<std::uint32_t>(pair), z[2 * pair], z[2 * pair + 1]);
    std::vector<double> cents(count);
    const Frequency nominal = pitch_of(reed).pitch;
    double mean = 0.0;
    for (std::size_t k = 0; k < count; ++k) {
        Deviations one;
        for (std::size_t i = 0; i < input_count; ++i) one[i] = z[i][k];
        cents[k] = full_model_cents(reed, nominal, one, Model{}).value();
        mean += cents[k] / count;
    }
    double squares = 0.0;
    for (const double value : cents) squares += (value - mean) * (value - mean);
    std::sort(cents.begin(), cents.end());
    const PitchScatter result = scatter(reed, count);
    EXPECT_TRUE(result.reduced);
    // The reduced strip's own bound, and one bin of the counting (0.012 cent) for the ends.
    EXPECT_NEAR(result.mean.value(), mean, 0.05);
    EXPECT_NEAR(result.standard.value(), std::sqrt(squares / (count - 1)), 0.05);
    EXPECT_NEAR(result.low95.value(), cents[74], 0.07);
    EXPECT_NEAR(result.high95.value(), cents[2924], 0.07);
}

TEST(PitchScatter, Of_small_spreads_is_the_first_order_budget) {
    std::mt19937_64 random(17);
    for (int tongue = 0; tongue < 8; ++tongue) {
        Reed reed = test::random_reed(random);
        // A tenth of the usual: the second order is then a thousandth of the first or less.
        reed.spread.thickness *= 0.1;
        reed.spread.length *= 0.1;
        reed.spread.width *= 0.1;
        Material& material = reed.tongue.material;
        material.youngs_modulus.sigma = *material.youngs_modulus.sigma * 0.1;
        material.density.sigma = *material.density.sigma * 0.1;
        material.poisson_ratio.sigma = Ratio(0.001);
        reed.seat.give_sigma *= 0.1;
        const PitchScatter result = scatter(reed, 1000000);
        // Three standard errors of a million draws are 0.21 %; the budget's derivatives are in vacuo, where
        // the air takes up to 0.5 % of the effect of the metal; and the second order.
        EXPECT_NEAR(result.standard.value() / first_order_cents(reed), 1.0, 0.01) << "tongue " << tongue;
        EXPECT_NEAR(result.mean.value(), 0.0, 0.01 * result.standard.value());
    }
}

TEST(PitchScatter, Bends_where_the_first_order_cannot) {
    // Thickness alone, 6 um on 0.1 mm: f goes as h, cents as its logarithm.
    Reed reed = test::uniform(15.0, 2.0, 0.1);
    reed.spread = {6.0 * micrometre, 0.0 * metre, 0.0 * metre, 0.0, 0.0};
    reed.tongue.material.poisson_ratio.sigma = Ratio(0.0);
    const PitchScatter result = scatter(reed, 1000000);
    EXPECT_TRUE(result.reduced);
    // E ln(1 + s z) = -s^2 / 2 - 3 s^4 / 4 and variance s^2 + 5 s^4 / 2 to the fourth order, s = 0.06; three
    // standard errors are 0.3 and 0.2 cent, and shear and clamp bend the law a little more.
    const double per_ln = 1200.0 / std::log(2.0);
    EXPECT_NEAR(result.mean.value(), per_ln * (-0.0018 - 0.75 * std::pow(0.06, 4)), 0.35);
    EXPECT_NEAR(result.standard.value(), per_ln * 0.06 * (1.0 + 1.25 * 0.0036), 0.6);
    EXPECT_NEAR(result.low95.value(), per_ln * std::log(1.0 - 1.959964 * 0.06), 1.2);
    EXPECT_NEAR(result.high95.value(), per_ln * std::log(1.0 + 1.959964 * 0.06), 1.2);
}

TEST(PitchScatter, Falls_back_on_the_full_model_where_the_reduced_strip_does_not_hold) {
    Reed rigid = test::uniform(15.0, 2.0, 0.1);
    test::add_usual_spread(rigid);
    rigid.seat.give_sigma = 0.2;
    const PitchScatter full = scatter(rigid, 4000, 2, 1, test::bare_plate);
    EXPECT_FALSE(full.reduced);
    EXPECT_EQ(full.greatest_error.value(), 0.0);
    // The reduced strip with the roots that it can take, near by: give 1e-3 moves the pitch by 0.02 cent.
    Reed nearly = rigid;
    nearly.seat.give = 1e-3;
    const PitchScatter reduced = scatter(nearly, 4000, 2, 1, test::bare_plate);
    EXPECT_TRUE(reduced.reduced);
    EXPECT_NEAR(full.standard.value(), reduced.standard.value(), 0.05);
    EXPECT_NEAR(full.mean.value(), reduced.mean.value(), 0.05);
}

TEST(PitchScatter, Keeps_an_input_of_unknown_spread_and_says_so) {
    Reed reed = test::uniform(15.0, 2.0, 0.1);
    const PitchScatter result = scatter(reed, 20000);
    EXPECT_EQ(result.unknown_spread, (std::vector{Input::modulus, Input::density, Input::poisson}));
    // Three standard errors of 20000 draws are 1.5 %.
    EXPECT_NEAR(result.standard.value() / first_order_cents(reed), 1.0, 0.02);
}

TEST(PitchScatter, Refuses_a_spread_that_reaches_zero) {
    Reed reed = tapered_brass();
    reed.spread.thickness = 15.0 * micrometre;
    EXPECT_EQ(impossible_spread(reed), "the thickness reaches zero within 6 standard deviations of 15 um");
    EXPECT_THROW(scatter(reed, 1000), std::invalid_argument);
    EXPECT_EQ(impossible_spread(tapered_brass()), "");
}

}  // namespace

}  // namespace reedwright
