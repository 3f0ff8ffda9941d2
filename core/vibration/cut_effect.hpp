// What a cut does to a reed, and how deep it must be for a wanted shift.
#pragma once

#include "core/tongue/cut.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

namespace reedwright {

struct CutEffect {
    Cut cut;
    Interval shift;
    /// Pitch of the model before and after, in air as the reed has it.
    Frequency pitch_before;
    Frequency pitch_after;
    Mass removed;
    /// Least thickness left anywhere on the tongue.
    Length thinnest;
    Reed after;
};

/// Solves the tongue again with the cut; the seat stays as made, since the pad is not cut.
/// Throws InputError as after_cut() does.
CutEffect effect_of_cut(const Reed& reed, const Cut& cut, Model model = {});

/// How far a cut may go (defaults: common practice, no source).
struct SafeDepth {
    Length least_thickness = 0.02 * millimetre;
    double least_share = 0.5;
};

struct DepthSearch {
    bool reachable;
    /// The cut that reaches the wanted shift within 0.01 cent; the closest safe one otherwise.
    CutEffect best;
    /// The deepest safe cut of this shape.
    Length deepest;
};

/// The depth of a cut of a given shape (its own depth is not looked at) for a wanted shift, by bracketed root finding
/// (Alefeld, Potra and Shi 1995, TOMS 748) on the solved tongue. Where the shift turns back on the way (zones across
/// the neutral place), the shallowest depth is taken. Throws InputError when nothing may be cut there at all.
DepthSearch find_depth(const Reed& reed, const Cut& shape, Interval wanted, const SafeDepth& safe = {},
                       Model model = {});
/// The same for a flat cut.
DepthSearch find_depth(const Reed& reed, const Zone& zone, Length ramp, Interval wanted, const SafeDepth& safe = {},
                       Model model = {});

}  // namespace reedwright
