// A tuner reading weighs the tongue: what a measured pitch says about what is uncertain.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/inputs.hpp"
#include "core/vibration/vibration.hpp"

#include <array>

namespace reedwright {

/// One standard deviation of a tuner reading: it reads to about 1 cent at 95 % (common practice, no
/// source).
inline const Interval tuner_deviation = 0.5 * cent;

struct ExplainedReading {
    /// The reed with its most probable dimensions, material and seat after the reading.
    Reed reed;
    /// In standard deviations of each input.
    Deviations deviations;
    /// The reading above the model's own pitch, before.
    Interval surprise;
    /// What the explanation leaves over.
    Interval remainder;
};

/// The most probable reed behind a reading (Bayes' rule; inputs and reading normal and independent):
/// each input moves in proportion to its share of the pitch's variance. Solved again at the answer
/// (iterated Gauss-Newton), so that large surprises are right too. Inputs without a stated spread stay.
ExplainedReading explain_reading(const Reed& reed, Frequency reading, Interval deviation = tuner_deviation,
                                 Model model = {});

}  // namespace reedwright
