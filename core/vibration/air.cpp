#include "core/vibration/air.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

constexpr double standard_pressure_pa = 101325.0;

// K1(z) / K0(z) for Re z > 0 from K_n(z) = int_0^inf exp(-z cosh t) cosh(n t) dt. The trapezoid rule
// converges faster than any power of its step for an integrand that dies out doubly exponentially.
std::complex<double> bessel_ratio(std::complex<double> z) {
    constexpr double step = 0.02;
    constexpr double negligible = 45.0;
    std::complex<double> k0 = 0.5;
    std::complex<double> k1 = 0.5;
    for (int i = 1;; ++i) {
        const double t = step * i;
        const double rise = std::cosh(t) - 1.0;
        if (z.real() * rise > negligible) break;
        const std::complex<double> term = std::exp(-z * rise);
        k0 += term;
        k1 += term * std::cosh(t);
    }
    return k1 / k0;
}

}  // namespace

Density air_density(const Air& air) {
    const double t_k = air.temperature.value();
    const double t_c = in_celsius(air.temperature);
    const double p = standard_pressure_pa;
    constexpr double molar_gas = 8.314472;
    constexpr double molar_air_kg = 28.96546e-3;
    constexpr double water_to_air = 0.3780;  // 1 - M_v / M_a
    const double saturation = std::exp(1.2378847e-5 * t_k * t_k - 1.9121316e-2 * t_k + 33.93711047 - 6.3431645e3 / t_k);
    const double enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t_c * t_c;
    const double vapour = air.humidity * enhancement * saturation / p;
    const double compressibility =
        1.0 -
        p / t_k *
            (1.58123e-6 - 2.9331e-8 * t_c + 1.1043e-10 * t_c * t_c + (5.707e-6 - 2.051e-8 * t_c) * vapour +
             (1.9898e-4 - 2.376e-6 * t_c) * vapour * vapour) +
        p * p / (t_k * t_k) * (1.83e-11 - 0.765e-8 * vapour * vapour);
    return Density::from_value(p * molar_air_kg / (compressibility * molar_gas * t_k) * (1.0 - vapour * water_to_air));
}

Viscosity air_viscosity(Temperature temperature) {
    const double t_k = temperature.value();
    return Viscosity::from_value(1.458e-6 * std::pow(t_k, 1.5) / (t_k + 110.4));
}

std::complex<double> hydrodynamic_function(double reynolds) {
    using namespace std::complex_literals;
    // Circular cylinder: 1 + 4 i K1(-i r) / (r K0(-i r)), r = sqrt(i Re).
    const std::complex<double> root = std::sqrt(1.0i * reynolds);
    const std::complex<double> cylinder = 1.0 + 4.0i * bessel_ratio(-1.0i * root) / root;
    const double tau = std::log10(reynolds);
    const auto polynomial = [tau](std::initializer_list<double> coefficients) {
        double sum = 0.0;
        for (auto c = std::rbegin(coefficients); c != std::rend(coefficients); ++c) sum = sum * tau + *c;
        return sum;
    };
    const double real = polynomial({0.91324, -0.48274, 0.46842, -0.12886, 0.044055, -0.0035117, 0.00069085}) /
                        polynomial({1.0, -0.56964, 0.48690, -0.13444, 0.045155, -0.0035862, 0.00069085});
    const double imaginary = polynomial({-0.024134, -0.029256, 0.016294, -0.00010961, 0.000064577, -0.000044510}) /
                             polynomial({1.0, -0.59702, 0.55182, -0.18357, 0.079156, -0.014369, 0.0028361});
    return std::complex<double>(real, imaginary) * cylinder;
}

AirEffect air_effect(const Vibration& vibration, const Air& air, double wall_factor) {
    const double density = air_density(air).value();
    const double viscosity = air_viscosity(air.temperature).value();
    const Frequency in_vacuo = vibration.fundamental();
    const double omega = 2.0 * std::numbers::pi * in_vacuo.value();

    double added_kg = 0.0;
    double damping_kg = 0.0;
    double widest_reynolds = 0.0;
    double width_m = -1.0;
    std::complex<double> gamma;
    for (const ModePoint& point : vibration.mode_points()) {
        if (point.width.value() != width_m) {
            width_m = point.width.value();
            const double reynolds = density * omega * width_m * width_m / (4.0 * viscosity);
            gamma = wall_factor * hydrodynamic_function(reynolds);
            widest_reynolds = std::max(widest_reynolds, reynolds);
        }
        const double share = std::numbers::pi / 4.0 * density * width_m * width_m * point.deflection *
                             point.deflection * point.stretch.value();
        added_kg += share * gamma.real();
        damping_kg += share * gamma.imag();
    }
    const double modal_kg = vibration.modal_mass().value();
    const Frequency pitch = in_vacuo / std::sqrt(1.0 + added_kg / modal_kg);
    return {pitch, interval_between(in_vacuo, pitch), (modal_kg + added_kg) / damping_kg, widest_reynolds};
}

}  // namespace reedwright
