// The air around a vibrating strip: its weight lowers the pitch, its viscosity damps.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <complex>

namespace reedwright {

/// Density of moist air at 101325 Pa with 400 ppm carbon dioxide, after Picard, Davis, Glaeser and
/// Fujii 2008, "Revised formula for the density of moist air (CIPM-2007)", Metrologia 45:149.
/// Valid 15 to 27 degC as published; extrapolated smoothly beyond.
Density air_density(const Air& air);

/// Viscosity of air, 1.458e-6 T^1.5 / (T + 110.4) Pa s (U.S. Standard Atmosphere 1976, eq. 51).
/// Moisture changes it by less than half a percent and is left out.
Viscosity air_viscosity(Temperature temperature);

/// Hydrodynamic function of a thin flat strip vibrating across its plane in unbounded viscous fluid,
/// at the Reynolds number rho omega b^2 / 4 mu. Real part: added mass per length in units of
/// pi rho b^2 / 4; imaginary part: damping in the same units.
/// Sader 1998, "Frequency response of cantilever beams immersed in viscous fluids", J. Appl. Phys.
/// 84:64, eqs. 20 and 21: the circular cylinder's exact function times a fitted correction, good to
/// 0.1 % for Reynolds numbers 1e-6 to 1e4.
std::complex<double> hydrodynamic_function(double reynolds);

/// What the air does to a tongue in its first mode.
struct AirEffect {
    Frequency pitch;
    Interval shift;
    /// Quality factor that the air alone would leave.
    double quality;
    /// Reynolds number at the widest place.
    double reynolds;
};

/// Rayleigh's quotient with the added mass of every cross-section: f = f0 / sqrt(1 + M_air / m),
/// M_air = int (pi / 4) rho b^2 Re(Gamma) phi^2 dx. wall_factor multiplies both parts of the
/// hydrodynamic function; 1 means that the walls of the slot are not felt, which is not known.
AirEffect air_effect(const Vibration& vibration, const Air& air, double wall_factor = 1.0);

}  // namespace reedwright
