// The free vibration of a tongue on its seat, in vacuo.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"

#include <memory>
#include <vector>

namespace reedwright {

/// beam: the textbook tier, Euler-Bernoulli, (E I w'')'' = omega^2 rho A w. It is 8 to 50 cents flat on
///   real tongues, because the clamp stops the strip from curling crosswise.
/// strip: a Kirchhoff plate of varying thickness and width with the corrections that bring it to a
///   solid (Model below); within 1 cent of solid finite elements with a flat bottom. Sharp steps within 2 mm
///   of the root may be 5 cents off (1 to 2 when a ramp of 0.1 mm eases them). Meant for lengths of at least 3
///   widths and 20 thicknesses.
enum class Tier { strip, beam };

/// How the strip tier departs from the thin plate. The corrections are, about in the order of their size: twisting
/// softened near the free edges (from Saint-Venant's torsion of a flat bar); the clamp's own elastic layer
/// (clamp_layer_of()); transverse shear, -970 (h0 / L)^2 cents on the first mode and its energy on the higher ones;
/// rotary inertia; bending stiffness less by 1 / (1 + 0.55 h'^2) where the thickness changes with the slope h', and a
/// thickness that stiffens no faster than 1 along the strip. The constants are fits to solid finite elements (20-node
/// bricks, 26 tongues, and a few scratches).
struct Model {
    Tier tier = Tier::strip;
    /// Off: the bare thin plate, to compare with plate theory. Without effect on the beam.
    bool solid_corrections = true;
    /// Elements are this many times finer than the default mesh, to show its own error.
    double mesh_refinement = 1.0;
    /// Six Legendre orders across instead of four: 0.06 cent at a length of three widths, 0.25 cent on
    /// a square plate, where four are too few.
    bool more_orders_across = false;
};

/// The clamp's own elastic layer as extra free length in root thicknesses, nu^2 (0.38 - 0.102 ln(b0 / h0)), and its
/// derivative by ln(b0 / h0). A fit to solid finite elements of b0 / h0 from 5 to 30, held constant below 4 and above
/// 36: a narrow thick root gives all across, while a wide thin one is held by its corners as the plate equation says.
/// Nothing for the beam and the bare plate.
struct ClampLayer {
    double give;
    double by_ln_width;
};
ClampLayer clamp_layer_of(const Material& material, const Seat& seat, const Model& model);

/// Derivatives of the first flapping pitch. Thickness and width are per station of the profile,
/// with the seat as it is; by_seat is the derivative by the logarithm of the seat's stiffness, so
/// that a root measured thicker, seat included, adds 2 by_seat / h0 to its first station.
struct Sensitivities {
    std::vector<IntervalPerLength> by_thickness;
    std::vector<IntervalPerLength> by_width;
    std::vector<IntervalPerMass> by_load;
    /// All stations and loads moved in proportion with the length.
    IntervalPerLength by_length;
    /// For a relative change of 1 (to first order).
    Interval by_modulus;
    Interval by_density;
    Interval by_seat;
};

/// What taking metal off the top does: cents for a depth taken over a stretch of length, full width.
struct WherePoint {
    Length at;
    IntervalPerArea effect;
};

/// One sample of a mode: deflection on the middle line as a share of the tip's.
struct ShapePoint {
    Length at;
    double deflection;
};

/// The first mode at a quadrature point, which stands for a stretch of length.
struct ModePoint {
    Length at;
    Length stretch;
    Length width;
    Length thickness;
    double deflection;
};

/// Lengthwise bending stress on the surface for a swing of the tip, at a place of the tongue.
struct StressPoint {
    Length at;
    /// From the middle line.
    Length across;
    Pressure stress;
};

/// The vibration of one tongue, solved once and asked many times.
/// Assumes small swings, metal at one temperature (modulus and dimensions follow the material's
/// coefficients; without them the values at 20 degC are used), loads that move with the middle line.
class Vibration {
public:
    /// Throws std::runtime_error when the tongue cannot be solved (not for inputs that pass the
    /// reader's checks).
    Vibration(const Tongue& tongue, const Seat& seat, Temperature temperature, Model model = {});
    ~Vibration();
    Vibration(Vibration&&) noexcept;
    Vibration& operator=(Vibration&&) noexcept;

    /// First flapping frequency.
    Frequency fundamental() const;
    /// The lowest flapping frequencies, the fundamental first.
    std::vector<Frequency> flap(std::size_t count) const;
    /// The lowest twisting frequencies; empty in the beam tier, which cannot twist.
    std::vector<Frequency> twist(std::size_t count) const;

    /// m = integral of rho A phi^2 with loads, phi the first mode with phi(tip) = 1.
    Mass modal_mass() const;
    /// k = (2 pi f)^2 m: the tip's stiffness in its first mode.
    Stiffness stiffness() const;
    /// S = integral of b phi: the area that the tongue sweeps per tip deflection.
    Area swept_area() const;

    /// phi of the first mode at a place, and samples of the n-th flapping mode (0 the first).
    double deflection_at(Length at) const;
    std::vector<ShapePoint> shape(std::size_t flap_mode, std::size_t samples) const;
    /// The first mode at the points of a quadrature along the tongue: an integral along x of any
    /// function is the sum of its values times the stretches.
    std::vector<ModePoint> mode_points() const;

    /// The amplitude of the lengthwise surface stress at points all over the tongue for a swing (half of
    /// peak to peak at the tip) in the first mode:
    /// c E / (1 - nu^2) (h / 2) |phi_xx + nu phi_yy| swing,
    /// which is the bending moment over its modulus; c is the share of the stiffness that a slope of the thickness
    /// leaves (1 where it is even), h the thickness that carries stiffness.
    /// At the very corner of clamp and edge a thin plate has no finite stress; the points lie inside
    /// elements of a seventh of the width, which blunts that corner about as a real root does.
    std::vector<StressPoint> stress_points(Length swing) const;

    /// Exact first derivatives from the Rayleigh quotient of the first mode.
    Sensitivities sensitivities() const;
    /// The effect of metal taken, at evenly spaced places and both sides of every step.
    std::vector<WherePoint> where_map(std::size_t intervals) const;
    /// Places at which the effect changes sign, from root to tip.
    std::vector<Length> neutral_places() const;

    int unknowns() const;

private:
    class Solved;
    std::unique_ptr<Solved> solved_;
};

/// The first flapping frequency alone.
Frequency fundamental_frequency(const Tongue& tongue, const Seat& seat, Temperature temperature, Model model = {});

}  // namespace reedwright
