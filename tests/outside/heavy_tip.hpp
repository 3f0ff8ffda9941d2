// The strip whose matrices others solve too, in the comparison of eigenvalues and of times.
#pragma once

#include "core/vibration/strip.hpp"

#include <limits>

namespace reedwright::test {

/// A brass tongue with a thin middle, a heavy tip behind a steep ramp, narrowing toward the tip, in SI units.
inline kernel::StripInput heavy_tip(double poisson, bool corrections) {
    kernel::StripInput input;
    input.youngs_pa = 110e9;
    input.density_kg_m3 = 8530.0;
    input.poisson = poisson;
    input.thickness = kernel::traced({0.0, 4e-3, 9e-3, 9.2e-3, 16e-3}, {0.14e-3, 0.09e-3, 0.08e-3, 0.2e-3, 0.2e-3});
    input.stiff_thickness = corrections ? kernel::limited_slope(input.thickness, 0.45) : input.thickness;
    input.width = kernel::traced({0.0, 16e-3}, {2.4e-3, 2.0e-3});
    input.root_spring_nm = std::numeric_limits<double>::infinity();
    input.edge_softening = input.rotary_inertia = corrections;
    return input;
}

}  // namespace reedwright::test
