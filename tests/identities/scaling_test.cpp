// Laws that hold for every tongue.
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>

namespace reedwright::test {
namespace {

// A tongue with everything: steps, ramps, width stations, a load, a seat.
Reed rich(double scale = 1.0) {
    const auto scaled = [&](Stations stations) {
        for (auto& [at, value] : stations) {
            at *= scale;
            value *= scale;
        }
        return profile(stations);
    };
    Reed result =
        reed(metal(110.0, 8530.0, 0.34), scaled({{0, 0.15}, {4, 0.10}, {9, 0.09}, {9, 0.16}, {11, 0.2}, {16, 0.18}}),
             scaled({{0, 2.4}, {10, 2.2}, {16, 2.0}}));
    result.seat.give = 0.64;
    result.tongue.loads.push_back(
        {14.5 * scale * millimetre, 1.5 * std::pow(scale, 3) * milligram, 1.0 * scale * millimetre});
    return result;
}

TEST(Scaling, A_tongue_twice_as_large_sounds_an_octave_lower) {
    for (const Model model : {beam, bare_plate, strip})
        EXPECT_NEAR(cents(vibration_of(rich(2.0), model).fundamental().value(),
                          vibration_of(rich(), model).fundamental().value()),
                    1200.0, 1e-4);  // rounding, with elements a thousandth of the length at the sharp step
}

TEST(Scaling, Pitch_goes_as_the_root_of_modulus_over_density) {
    Reed stiffer = rich();
    stiffer.tongue.material.youngs_modulus.value *= 1.21;
    // Rounding in a factor of a few hundred unknowns: below a ten-thousandth of a cent, most of it from the short
    // elements at the sharp step.
    EXPECT_NEAR((vibration_of(stiffer).fundamental() / vibration_of(rich()).fundamental()).value(), 1.1, 1e-7);
    Reed heavier = rich();
    heavier.tongue.material.density.value *= 4.0;
    heavier.tongue.loads[0].mass *= 4.0;
    EXPECT_NEAR((vibration_of(heavier).fundamental() / vibration_of(rich()).fundamental()).value(), 0.5, 1e-7);
}

TEST(Scaling, Warm_metal_falls_by_half_the_sum_of_its_coefficients) {
    // df/f = (e_E + alpha) / 2 per kelvin.
    Reed reed = rich();
    reed.tongue.material.modulus_change = Property<PerTemperature>{-390e-6 * per_kelvin, {}, {}, {}, {}, ""};
    reed.tongue.material.expansion = Property<PerTemperature>{20e-6 * per_kelvin, {}, {}, {}, {}, ""};
    const double cold = vibration_of(reed).fundamental().value();
    reed.temperature = celsius(30.0);
    // Second order in ten kelvin is below a thousandth of a cent times ten.
    EXPECT_NEAR(cents(cold, vibration_of(reed).fundamental().value()), 10.0 * -0.320, 0.01);
}

TEST(Scaling, A_softer_seat_and_a_heavier_load_lower_every_mode) {
    Reed softer = rich();
    softer.seat.give = 1.5;
    Reed loaded = rich();
    loaded.tongue.loads[0].mass *= 3.0;
    const auto base = vibration_of(rich()).flap(3);
    const auto soft = vibration_of(softer).flap(3);
    const auto heavy = vibration_of(loaded).flap(3);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_LT(soft[i], base[i]);
        EXPECT_LT(heavy[i], base[i]);
    }
}

TEST(Scaling, The_seat_is_worth_its_extra_length_at_first_order) {
    // A give of s root thicknesses lowers a uniform tongue as a length of L + s h would: within its second order.
    Reed seated = uniform(15.0, 2.0, 0.1);
    seated.seat.give = 0.64;
    const double longer = -2400.0 * std::log2(1.0 + 0.64 * 0.1 / 15.0);
    EXPECT_NEAR(cents(vibration_of(uniform(15.0, 2.0, 0.1), beam).fundamental().value(),
                      vibration_of(seated, beam).fundamental().value()),
                longer, 0.02 * std::abs(longer));
}

TEST(Scaling, Stations_that_say_nothing_change_nothing) {
    const Material brass = metal(110.0, 8530.0, 0.34);
    const Reed plain = reed(brass, profile({{0, 0.16}, {15, 0.08}}), profile({{0, 2}, {15, 2}}));
    const Reed chatty = reed(brass, profile({{0, 0.16}, {3, 0.144}, {7.5, 0.12}, {7.5, 0.12}, {15, 0.08}}),
                             profile({{0, 2}, {5, 2}, {15, 2}}));
    // The mesh differs, its error is below this.
    EXPECT_NEAR(cents(vibration_of(plain).fundamental().value(), vibration_of(chatty).fundamental().value()), 0.0,
                0.01);
    EXPECT_NEAR(
        cents(vibration_of(plain, beam).fundamental().value(), vibration_of(chatty, beam).fundamental().value()), 0.0,
        1e-4);
}

TEST(Scaling, A_hundred_stations_cost_no_digits) {
    const Material brass = metal(110.0, 8530.0, 0.34);
    Stations stations;
    for (int i = 0; i <= 400; ++i) stations.push_back({15.0 * i / 400.0, 0.16 - 0.08 * i / 400.0});
    const Reed fine = reed(brass, profile(stations), profile({{0, 2}, {15, 2}}));
    const Reed plain = reed(brass, profile({{0, 0.16}, {15, 0.08}}), profile({{0, 2}, {15, 2}}));
    EXPECT_NEAR(cents(vibration_of(plain).fundamental().value(), vibration_of(fine).fundamental().value()), 0.0, 0.01);
}

TEST(Scaling, The_first_mode_is_normalised_and_its_stiffness_belongs_to_it) {
    const Vibration vibration = vibration_of(rich());
    EXPECT_NEAR(vibration.deflection_at(16.0 * millimetre), 1.0, 1e-12);
    EXPECT_NEAR(vibration.deflection_at(0.0 * millimetre), 0.0, 1e-12);
    const double omega = 2.0 * std::numbers::pi * vibration.fundamental().value();
    EXPECT_NEAR(vibration.stiffness().value() / (omega * omega * vibration.modal_mass().value()), 1.0, 1e-12);
    const auto shapes = vibration.shape(1, 40);
    EXPECT_NEAR(shapes.back().deflection, 1.0, 1e-12);
    // The second mode crosses zero once.
    int crossings = 0;
    for (std::size_t i = 2; i < shapes.size(); ++i)
        crossings += shapes[i - 1].deflection * shapes[i].deflection < 0.0 ? 1 : 0;
    EXPECT_EQ(crossings, 1);
}

}  // namespace
}  // namespace reedwright::test
