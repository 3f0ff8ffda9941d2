// What a tongue or a plate is made of: values with their spread and where they come from.
#pragma once

#include "core/quantity/quantity.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A material value: the one to reckon with, the range that published data span, one standard
/// deviation of the lot in hand, the temperature at which it holds, and the source.
template <class Quantity>
struct Property {
    Quantity value;
    std::optional<Quantity> low;
    std::optional<Quantity> high;
    std::optional<Quantity> sigma;
    std::optional<Temperature> at;
    std::string source;
};

/// An isotropic alloy. Modulus, density and Poisson's ratio are always there; the rest is empty
/// where nothing is known, and what depends on it is then reported as unknown.
struct Material {
    /// The library's file name without its ending; empty for a material given in place.
    std::string id;
    std::string name;
    /// What people call its kind: "brass", "bronze", "steel", "nickel silver"; empty when not said.
    std::string family;
    std::string condition;
    /// What it comes as: "strip" for tongues, "plate" for plates; empty when not said.
    std::string form;

    Property<Pressure> youngs_modulus;
    Property<Density> density;
    Property<Ratio> poisson_ratio;
    /// (1/E) dE/dT.
    std::optional<Property<PerTemperature>> modulus_change;
    /// Linear thermal expansion.
    std::optional<Property<PerTemperature>> expansion;
    std::optional<Property<Pressure>> tensile_strength;
    std::optional<Property<Pressure>> proof_strength;
    /// Fully reversed bending stress endured for fatigue_cycles.
    std::optional<Property<Pressure>> fatigue_strength;
    std::optional<Property<Ratio>> fatigue_cycles;
    /// Loss factor of the metal, 1/Q of its own damping.
    std::optional<Property<Ratio>> loss_factor;

    /// Cautions to print whenever the alloy is used (beryllium, lead).
    std::vector<std::string> cautions;
};

}  // namespace reedwright
