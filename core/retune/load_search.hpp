// The load that lowers a tongue by a wanted interval.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

namespace reedwright {

struct LoadEffect {
    Load load;
    Interval shift;
    Frequency pitch_after;
    bool reachable;
};

/// Pitch with one more load, solved exactly.
LoadEffect effect_of_load(const Reed& reed, const Load& load, Model model = {});

/// The mass at a place that brings a wanted shift (below zero), by bracketed root finding to 0.01
/// cent. Not reachable when more than the tongue's own mass would be needed; the effect of that mass
/// is then returned.
/// Throws InputError for a shift that no load can bring (upward, or a place at the very root).
LoadEffect find_load(const Reed& reed, Length at, Interval wanted, Model model = {});

/// A trial weight weighs the tongue: the mass that a trial of known mass would have to have in the model to bring the
/// fall that was read, over its true mass. A found load divided by this is the load of the real tongue.
/// Throws InputError when the trial did not lower the pitch by at least 2 cents, below which a tuner cannot tell.
double trial_ratio(const Reed& reed, Length at, Mass trial, Interval read_shift, Model model = {});

}  // namespace reedwright
