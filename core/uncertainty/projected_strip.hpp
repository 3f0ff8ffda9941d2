// A strip whose inputs spread, projected onto a few shapes: matrices of six by six that follow the
// inputs as closely as the strip's own of some 150 unknowns, for pitches by the million.
//
// Shapes: first modes of the strip itself, solved at the nominal inputs and 4 standard deviations to
// either side in each input that changes the shape, and the six combinations of them that hold
// their energy. The Rayleigh-Ritz value of the first mode errs by the square of what the shapes miss.
//
// Of a tongue thicker by t and wider by w at all stations, stretched by g, with stations X on the
// nominal length (x = g X) and y scaled with the width,
//   K / E = [g^-3 along + (nu mixed + 2 (1 - nu) twist) / g + g across] / (1 - nu^2) + k / (E g^2) slope slope',
//   M / rho = g mass + tilt / g + (loads + load inertias / g^2) / rho,
// exactly, where the six parts depend on t and w alone. They are polynomials in t (the softened edge
// aside, smooth) and smooth in w: interpolated on a grid of 5 by 3 Chebyshev points.
// The thickness limited in slope keeps its nominal limit plus t, exact but for the stretch.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/reduced_strip.hpp"
#include "core/vibration/strip.hpp"

#include <array>
#include <optional>

namespace reedwright::kernel {

/// The upper half of a symmetric matrix, row by row.
using Entries = std::array<double, entry_count>;

/// How the inputs may stray: the tongue's own changes in SI units, everything else as a value.
struct StripChange {
    double thickness_m = 0.0;
    double width_m = 0.0;
    double stretch = 1.0;
    double density_ratio = 1.0;
    double poisson = 0.0;
    /// Extra free length in root thicknesses, the clamp's layer included.
    double give = 0.0;
};

struct ProjectionRequest {
    /// Nominal; its Poisson's ratio and root spring too.
    StripInput input;
    MeshRule mesh;
    StripChange nominal;
    double root_thickness_m;
    double root_width_m;
    /// Changes at which shapes are taken, beside the nominal one.
    std::vector<StripChange> shapes_at;
    /// The interpolation reaches this far either side.
    double thickness_reach_m;
    double width_reach_m;
    std::optional<Air> air;
    /// Factor of the shear correction on the frequency at which the air is felt.
    double shear;
};

struct ProjectedStrip {
    /// along, mixed, twist, across, mass, tilt: coefficients of (t / reach)^i (w / reach)^j, at 3 i + j.
    /// The first four with E, the last two with rho of the nominal material.
    std::array<std::array<Entries, term_count>, part_count> parts{};
    std::array<double, basis_size> root_slope{};
    Entries load_mass{};
    Entries load_inertia{};
    /// Mass of the air at the nominal frequency, for a stretch of 1, by powers of w / reach, and its
    /// derivative by the logarithm of the frequency. Zero in vacuo.
    std::array<Entries, width_terms> air_mass{};
    std::array<Entries, width_terms> air_mass_by_ln_frequency{};
    /// Nominal, of the strip itself in vacuo, the square of the circular frequency.
    double omega2 = 0.0;
};

/// The root's rotation spring at a change, newton metre, with the nominal modulus.
double root_spring(const ProjectionRequest& request, const StripChange& change);

/// Throws std::runtime_error when a shape cannot be solved.
template <std::size_t Orders>
ProjectedStrip project(const ProjectionRequest& request);

}  // namespace reedwright::kernel
