// Calibration on made-up lots whose truth is known.
#include "core/retune/calibration.hpp"
#include "core/input/diagnostic.hpp"
#include "core/retune/calibration_file.hpp"
#include "core/retune/reading.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/uncertainty/inputs.hpp"
#include "core/vibration/pitch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/tongues.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <random>

namespace reedwright::test {
namespace {

constexpr double modulus_share = 0.03;

Material lot_metal() {
    Material material = metal(106.5, 8440.0, 0.325);
    material.id = "made-up";
    material.youngs_modulus.sigma = modulus_share * material.youngs_modulus.value;
    material.density.sigma = 0.0 * material.density.value;
    return material;
}

struct Truth {
    double factor;
    double give;
};

// A tongue measured with the errors that its spread states, and read on the true one.
MeasuredTongue measured(const Reed& stated, const Truth& truth, std::mt19937& random, double off_cents = 0.0) {
    std::normal_distribution<> normal;
    Deviations errors{};
    for (const Input input : {Input::thickness, Input::length, Input::width})
        errors[static_cast<std::size_t>(input)] = normal(random);
    Reed real = with_deviations(stated, errors);
    real.tongue.material.youngs_modulus.value *= truth.factor * truth.factor;
    real.seat.give = truth.give;
    const Frequency reading = raised_by(pitch_of(real).pitch, (0.5 * normal(random) + off_cents) * cent);
    return {"", stated, reading};
}

Reed stated(double length, double root, double tip) {
    Reed result = reed(lot_metal(), profile({{0, root}, {length, tip}}), profile({{0, 2}, {length, 2}}));
    result.seat.give = 0.64;
    result.seat.give_sigma = 0.32;
    result.spread.thickness = 1.0 * micrometre;
    return result;
}

std::vector<Reed> lot() {
    return {stated(12, 0.10, 0.10), stated(12, 0.14, 0.11), stated(14, 0.12, 0.12), stated(15, 0.16, 0.09),
            stated(15, 0.20, 0.20), stated(17, 0.18, 0.18), stated(10, 0.2, 0.16)};
}

TEST(Calibrating, Truth_lies_inside_the_stated_uncertainty_as_often_as_it_should) {
    std::mt19937 random(20);
    std::normal_distribution<> normal;
    constexpr int lots = 150;
    double factor_squares = 0.0;
    double give_squares = 0.0;
    double next_squares = 0.0;
    double together_cents = 0.0;
    double apart_cents = 0.0;
    int outliers = 0;
    for (int i = 0; i < lots; ++i) {
        // Truths drawn from the priors (the give kept above nothing).
        const Truth truth{std::exp(0.5 * modulus_share * normal(random)), std::max(0.05, 0.64 + 0.32 * normal(random))};
        std::vector<MeasuredTongue> tongues;
        for (const Reed& reed : lot()) tongues.push_back(measured(reed, truth, random));
        const Calibration found = calibrate(tongues);
        factor_squares += std::pow((found.speed_factor.value - truth.factor) / found.speed_factor.sigma, 2);
        give_squares += std::pow((found.give.value - truth.give) / found.give.sigma, 2);
        for (const CalibratedTongue& tongue : found.tongues) outliers += tongue.outlier ? 1 : 0;
        EXPECT_LT(found.speed_factor.sigma, 0.8 * found.prior_speed_factor.sigma);
        // The next tongue of the lot, on the calibrated model against a reading of it.
        const Reed next = stated(13, 0.15, 0.11);
        Reed known = with_calibration(next, found);
        const Frequency reading = measured(next, truth, random).reading;
        const Budget budget = pitch_budget(known, vibration_of(known), {});
        const double standard = std::hypot(budget.of_inputs().value(), tuner_deviation.value());
        next_squares += std::pow(cents(pitch_of(known).pitch.value(), reading.value()) / standard, 2);
        // Of the lot and the seat alone.
        known.spread.thickness = known.spread.length = known.spread.width = 0.0 * metre;
        together_cents += pitch_budget(known, vibration_of(known), {}).of_inputs().value() / lots;
        known.seat.modulus_correlation = 0.0;
        apart_cents += pitch_budget(known, vibration_of(known), {}).of_inputs().value() / lots;
    }
    EXPECT_NEAR(next_squares / lots, 1.0, 0.35);
    // What is known of modulus and seat together is what makes the next tongue's pitch known: some nine tenths of their
    // variance cancel here, of which half is asked.
    EXPECT_LT(together_cents, 0.6 * apart_cents);
    // Mean squares of 150 unit normals lie within 1 +- 0.35 (three standard deviations of sqrt(2 / 150)).
    EXPECT_NEAR(factor_squares / lots, 1.0, 0.35);
    EXPECT_NEAR(give_squares / lots, 1.0, 0.35);
    // Three deviations are passed by one sound tongue in 370; 1050 were read.
    EXPECT_LT(outliers, 12);
}

TEST(Calibrating, A_cracked_tongue_is_named_and_left_out) {
    std::mt19937 random(4);
    std::vector<MeasuredTongue> tongues;
    const auto reeds = lot();
    for (std::size_t i = 0; i < reeds.size(); ++i)
        tongues.push_back(measured(reeds[i], {1.01, 0.8}, random, i == 3 ? -90.0 : 0.0));
    const Calibration found = calibrate(tongues);
    for (std::size_t i = 0; i < reeds.size(); ++i) EXPECT_EQ(found.tongues[i].outlier, i == 3) << i;
    EXPECT_LT(found.tongues[3].standardised, -3.0);
}

TEST(Calibrating, One_reading_moves_everything_by_its_share) {
    std::mt19937 random(5);
    const Reed one = stated(15, 0.12, 0.12);
    const MeasuredTongue tongue{"one", one, raised_by(pitch_of(one).pitch, 20.0 * cent)};
    const Calibration found = calibrate({tongue});
    EXPECT_GT(found.speed_factor.value, 1.0);
    EXPECT_LT(found.give.value, 0.64);
    EXPECT_GT(found.tongues[0].thickness_correction.value(), 0.0);
    // The parts add up to the reading but for the tuner's share.
    Reed calibrated = with_calibration(one, found);
    calibrated.seat.give = found.give.value;
    EXPECT_NEAR(cents(pitch_of(calibrated).pitch.value(), tongue.reading.value()), found.tongues[0].residual.value(),
                0.01);
}

TEST(Calibrating, A_calibration_survives_its_file) {
    Scratch scratch;
    std::mt19937 random(6);
    std::vector<MeasuredTongue> tongues;
    for (const Reed& reed : lot()) tongues.push_back(measured(reed, {0.99, 0.5}, random));
    const Calibration found = calibrate(tongues);
    const auto file = scratch.path() / "lot.yaml";
    std::ofstream(file) << calibration_text(found);
    const Calibration read = read_calibration_file(file);
    EXPECT_EQ(read.material, "made-up");
    EXPECT_NEAR(read.speed_factor.value, found.speed_factor.value, 1e-6);
    EXPECT_NEAR(read.speed_factor.sigma, found.speed_factor.sigma, 1e-6);
    EXPECT_NEAR(read.give.value, found.give.value, 1e-5);
    EXPECT_NEAR(read.correlation, found.correlation, 1e-4);
}

TEST(Calibrating, A_seat_that_the_file_states_stays_and_another_alloy_is_refused) {
    Calibration calibration{};
    calibration.material = "made-up";
    calibration.speed_factor = {1.02, 0.005};
    calibration.give = {1.2, 0.1};
    Reed reed = stated(15, 0.12, 0.12);
    EXPECT_DOUBLE_EQ(with_calibration(reed, calibration).seat.give, 1.2);
    reed.seat.stated = true;
    EXPECT_DOUBLE_EQ(with_calibration(reed, calibration).seat.give, 0.64);
    calibration.material = "cusn6-r620";
    EXPECT_THROW(with_calibration(reed, calibration), InputError);
}

TEST(Calibrating, What_speaks_against_a_result_is_said) {
    using testing::ElementsAre;
    using testing::HasSubstr;
    Material material = lot_metal();
    material.youngs_modulus.low = 103e9 * pascal;
    material.youngs_modulus.high = 110e9 * pascal;
    Calibration good{};
    good.material = "made-up";
    good.prior_speed_factor = {1.0, 0.015};
    good.speed_factor = {1.005, 0.005};
    good.prior_give = {0.64, 0.32};
    good.give = {0.7, 0.1};
    good.tongues.resize(3);
    EXPECT_TRUE(calibration_warnings(good, material).empty());

    Calibration few = good;
    few.tongues[2].outlier = true;
    EXPECT_THAT(calibration_warnings(few, material), ElementsAre(HasSubstr("2 tongues make no lot")));
    Calibration stiff = good;
    stiff.speed_factor.value = 1.02;  // 110.8 GPa, 1.3 deviations
    EXPECT_THAT(calibration_warnings(stiff, material), ElementsAre(HasSubstr("outside the 103 to 110 GPa")));
    stiff.speed_factor.value = 1.04;
    Material unbounded = material;
    unbounded.youngs_modulus.low.reset();
    unbounded.youngs_modulus.high.reset();
    EXPECT_THAT(calibration_warnings(stiff, unbounded), ElementsAre(HasSubstr("+2.7 standard deviations")));
    Calibration rigid = good;
    rigid.give.value = 0.0;
    EXPECT_THAT(calibration_warnings(rigid, material), ElementsAre(HasSubstr("the seat would give nothing")));
    // A seat stated as the ideal clamp is one.
    rigid.prior_give = {0.0, 0.001};
    EXPECT_TRUE(calibration_warnings(rigid, material).empty());
    Calibration soft = good;
    soft.give.value = 1.5;
    EXPECT_THAT(calibration_warnings(soft, material), ElementsAre(HasSubstr("look for loose rivets")));
}

TEST(Calibrating, The_command_warns_of_two_tongues_that_no_alloy_makes) {
    const Scratch scratch;
    const auto file = (scratch.path() / "two.yaml").string();
    std::ofstream(file) << "material: cuzn37-r630\ntongues:\n"
                           "  - {name: one, length: 15 mm, width: 2 mm, thickness: 0.12 mm, reading: 327 Hz}\n"
                           "  - {name: two, length: 12 mm, width: 2 mm, thickness: 0.12 mm, reading: 513 Hz}\n";
    const Outcome outcome = run_program({"calibrate", file, "--json"});
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    EXPECT_THAT(outcome.err, testing::HasSubstr("warning: 2 tongues make no lot"));
    EXPECT_THAT(outcome.err, testing::HasSubstr("published of cuzn37-r630"));
    EXPECT_THAT(outcome.out, testing::HasSubstr("\"warnings\""));
}

}  // namespace
}  // namespace reedwright::test
