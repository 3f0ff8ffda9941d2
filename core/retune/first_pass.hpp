// How much of a cut to take before reading again.
#pragma once

#include "core/vibration/cut_effect.hpp"

namespace reedwright {

/// What is uncertain when a hand cuts (one standard deviation each; common practice, no source).
struct HandSpread {
    /// Share of the depth asked for that the hand takes more or less.
    double depth_share = 0.10;
    /// Of the zone's length.
    Length zone = 0.2 * millimetre;
    /// Of the factor by which this hand and this file always take more or less than asked (our choice, no source). It
    /// shows only in the readings after a cut, so it widens what is learnt (Passes), not the first pass.
    double habit_share = 0.30;
    /// Of a tuner reading.
    Interval tuner = 0.5 * cent;
};

struct FirstPass {
    Length depth;
    /// Expected shift of this pass.
    Interval shift;
    /// One standard deviation of the shift per depth, as a share of it.
    double share_spread;
    /// The chance that the pass alone overshoots the target.
    double overshoot_chance;
};

/// The deepest first pass whose chance of overshooting the wanted shift stays below the level. The
/// shift per depth is taken as normal, its spread that of the hand, the zone's length and the
/// tongue's thickness (a depth counts in proportion to 1 / h), the reading's spread added.
FirstPass first_pass(const Reed& reed, const CutEffect& whole, double overshoot_level = 0.05,
                     const HandSpread& hand = {}, Model model = {});

}  // namespace reedwright
