// Air lost past a tongue that does not sound.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"
#include "core/wind/volume_flow.hpp"

#include <vector>

namespace reedwright {

/// Air as a leak feels it.
struct MovingAir {
    Density density;
    Viscosity viscosity;
};
MovingAir moving_air(const Air& air);

/// A narrow gap between two parallel walls.
struct ThinSlot {
    /// Length of the gap across the flow: the sides and the tip of a tongue, say.
    Length perimeter;
    Length clearance;
    /// Length of the walls along the flow.
    Length path;
};

/// Flow between parallel plates, Q = b c^3 p / (12 mu L): laminar (Q / b below some 1000 viscosities of density), and a
/// path long against the clearance. Odd in the pressure.
VolumeFlow laminar_slot_flow(const ThinSlot& slot, Pressure pressure, Viscosity viscosity);

/// The same with what entry and exit cost, p = 12 mu L V / c^2 + 0.75 rho V^2, V = Q / (b c): a quarter of a head at a
/// sharp entry, and half a head, wasted, at the exit. Solved exactly. Odd in the pressure.
VolumeFlow slot_flow(const ThinSlot& slot, Pressure pressure, const MovingAir& air);

/// A tongue at rest over its slot, as its leak depends on it.
struct RestingTongue {
    /// The first mode along the tongue, its shape taken for that of the rest gap and of the bend under pressure.
    std::vector<ModePoint> points;
    Length tip_width;
    Length tip_thickness;
    /// Integral of b phi: what pressure works on.
    Area swept_area;
    Stiffness stiffness;
    /// Of the slot in the plate.
    Area slot_area;
    Length clearance;
    Length plate_thickness;
    Length rest_gap;
};
/// Solves the tongue. Throws as Vibration does.
RestingTongue resting_tongue(const Reed& reed);

/// Which way the wind pushes an idle tongue: toward its plate, as when it plays, or away from it, as the other row of a
/// cell is when its neighbour plays.
enum class Wind { closing, opening };

struct TongueLeak {
    VolumeFlow flow;
    /// Of which past the tip; the rest goes past the two sides.
    VolumeFlow past_tip;
    /// Of the tip's underside above the plate's face, as the wind bends it; negative inside the slot.
    Length tip_height;
    /// Narrowest area around tongue, sides and tip.
    Area opening;
    /// Share of the pressure that is spent in the slot itself and not at the tongue's edges.
    double slot_share;
};

/// Leakage past an idle tongue under a pressure (not negative).
///
/// The wind bends the tongue as a spring: the tip stands at q = q0 - S p / k (closing) or q0 + S p / k (opening), the
/// underside at z(x) = q phi(x) above the plate's face. Everywhere along the sides and at the tip the air passes
/// between the tongue's edge, as high as the tongue is thick (h), and the wall of the slot, from 0 down to -T:
///   gap  g = sqrt(d^2 + c^2), d = z above the face, -T - (z + h) below the plate, 0 where edge and wall overlap;
///   path l = their overlap, at most h: in a slot the thickness of the tongue and not that of the plate is the path.
/// A piece of gap passes q per length: p = 12 mu (l + 8 g / 3 pi) q / g^3 + e rho (q / g)^2. The second length is
/// creeping flow through a slit without length (q = pi g^2 p / 32 mu; Hasimoto 1958, J. Phys. Soc. Japan 13:633, from
/// memory). e goes from 0.75 at the clearance, where walls or lips guide the air and viscosity forbids a jet to
/// contract (Reynolds numbers below a hundred), to 1 / (2 0.61^2) for an edge far off its slot, whose jet contracts to
/// 0.61; in between in proportion to c / g (our choice). Behind the edges, in series, the whole flow leaves through the
/// slot: half a head, rho (Q / A)^2 / 2. Left out: the air's own suction on the tongue, its corners at the tip, tilt.
/// At the root, sealed by the pad, the gap runs out to the clearance. Throws std::invalid_argument for a negative
/// pressure or a clearance that is not positive.
TongueLeak tongue_leak(const RestingTongue& tongue, Wind wind, Pressure pressure, const MovingAir& air);

}  // namespace reedwright
