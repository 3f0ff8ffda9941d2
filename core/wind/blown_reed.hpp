// A reed in the wind: one mode of the tongue, the jet through its opening, the air in the inlet.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/opening.hpp"
#include "core/wind/volume_flow.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A change per second, of a swing that grows or dies.
using Rate = boost::units::quantity<boost::units::divide_typeof_helper<si::dimensionless, si::time>::type>;

inline constexpr Rate per_second = Rate::from_value(1.0);

/// A loss that grows with the swing: the drag of the strip on the air that it beats,
///     F = 1/2 rho_a C_d (int b phi^(8/3) dx) |q'| q',   C_d = 8 K^(-1/3),   K = 2 pi a / b,
/// a the swing at the tip. That drag on a plate falls with the period parameter K: Keulegan and Carpenter 1958, J. Res.
/// Nat. Bur. Standards 60, paper 2857; the law C_d = 8 K^(-1/3) for sharp edges: Graham 1980, J. Fluid Mech. 97:331
/// (from memory). It is the least that a swinging strip loses: Tarnopolsky, Fletcher and Lai 2000, J. Acoust. Soc. Am.
/// 108:400, let the damping grow with speed and swing too (quoted second-hand). Drag next to a slot is not known.
struct SwingLoss {
    /// int b phi^(8/3) dx.
    Area drag_area;
    /// b: of the tongue at its tip.
    Length width;
};

/// What the wind sees of a reed. With q the tip's height above the face of the plate that it is mounted on, u the flow
/// through the inlet, p2 the pressure at the reed, s = -1 for a closing and +1 for an opening reed:
///
///     m q'' + (m w / Q) q' + k (q - q0) = s S p2
///     u - s S q' = alpha A(q) v,   p2 = 1/2 rho_a v |v|
///     (rho_a l / a) u' = p1 - p2
///     p1 given (a large supply), or (V / rho_a c^2) p1' = U - u (a chamber V fed by a steady flow U)
///
/// Assumes the first mode alone, a jet without inertia that gives up its speed beyond the slot, air that does not
/// compress but in the chamber, and no radiation. Sources: St Hilaire, Wilson and Beavers 1971, J. Fluid Mech. 49:803;
/// Tarnopolsky, Fletcher and Lai 2000, J. Acoust. Soc. Am. 108:400; Ricot, Causse and Misdariis 2005, J. Acoust. Soc.
/// Am. 117:2279; Millot and Baumann 2007, Acta Acust. 93:122.
struct BlownReed {
    /// m; with the air that the tongue carries along, so that k / m gives the plucked pitch.
    Mass modal_mass;
    Stiffness stiffness;
    double quality = 95.0;
    /// S = int b phi dx.
    Area swept_area;
    Opening opening;
    Length rest_gap;
    Mounting mounting = Mounting::closing;
    Length inlet_length;
    Area inlet_area;
    Density air_density;
    Velocity sound_speed;
    /// alpha: the jet's cross-section as a share of the opening; 0.61, a jet from a sharp-edged slit (Kirchhoff's pi /
    /// (pi + 2), from memory).
    double contraction = 0.61;
    /// V: empty for a large supply.
    std::optional<Volume> chamber;
    /// Empty: none.
    std::optional<SwingLoss> swing_loss;

    /// The plucked pitch without its damping.
    Frequency natural() const;
    /// The resonance of chamber and inlet; zero without a chamber.
    Frequency upstream_resonance() const;
};

/// Beyond these the model says nothing: a jet faster than a third of the speed of sound compresses the air.
inline constexpr Pressure highest_pressure = 5000.0 * si::pascal;

/// Refuses what the model cannot blow, as InputError: a pressure that is not above zero or beyond highest_pressure.
void check_pressure(Pressure pressure);

/// A reed of a tongue file in its slot, blown through the inlet of its cell, without swing loss. Its Q is the file's,
/// or else a measured reed's 95 (Millot and Baumann 2007, Table 2): quality_of() knows nothing of the loss in the seat.
/// A closing reed is blown from a large supply; an opening one, which would be silent there, from chamber_above(). The
/// volume of the cell is left out: its own resonance with the inlet lies far above most reeds. What had to be assumed
/// is told in assumed. Throws InputError for a tongue that rests inside its slot (rest_gap below zero), for a clearance
/// of zero, and for a reed in a vacuum.
BlownReed blown_reed(const Reed& reed, const Vibration& vibration, std::vector<std::string>* assumed = nullptr);

/// The chamber whose resonance with the reed's inlet lies an octave above its plucked pitch, high enough for an opening
/// reed to speak (our choice, no source).
Volume chamber_above(const BlownReed& reed);

/// The drag of a reed's strip.
SwingLoss strip_drag(const Reed& reed, const Vibration& vibration);

/// The speed of sound in moist air, sqrt(1.4 p / rho) at 101325 Pa: within 0.1 % of Cramer 1993, J. Acoust. Soc. Am.
/// 93:2510.
Velocity sound_speed_of(const Air& air);

}  // namespace reedwright
