// What a cut costs beside the metal: stiffness, stress, life, and the tone's modes.
#pragma once

#include "core/strength/life.hpp"
#include "core/vibration/cut_effect.hpp"

namespace reedwright {

struct CutConsequences {
    Stiffness stiffness_before;
    Stiffness stiffness_after;
    Life before;
    Life after;
    /// Hours after over hours before from the stresses alone; empty when the alloy's strengths are not known.
    std::optional<double> life_kept;
    /// Second over first flapping frequency.
    double ratio_before;
    double ratio_after;
    /// Of the first twisting frequency; empty in the beam tier.
    std::optional<Interval> twist_shift;
};

/// Root radius of a scratch with straight sides, as a sharp graver leaves it (common practice, no source).
inline const Length graver_radius = 0.03 * millimetre;

/// Solves both states in full. A scratch across adds its notch factor to the stress at its place.
CutConsequences consequences_of(const Reed& before, const CutEffect& effect, Length swing, Model model = {});

}  // namespace reedwright
