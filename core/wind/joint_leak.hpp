// Air lost between a reed plate and its comb.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/wind/slot_leak.hpp"

namespace reedwright {

/// What holds the plate at one place: the force with which it still presses after a year, and the radius at which a
/// head, or the plate around a pin, bears.
struct Fastener {
    Force clamp;
    Length bearing_radius;
};
/// A small wood or machine screw with a flat head (our choice, no source).
inline constexpr Fastener small_screw{100.0 * newton, 1.5 * millimetre};
/// A pin or nail keeps the plate in its place, but once the comb has given way nothing presses (common practice, no
/// source): between pins the plate lies as it is bowed.
inline constexpr Fastener pin{0.0 * newton, 0.5 * millimetre};

/// A plate on its comb, and the stretch of joint that belongs to one cell.
struct PlateJoint {
    Pressure plate_modulus;
    Length plate_thickness;
    /// Of the plate, across the line of its fasteners.
    Length plate_width;
    /// From one fastener to the next.
    Length spacing;
    Fastener fastener;
    /// Height of the bow against a straight edge, and over which length; the plate stands off between its fasteners,
    /// which is the worse sense. May be zero.
    Length out_of_flat;
    Length straight_edge;
    /// Width of cells that the wind presses on, across the line of fasteners.
    Length loaded_width;
    /// Of the land that seals, along the flow, and how long the joint of the cell is, across it.
    Length land_width;
    Length run;
    /// Gap that the two faces leave where they touch: 3 um for a ground plate on a flat hard comb (our choice, no
    /// source).
    Length roughness = 3.0 * micrometre;
};

struct JointLeak {
    /// Sign of the pressure.
    VolumeFlow flow;
    /// Height half-way between two fasteners: of the plate's own bow, and of the gap as clamped and loaded, roughness
    /// included.
    Length free_bow;
    Length gap_between;
    /// A gap that, everywhere, would leak as much: cube root of the mean cube.
    Length even_gap;
    /// With which the wind pulls at each fastener; above its clamp force the plate comes off, which is not modelled.
    Force lift;
};

/// Leakage through the joint of one cell. The pressure is the cell's over the surroundings: positive lifts the plate,
/// negative draws it on.
///
/// The plate is a beam from fastener to fastener, s apart, E I = E B T^3 / 12. It was made with the curvature
/// kappa = 8 f / l^2 (bow f over l), which between two fasteners stands s^2 kappa / 8 high. The wind loads it with
/// w = p (loaded width). A fastener holds the plate down on the comb and, pressing with F at the radius a around it,
/// can turn it flat with a moment up to F a; to hold it flat it needs E I kappa + w s^2 / 12. With M the lesser of the
/// two,
///   y(x) = x (s - x) [kappa / 2 - M / 2EI + w (s^2 + s x - x^2) / 24EI],
/// not below 0, where the comb is. So a strong clamp leaves the roughness r and the fixed beam's bulge
/// w s^4 / 384EI; none leaves the bow and the free beam's, 5 w s^4 / 384EI.
/// The air passes the land as between parallel plates: Q = p (run) <(r + y)^3> / (12 mu (land width)), the mean of the
/// cube over the span, since the cell lies anywhere between fasteners. Laminar and without entry loss, which holds for
/// gaps small against the land. Throws std::invalid_argument for a length, modulus or force that is negative, or zero
/// where it divides.
JointLeak joint_leak(const PlateJoint& joint, Pressure pressure, const MovingAir& air);

}  // namespace reedwright
