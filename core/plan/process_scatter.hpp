// How far a batch of tongues will be off before tuning, and what that costs.
#pragma once

#include "core/plan/planned_tongue.hpp"
#include "core/uncertainty/pitch_scatter.hpp"

#include <vector>

namespace reedwright {

struct TongueScatter {
    /// Index in the design.
    std::size_t reed;
    /// Against the tongue as designed.
    PitchScatter scatter;
    /// What a safe cut can take in, from the plan.
    Interval room_up;
    Interval room_down;
    /// Share of tongues farther from their target than that, the spread taken as normal about its mean, the rounding
    /// error of the plan added.
    double beyond_recovery;
    /// Mean size of the correction, for a normal spread.
    Interval work;
    /// Metal of that correction at the tip and the root, half and half, in proportion to the safest deep cut.
    Mass filed;
    /// The dimension that makes most of the spread, to first order, and its share of the whole variance. Only what a
    /// shop can hold closer is named: thickness, length or width.
    Input tighten_first;
    double tighten_share;
    /// Share of the variance that a lot of strip and its seats have in common (modulus, density, seat), which is not
    /// for the shop to hold closer; a calibration takes it away.
    double lot_share;
    /// Cents for one standard deviation of each input; what the seat has in common with the modulus is the modulus's.
    std::array<double, input_count> effect_cents;
};

/// A reed of the design with the shop's spread, where the design states one (process), in place of the measuring one;
/// of modulus and density the reed's own, where that says nothing of them.
Reed as_made(const Design& design, const InstrumentReed& reed);

/// Draws every tongue of the design as the shop makes it (pitch_scatter()); each reed has the same seed, so that
/// the result does not depend on their order. The tongues must have been worked out (plan_tongues()).
std::vector<TongueScatter> process_scatter(const Design& design, const std::vector<PlannedTongue>& tongues,
                                           const ScatterRequest& request, Model model = {});

/// The dimension that makes most of the variance of all tongues together.
Input tighten_first(const std::vector<TongueScatter>& tongues);
/// Share of that variance which a calibration takes away.
double lot_share(const std::vector<TongueScatter>& tongues);

}  // namespace reedwright
