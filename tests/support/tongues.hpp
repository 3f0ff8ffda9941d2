// Short ways to say a tongue in a test.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/pitch.hpp"
#include "core/vibration/vibration.hpp"

#include <cmath>
#include <initializer_list>
#include <numbers>
#include <utility>
#include <vector>

namespace reedwright::test {

inline Material metal(double youngs_gpa, double density_kg_m3, double poisson) {
    Material material;
    material.name = "test metal";
    material.youngs_modulus.value = youngs_gpa * gigapascal;
    material.density.value = density_kg_m3 * kilogram_per_cubic_metre;
    material.poisson_ratio.value = Ratio(poisson);
    return material;
}

/// Stations in millimetres.
inline Profile profile(const std::vector<std::pair<double, double>>& stations_mm) {
    std::vector<Station> stations;
    for (const auto& [at, value] : stations_mm) stations.push_back({at * millimetre, value * millimetre});
    return Profile(std::move(stations));
}

/// A reed in vacuo on an ideal clamp.
inline Reed reed(const Material& material, const Profile& thickness, const Profile& width) {
    Reed result{std::nullopt,
                440.0 * hertz,
                Tongue{material, thickness, width, {}},
                {},
                {},
                {},
                {},
                std::nullopt,
                {},
                celsius(20.0),
                {},
                {}};
    result.seat = Seat{0.0, 0.0, thickness.at_root(), width.at_root(), false};
    return result;
}

using Stations = std::vector<std::pair<double, double>>;

inline Reed uniform(double length_mm, double width_mm, double thickness_mm,
                    const Material& material = metal(110.0, 8530.0, 0.34)) {
    return reed(material, Profile::constant(length_mm * millimetre, thickness_mm * millimetre),
                Profile::constant(length_mm * millimetre, width_mm * millimetre));
}

inline constexpr Model beam{Tier::beam, true, 1.0, false};
inline constexpr Model bare_plate{Tier::strip, false, 2.0, true};
inline constexpr Model strip{Tier::strip, true, 1.0, false};

/// lambda = omega L^2 sqrt(rho A / E I) of the root section, for each flapping mode.
inline std::vector<double> lambdas(const Reed& reed, std::size_t count, Model model = beam) {
    const auto frequencies = vibration_of(reed, model).flap(count);
    const double length = reed.tongue.length().value();
    const double root = reed.tongue.thickness.at_root().value();
    const double scale = length * length *
                         std::sqrt(12.0 * reed.tongue.material.density.value.value() /
                                   reed.tongue.material.youngs_modulus.value.value()) /
                         root;
    std::vector<double> result;
    for (const Frequency& f : frequencies) result.push_back(2.0 * std::numbers::pi * f.value() * scale);
    return result;
}

inline double cents(double from, double to) {
    return 1200.0 * std::log2(to / from);
}

}  // namespace reedwright::test
