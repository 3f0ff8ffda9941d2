// Beats between two reeds.
#pragma once

#include "core/quantity/quantity.hpp"

namespace reedwright {

/// Beats per second of two steady tones whose p-th and q-th partials nearly meet: |q f_high - p f_low|;
/// 1 and 1 for a unison, 3 and 2 for a fifth.
Frequency beat_rate(Frequency low, Frequency high, int p = 1, int q = 1);

/// The second reed of a tremolo pair, f2 = f1 + beats; beats below nothing set it flat of the first.
/// Throws std::invalid_argument when it would not sound at all.
Frequency tremolo_partner(Frequency first, Frequency beats);
/// The same as an interval above the first. It shrinks up the scale for the same rate of beats.
Interval tremolo_offset(Frequency first, Frequency beats);

}  // namespace reedwright
