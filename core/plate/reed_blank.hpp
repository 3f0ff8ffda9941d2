// The parts of a single reed on its own small plate, as a shop makes them.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// A place in the plate's plane: x from the root line toward the tip, y across from the middle.
struct PlanePoint {
    Length x;
    Length y;
};

struct Hole {
    PlanePoint centre;
    Length diameter;
};

/// One stretch of an outline as it is drawn: a straight edge, or the arc of a rounded corner.
struct OutlinePiece {
    PlanePoint from;
    PlanePoint to;
    /// 0 for a straight edge, which has no centre.
    Length radius;
    PlanePoint centre;
    /// Angle swept about the centre in radians, positive counter-clockwise.
    double sweep = 0.0;
};

/// A closed outline of straight edges whose corners may be rounded, counter-clockwise.
struct Outline {
    std::vector<PlanePoint> corners;
    /// Rounds every corner, outward or inward, that turns by 30 degrees or more; flatter ones (the
    /// kinks of a width profile) stay sharp.
    Length corner_radius = 0.0 * metre;

    /// The outline in the order of its corners, its first piece the arc (or the edge) at the first
    /// corner. Throws std::invalid_argument for fewer than three corners, an edge without length,
    /// and a radius that does not fit between its neighbours.
    std::vector<OutlinePiece> pieces() const;

    /// Enclosed area, the rounded corners counted exactly. Throws as pieces() does.
    Area area() const;
};

/// A plate with its slot and holes: a prism from z = 0 up to its thickness.
struct PlateBlank {
    std::string name;
    std::string material;
    Length thickness;
    Outline outline;
    std::vector<Outline> slots;
    std::vector<Hole> holes;

    /// Analytic volume of the solid.
    Volume volume() const;
};

/// A tongue with its pad: flat underneath, its thickness profile on top, drawn straight as before
/// its rest gap is set. The pad reaches from x = -pad_length to 0 with the root's thickness and
/// width, and carries the rivet holes.
struct TonguePart {
    std::string name;
    std::string material;
    Profile thickness;
    Profile width;
    Length pad_length;
    std::vector<Hole> holes;

    /// Analytic volume of the solid.
    Volume volume() const;
};

/// A plate blank and its tongue, which lies on the plate's upper face.
struct ReedBlank {
    std::string name;
    PlateBlank plate;
    TonguePart tongue;
};

/// Lays out the blank of a reed: the slot begins at the root line and follows the tongue's edges at
/// the clearance, measured square to them, shoulders and tip too, with rounded corners; the rivets
/// stand evenly along the pad's middle line; the plate's margin surrounds all.
/// Throws InputError with every misfit: a rivet hole with less than half a diameter of metal beside
/// it, a corner radius larger than the slot takes, a notch too narrow for the clearance, a pad or
/// margin that is not positive.
ReedBlank lay_out_blank(const Reed& reed);

/// What the shop should know about the blank although it can be made, each with its numbers and
/// what frees it: slot corners that leave a corner of the tongue less than half the clearance, and
/// rounded root corners under the tongue that may raise the pitch by a cent or more.
/// Throws InputError as lay_out_blank() does.
std::vector<std::string> blank_warnings(const Reed& reed);

}  // namespace reedwright
