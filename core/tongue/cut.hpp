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

/// "tip" or "root" (each the outer fifth of the length), or two distances "12mm..15mm".
/// Throws InputError for any other text, a zone outside the tongue, or one without length.
Zone parse_zone(std::string_view text, Length tongue_length);

/// A flat cut across the full width: full depth between, linear ramps inside both ends, none at a
/// tongue end. A ramp of zero length is a sharp step.
struct FlatCut {
    Zone zone;
    Length depth;
    Length ramp = 0.1 * millimetre;
};

/// The depth of the cut along the tongue. Throws InputError when the zone is shorter than its ramps.
Profile depth_profile(const FlatCut& cut, Length tongue_length);

/// The tongue after the cut; loads stay. Throws InputError when less than 0.01 mm would remain
/// anywhere, or the depth is not positive.
Tongue after_cut(const Tongue& tongue, const FlatCut& cut);

/// Mass of the metal that the cut takes: density times the integral of depth times width, exact.
Mass removed_mass(const Tongue& tongue, const FlatCut& cut);

/// The deepest cut of this shape that leaves at least least_left everywhere and least_share of the
/// present thickness.
Length deepest_cut(const Tongue& tongue, const FlatCut& shape, Length least_left, double least_share);

}  // namespace reedwright
