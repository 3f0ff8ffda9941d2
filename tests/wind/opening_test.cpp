// The way that a deflected tongue leaves open.
#include "core/wind/opening.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

const Length length = 13.0 * millimetre, width = 2.0 * millimetre, clearance = 0.04 * millimetre,
             plate = 0.9 * millimetre;

Opening beam_opening() {
    return Opening::of_uniform_beam(length, width, clearance, plate);
}

// The definition, by the midpoint rule on the exact shape; its own error is below 1e-6 of the area.
double area_by_hand_m2(double tip_m) {
    const auto gap = [](double z) {
        const double T = plate.value(), c = clearance.value();
        return std::hypot(z > 0.0 ? z : z < -T ? -z - T : 0.0, c);
    };
    constexpr int parts = 20000;
    double sum = 0.0;
    for (int i = 0; i < parts; ++i) sum += gap(tip_m * uniform_beam_shape((i + 0.5) / parts)) * length.value() / parts;
    return width.value() * gap(tip_m) + 2.0 * sum;
}

TEST(Opening, Follows_the_tongue_above_in_and_beyond_the_slot) {
    const Opening opening = beam_opening();
    for (double tip_mm = -4.0; tip_mm < 4.0; tip_mm += 0.0371) {
        const double area = opening.area(tip_mm * millimetre).value();
        // The shape is taken straight between 256 places, which costs below 1e-5.
        EXPECT_NEAR(area / area_by_hand_m2(tip_mm * 1e-3), 1.0, 1e-5) << tip_mm;
    }
}

TEST(Opening, Its_table_keeps_to_the_integral) {
    const Opening opening = beam_opening();
    const double steepest = opening.integrated_slope(5.0 * millimetre).value();
    for (double tip_mm = -6.0; tip_mm < 8.0; tip_mm += 0.00171) {
        const Length tip = tip_mm * millimetre;
        ASSERT_NEAR(opening.area(tip) / opening.integrated_area(tip), 1.0, 1e-8) << tip_mm;
        ASSERT_NEAR(opening.slope(tip).value(), opening.integrated_slope(tip).value(), 1e-6 * steepest) << tip_mm;
    }
}

TEST(Opening, Its_slope_is_the_derivative_of_its_area) {
    const Opening opening = beam_opening();
    const Length step = 1e-3 * micrometre;
    for (double tip_mm = -3.0; tip_mm < 3.0; tip_mm += 0.0379) {
        const Length tip = tip_mm * millimetre;
        const double difference =
            ((opening.integrated_area(tip + step) - opening.integrated_area(tip - step)) / (2.0 * step)).value();
        // Rounding: 1e-16 of the area over the step.
        EXPECT_NEAR(opening.integrated_slope(tip).value(), difference, 2e-8) << tip_mm;
    }
}

TEST(Opening, Inside_the_plate_only_the_clearance_is_open) {
    const Opening opening = beam_opening();
    const double around = (clearance * (width + 2.0 * length)).value();
    for (const double tip_mm : {0.0, -0.1, -0.5, -0.9}) {
        EXPECT_NEAR(opening.area(tip_mm * millimetre).value() / around, 1.0, 1e-9);
        EXPECT_NEAR(opening.slope(tip_mm * millimetre).value(), 0.0, 1e-12);
    }
}

TEST(Opening, Far_away_is_the_plain_area_of_tip_and_sides) {
    const Opening opening = beam_opening();
    const Length tip = 50.0 * millimetre;
    const double mean_of_shape = 0.39149567;
    const double plain = (tip * (width + 2.0 * mean_of_shape * length)).value();
    // The clearance adds c^2 ln / q.
    EXPECT_NEAR(opening.area(tip).value() / plain, 1.0, 1e-4);
    EXPECT_NEAR(opening.slope(tip).value() / (plain / tip.value()), 1.0, 1e-4);
}

TEST(Opening, Takes_the_real_mode_of_a_profiled_tongue) {
    const Reed thin_middle = test::reed(test::metal(110.0, 8530.0, 0.34),
                                        test::profile({{0, 0.14}, {4, 0.09}, {9.6, 0.08}, {12, 0.2}, {16, 0.2}}),
                                        test::profile({{0, 2.4}, {16, 2.4}}));
    const Vibration vibration = vibration_of(thin_middle);
    const Opening real = Opening::of(thin_middle, vibration);
    const Length tip = 3.0 * millimetre;
    double sides = 0.0;
    for (const ModePoint& point : vibration.mode_points())
        sides += point.stretch.value() * std::hypot(tip.value() * point.deflection, thin_middle.slot.clearance.value());
    const double by_hand = 2.4e-3 * std::hypot(tip.value(), thin_middle.slot.clearance.value()) + 2.0 * sides;
    EXPECT_NEAR(real.area(tip).value() / by_hand, 1.0, 2e-5);
    // And that mode is not a uniform beam's.
    const Opening uniform = Opening::of_uniform_beam(16.0 * millimetre, 2.4 * millimetre, thin_middle.slot.clearance,
                                                     thin_middle.slot.plate_thickness);
    EXPECT_GT(std::abs(real.area(tip) / uniform.area(tip) - 1.0), 0.005);
}

TEST(Opening, A_tongue_without_clearance_is_refused) {
    EXPECT_THROW(Opening::of_uniform_beam(length, width, 0.0 * metre, plate), InputError);
}

}  // namespace
}  // namespace reedwright
