// From a tongue on its seat to the strip that is solved.
#pragma once

#include "core/vibration/strip.hpp"
#include "core/vibration/vibration.hpp"

namespace reedwright::kernel {

/// Legendre orders across the width: as a rule, and with Model::more_orders_across.
constexpr std::size_t strip_orders = 4;
constexpr std::size_t more_strip_orders = 6;

/// Transverse shear lowers the pitch by this times (root thickness / length)^2; see Model.
constexpr double shear_cents = -970.0;

/// What carries stiffness and mass at a temperature. The beam tier is the strip without Poisson's
/// ratio and corrections.
StripInput strip_input(const Tongue& tongue, const Seat& seat, Temperature temperature, const Model& model);

/// How finely a tier is meshed.
MeshRule mesh_rule(const Model& model);

/// The shear correction, as a factor on the first flapping frequency.
double shear_factor(const Tongue& tongue, const Model& model);

}  // namespace reedwright::kernel
