// The exact derivatives against central differences of the solved tongue.
#include "core/uncertainty/inputs.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <functional>

namespace reedwright::test {
namespace {

Reed with_steps() {
    Reed result =
        reed(metal(110.0, 8530.0, 0.34), profile({{0, 0.15}, {4, 0.10}, {9, 0.09}, {9, 0.16}, {11, 0.2}, {16, 0.18}}),
             profile({{0, 2.4}, {10, 2.2}, {16, 2.0}}));
    result.seat.give = 0.64;
    result.tongue.loads.push_back({14.5 * millimetre, 1.5 * milligram, 1.0 * millimetre});
    return result;
}

Reed smooth() {
    Reed result = reed(metal(193.0, 7900.0, 0.29), profile({{0, 0.18}, {10, 0.12}}), profile({{0, 1.8}, {10, 1.5}}));
    result.seat.give = 0.75;
    return result;
}

Profile nudged(const Profile& profile, std::size_t station, double metres) {
    auto stations = profile.stations();
    stations[station].value += Length::from_value(metres);
    return Profile(std::move(stations));
}

// Cents per unit by a central difference; change(reed, amount) applies the nudge.
double difference(const Reed& reed, double step, const std::function<void(Reed&, double)>& change, Model model) {
    Reed up = reed, down = reed;
    change(up, step);
    change(down, -step);
    return cents(vibration_of(down, model).fundamental().value(), vibration_of(up, model).fundamental().value()) /
           (2.0 * step);
}

// Central differences of a relative step of a thousandth are good to about 1e-6 of the largest derivative; the
// rounding of two pitches (3e-5 cent with a sharp step, whose elements are short) and the mesh, which follows the
// profile, add their own.
void expect_close(double exact, double by_difference, double largest, const char* what) {
    EXPECT_NEAR(exact, by_difference, 2e-4 * std::abs(largest)) << what;
}

struct Modelled {
    const char* name;
    Reed (*reed)();
    Model model;
};

void PrintTo(const Modelled& modelled, std::ostream* out) {
    *out << modelled.name;
}

class Derivatives : public testing::TestWithParam<Modelled> {};

TEST_P(Derivatives, Match_central_differences_for_every_input) {
    const Reed base = GetParam().reed();
    const Model model = GetParam().model;
    const Sensitivities s = vibration_of(base, model).sensitivities();

    double largest = 0.0;
    for (const auto& d : s.by_thickness) largest = std::max(largest, std::abs(d.value()));
    ASSERT_EQ(s.by_thickness.size(), base.tongue.thickness.stations().size());
    for (std::size_t i = 0; i < s.by_thickness.size(); ++i)
        expect_close(
            s.by_thickness[i].value(),
            difference(
                base, 2e-7, [i](Reed& r, double d) { r.tongue.thickness = nudged(r.tongue.thickness, i, d); }, model),
            largest, "thickness");

    largest = 0.0;
    for (const auto& d : s.by_width) largest = std::max(largest, std::abs(d.value()));
    for (std::size_t i = 0; i < s.by_width.size(); ++i)
        expect_close(s.by_width[i].value(),
                     difference(
                         base, 1e-6, [i](Reed& r, double d) { r.tongue.width = nudged(r.tongue.width, i, d); }, model),
                     largest, "width");

    for (std::size_t k = 0; k < s.by_load.size(); ++k)
        expect_close(s.by_load[k].value(),
                     difference(
                         base, 1e-9, [k](Reed& r, double d) { r.tongue.loads[k].mass += Mass::from_value(d); }, model),
                     s.by_load[k].value(), "load");

    expect_close(s.by_modulus.value(),
                 difference(
                     base, 1e-4, [](Reed& r, double d) { r.tongue.material.youngs_modulus.value *= 1.0 + d; }, model),
                 s.by_modulus.value(), "modulus");
    expect_close(s.by_density.value(),
                 difference(
                     base, 1e-4, [](Reed& r, double d) { r.tongue.material.density.value *= 1.0 + d; }, model),
                 s.by_density.value(), "density");
    const auto longer = [](Reed& r, double d) {
        const double stretch = 1.0 + d / r.tongue.length().value();
        const auto stretched = [&](const Profile& p) {
            auto stations = p.stations();
            for (Station& station : stations) station.at *= stretch;
            return Profile(std::move(stations));
        };
        r.tongue.thickness = stretched(r.tongue.thickness);
        r.tongue.width = stretched(r.tongue.width);
        for (Load& load : r.tongue.loads) load.at *= stretch;
    };
    expect_close(s.by_length.value(), difference(base, 5e-6, longer, model), s.by_length.value(), "length");
    // The seat's spring is in inverse proportion to the give and the clamp's layer together.
    const double layer = clamp_layer_of(base.tongue.material, base.seat, model).give;
    const double by_give = -s.by_seat.value() / (base.seat.give + layer);
    expect_close(by_give,
                 difference(
                     base, 5e-3, [](Reed& r, double d) { r.seat.give += d; }, model),
                 by_give, "seat");
}

INSTANTIATE_TEST_SUITE_P(Tongues, Derivatives,
                         testing::Values(Modelled{"with_steps_strip", &with_steps, strip},
                                         Modelled{"with_steps_bare_plate", &with_steps, bare_plate},
                                         Modelled{"with_steps_beam", &with_steps, beam},
                                         Modelled{"smooth_strip", &smooth, strip},
                                         Modelled{"smooth_beam", &smooth, beam}),
                         [](const auto& tested) { return std::string(tested.param.name); });

TEST(Inputs, Cents_per_deviation_match_the_reed_with_that_deviation) {
    Reed base = with_steps();
    base.tongue.material.youngs_modulus.sigma = 0.03 * base.tongue.material.youngs_modulus.value;
    base.tongue.material.density.sigma = 0.003 * base.tongue.material.density.value;
    base.tongue.material.poisson_ratio.sigma = Ratio(0.01);
    base.seat.give_sigma = 0.32;
    const auto gain = cents_per_deviation(base, vibration_of(base), strip);
    for (std::size_t i = 0; i < input_count; ++i) {
        Deviations up{}, down{};
        up[i] = 0.1;
        down[i] = -0.1;
        const double found = cents(vibration_of(with_deviations(base, down)).fundamental().value(),
                                   vibration_of(with_deviations(base, up)).fundamental().value()) /
                             0.2;
        // Poisson's ratio is a one-sided difference of a whole deviation; for the others the difference of two
        // pitches 0.2 deviations apart carries their rounding, five times, and a little of its curvature.
        EXPECT_NEAR(gain[i], found, all_inputs[i] == Input::poisson ? 0.05 : 2e-4 * std::abs(found) + 5e-4)
            << input_name(all_inputs[i]);
    }
}

}  // namespace
}  // namespace reedwright::test
