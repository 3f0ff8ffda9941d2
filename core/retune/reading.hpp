// A tuner reading weighs the tongue: what a measured pitch says about what is uncertain.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/inputs.hpp"
#include "core/vibration/vibration.hpp"

#include <array>
#include <string>
#include <vector>

namespace reedwright {

/// One standard deviation of a tuner reading: it reads to about 1 cent at 95 % (common practice, no
/// source).
inline const Interval tuner_deviation = 0.5 * cent;

/// Farther than this from what is stated, a reading has another cause than the stated spreads: by chance alone one in
/// 370 of normal quantities lies beyond.
inline constexpr double most_explained_deviations = 3.0;

struct ExplainedReading {
    /// The reed with its most probable dimensions, material and seat after the reading.
    Reed reed;
    /// In standard deviations of each input.
    Deviations deviations;
    /// The reading above the model's own pitch, before.
    Interval surprise;
    /// What the explanation leaves over.
    Interval remainder;
    /// How far all inputs and the reading together lie from what is stated, in standard deviations:
    /// sqrt(sum of deviations^2 + (remainder / the tuner's)^2), of two that go together what the one does beyond what
    /// goes with the other.
    double distance = 0.0;

    bool explained() const { return distance <= most_explained_deviations; }
    /// "4.2", or "more than 20", beyond which the number says nothing more.
    std::string distance_text() const;
};

/// The most probable reed behind a reading (Bayes' rule; inputs and reading normal and independent, but for modulus and
/// seat that one calibration tells): each input moves in proportion to its share of the pitch's variance. Solved again
/// at the answer (iterated Gauss-Newton), so that large surprises are right too. Inputs without a stated spread stay.
/// The seat never gives less than nothing: where it would, it is held at nothing and the others are solved
/// for the rest. No dimension or material value moves farther than a real tongue can be off (no thickness or
/// modulus below 0.3 of what is stated, no length below 0.7, no density beyond 0.7 to 1.4); what that leaves over
/// stands in the remainder.
ExplainedReading explain_reading(const Reed& reed, Frequency reading, Interval deviation = tuner_deviation,
                                 Model model = {});

/// What to tell of a reading that the stated spreads do not explain, or hardly: how far off it is, and what to look
/// for before metal is taken. Empty for an ordinary reading.
std::vector<std::string> reading_warnings(const ExplainedReading& explained);

}  // namespace reedwright
