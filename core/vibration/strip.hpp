// The vibrating strip in plain SI doubles: what the beam and the strip tier have in common.
//
// Energy of the deflection w(x, y) of a plate of thickness h(x) and width b(x):
//   2 U = int D [w_xx^2 + w_yy^2 + 2 nu w_xx w_yy + 2 (1 - nu) (1 - exp(-d / c)) w_xy^2] dA + k w_x^2,
//   2 T = omega^2 { int rho h w^2 + rho h^3 / 12 (w_x^2 + w_y^2) dA + sum M w^2 + J w_x^2 },
// D = E s^3 / 12 (1 - nu^2) with s the thickness limited in slope, d the distance to the nearer edge,
// c = 0.315 s, k the seat's rotation spring. Along x: fifth-order elements with continuous slope
// (Hermite cubics and two bubbles); across: Legendre polynomials. The beam tier is the same strip
// with one constant order across, nu = 0 and no corrections.
#pragma once

#include "core/vibration/cross_section.hpp"
#include "core/vibration/element_chain.hpp"
#include "core/vibration/shape_functions.hpp"
#include "core/vibration/traced_profile.hpp"

#include <utility>
#include <vector>

namespace reedwright::kernel {

struct PointMass {
    double at_m;
    double mass_kg;
    double inertia_kg_m2;
};

struct StripInput {
    double youngs_pa;
    double density_kg_m3;
    double poisson;
    /// Carries mass.
    TracedProfile thickness;
    /// Carries stiffness: the thickness limited in slope, or the same.
    TracedProfile stiff_thickness;
    TracedProfile width;
    std::vector<PointMass> masses;
    /// Rotation stiffness under the root line, which turns as a whole; infinite for a rigid root.
    double root_spring_nm;
    bool edge_softening;
    bool rotary_inertia;
    /// Bending stiffness falls by 1 / (1 + slope_softening s'^2) where the thickness changes with the slope s'.
    double slope_softening = 0.0;
};

/// A finite element from x0 to x0 + length.
struct StripElement {
    double x0_m, length_m;
};

/// A stretch on which thickness and width are straight lines, inside one element. Elements hold
/// several where stations stand closer than an element can be short without losing digits.
struct StripPiece {
    std::size_t element;
    double x0_m, length_m;
    /// Where the piece starts and how long it is, in shares of its element.
    double share0, share_length;
    Traced h0, h1;
    Traced s0, s1;
    Traced b0, b1;

    double element_share(double share) const { return share0 + share * share_length; }
    /// Slope of the thickness that carries stiffness.
    double slope() const { return (s1.value - s0.value) / length_m; }
    /// 1 / (1 + c s'^2): what a change of thickness leaves of the bending stiffness.
    double slope_factor(double slope_softening) const { return 1.0 / (1.0 + slope_softening * slope() * slope()); }
};

/// How finely the strip is cut into elements. Element ends stand at stations and masses that are not
/// too close together; near the clamp and near steps elements grow geometrically from finest_share
/// of the width. An element shorter than shortest_share of the length would cost digits: its stiffness
/// goes as the cube of length / element.
struct MeshRule {
    double finest_share = 0.15;
    double growth = 1.6;
    double coarsest_share_of_length = 0.25;
    double shortest_share_of_length = 0.001;
    /// Greatest relative change of thickness within an element: the curvature goes as its inverse cube.
    double greatest_taper = 0.4;
};

struct Strip {
    StripInput input;
    std::vector<StripElement> elements;
    std::vector<StripPiece> pieces;

    /// The element at a place, and the share of it.
    std::pair<std::size_t, double> element_at(double x_m) const;
    double greatest_width_m;
};

Strip meshed(StripInput input, const MeshRule& rule);

/// The free vibrations of a strip in one parity, lowest first.
/// shape: coefficients element by element, those that the root holds being zero; normalised to unit generalised mass.
struct StripMode {
    double omega2;
    std::vector<double> shape;
};

/// The deflection and its derivatives by x, coefficients of the orders across, at one place.
template <std::size_t Orders>
struct LocalShape {
    std::array<double, Orders> value, slope, curvature;
};

/// Derivatives of omega^2 of one mode.
struct StripGradient {
    std::vector<double> by_thickness;  // each thickness station, metal taken or added with the seat as it is
    std::vector<double> by_width;      // each width station
    std::vector<double> by_mass;       // each point mass
    std::vector<double> by_inertia;    // each point mass
    double by_ln_density;
    double by_ln_spring;
};

template <std::size_t Orders>
class StripSolver {
public:
    StripSolver(const Strip& strip, Parity parity);

    /// The lowest modes. Inverse iteration with the factor of the stiffness matrix; higher modes
    /// are kept orthogonal to those found. Throws std::runtime_error when the stiffness is not
    /// positive definite or the iteration does not settle.
    std::vector<StripMode> lowest(std::size_t count) const;

    /// Those that the root leaves free.
    int unknowns() const { return unknowns_; }
    const CrossSection<Orders>& across() const { return across_; }
    LocalShape<Orders> shape_at(const StripMode& mode, std::size_t element, double share) const;
    /// Deflection on the middle line at the tip.
    double tip_value(const StripMode& mode) const;
    StripGradient gradient(const StripMode& mode) const;
    /// The derivative of omega^2 by the thickness of the strip per unit length, at a place of a
    /// piece: omega^2' = int density dh dx.
    double thickness_density(const StripMode& mode, const StripPiece& piece, double share) const;
    /// The stiffness and mass matrices of the free unknowns as full rows, for outside comparison.
    void export_matrices(std::vector<double>& stiffness, std::vector<double>& mass) const;

private:
    static constexpr std::size_t element_size = along_count * Orders;
    using Chain = ElementChain<Orders>;
    struct AlongMoments;
    void add_piece(double* stiffness, double* mass, const StripPiece& piece) const;
    void add_moments(double* stiffness, double* mass, const AlongMoments& moments,
                     const CrossIntegrals<Orders>& cross) const;
    void add_loads(Chain& mass) const;
    void hold_root(Chain& stiffness, Chain& mass) const;
    void assemble(Chain& stiffness, Chain& mass) const;
    double by_joint(const StripMode& mode, const StripPiece& left, const StripPiece& right) const;
    /// Whether the root holds an unknown of the first element: all but the turning of the whole root line.
    bool held(std::size_t unknown) const { return unknown < Chain::node_size && !(root_turns_ && unknown == Orders); }

    const Strip& strip_;
    CrossSection<Orders> across_;
    bool root_turns_;
    int unknowns_;
};

}  // namespace reedwright::kernel
