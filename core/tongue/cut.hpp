// Taking metal off the top of a tongue.
#pragma once

#include "core/tongue/reed.hpp"

#include <optional>
#include <string_view>

namespace reedwright {

/// A stretch of the tongue, distances from the root line.
struct Zone {
    Length from;
    Length to;
};

/// "tip" or "root" (the fifth of the length at that end), or two distances "12mm..15mm".
/// Throws InputError for any other text, a zone outside the tongue, one without length, or one from tip to root.
Zone parse_zone(std::string_view text, Length tongue_length);

/// How metal is taken.
enum class CutShape {
    /// Across the full width to the full depth, with linear ramps inside both ends, none at a tongue end.
    flat,
    /// A scratch across: the zone is its mouth, its sides run straight to the depth in the middle.
    v_groove,
    /// A scratch across with a round bottom: a circular arc through the ends of the zone.
    round_groove,
    /// Scratches along, which cover a share of the width to the depth; flat otherwise. Mass and stiffness
    /// are those of the mean thickness, which understates the stiffness left by 3 p (1 - p) (depth / h)^2 of
    /// it for a share p: a twentieth of the shift at half the width and a tenth of the thickness.
    lines,
    /// The corners of the tip rounded; the depth is the radius, the zone is not looked at.
    round_tip,
    /// An edge taken in; the depth is the width that goes, over the zone with its ramps. The strip is taken as
    /// still symmetrical.
    narrow,
};

/// A cut: its zone, its depth and how it is made. A ramp of zero length is a sharp step.
struct Cut {
    Zone zone;
    Length depth;
    Length ramp = 0.1 * millimetre;
    CutShape shape = CutShape::flat;
    /// Of the width, for lines.
    double share = 1.0;
};

/// Thickness that the cut takes along the tongue, averaged across the width; zero all along for shapes that take
/// width. Throws InputError when the zone is shorter than its ramps.
Profile depth_profile(const Cut& cut, Length tongue_length);

/// Width that the cut takes along the tongue; zero all along for shapes that take thickness.
Profile width_taken(const Cut& cut, const Tongue& tongue);

/// The tongue after the cut; loads stay. Throws InputError when less than 0.01 mm of thickness or a tenth of the width
/// would remain anywhere, or the depth is not positive.
Tongue after_cut(const Tongue& tongue, const Cut& cut);

/// Mass of the metal that the cut takes, exact for the profiles above.
Mass removed_mass(const Tongue& tongue, const Cut& cut);

/// Least thickness left anywhere, at the bottom of scratches too.
Length thinnest_after(const Tongue& tongue, const Cut& cut);

/// The deepest cut of this shape that leaves at least least_left everywhere and least_share of the present
/// thickness; of the width, at least seven tenths stay, and a tip is rounded to a half circle at most.
Length deepest_cut(const Tongue& tongue, const Cut& shape, Length least_left, double least_share);

}  // namespace reedwright
