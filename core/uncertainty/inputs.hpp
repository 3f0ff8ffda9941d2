// What is uncertain about a reed, counted in standard deviations.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/input_order.hpp"
#include "core/vibration/vibration.hpp"

#include <array>
#include <optional>
#include <string_view>

namespace reedwright {

inline constexpr std::array<Input, input_count> all_inputs{
    Input::thickness, Input::modulus, Input::density, Input::poisson, Input::length, Input::width, Input::seat};

/// "thickness", "Young's modulus", ...
std::string_view input_name(Input input);

/// A deviation of every input from the stated value, in standard deviations of that input.
using Deviations = std::array<double, input_count>;

/// One standard deviation of an input in its own unit (metre, 1, ...); empty where nobody has stated
/// one (the modulus of a material given in place).
std::optional<double> standard_deviation(const Reed& reed, Input input);
/// The same with its unit, "2 um" or "3 %".
std::string standard_deviation_text(const Reed& reed, Input input);

/// The reed as it would be with these deviations. Thickness and width deviate by one amount at all
/// stations, the root as made included; stations and loads move in proportion to the length; the seat
/// never gives less than nothing. Inputs without a stated spread stay.
Reed with_deviations(const Reed& reed, const Deviations& deviations);

/// Cents for one standard deviation of each input, from the exact derivatives (Poisson's ratio and the seat
/// of a rigid root: from a second solution). Zero for inputs without a stated spread.
std::array<double, input_count> cents_per_deviation(const Reed& reed, const Vibration& vibration, Model model);

/// Effects of independent inputs that make up the same variance: what the seat has in common with the modulus is
/// counted to the modulus (Cholesky factor of their correlation).
std::array<double, input_count> uncorrelated(std::array<double, input_count> effects, const Reed& reed);

}  // namespace reedwright
