// The uncertainty of a pitch and where it comes from.
#pragma once

#include "core/uncertainty/inputs.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

struct Contribution {
    Input input;
    std::string standard_deviation;
    /// Empty where no spread of the input is known.
    std::optional<Interval> pitch;
};

/// First-order budget of JCGM 100:2008 (GUM), eq. 13: u^2 = sum of (sensitivity x u_i)^2, and of modulus and seat that
/// one calibration tells twice the product of the two effects and their correlation; all else independent. The model's
/// own error against a solid (0.3 cent, one standard deviation; 0.6 on tongues shorter than four widths, 2.5 with a
/// sharp step within 2 mm of the root) is part.
struct Budget {
    /// Largest first; inputs of unknown spread last.
    std::vector<Contribution> contributions;
    /// Of modulus and seat; what it adds to the variance, as the root of its size with its sign (together they are
    /// known better than apart where it is below zero).
    double correlation = 0.0;
    Interval correlated;
    Interval model_error;
    /// One standard deviation of all inputs whose spread is known, without the model's error.
    Interval of_inputs() const;
    /// One standard deviation; empty when the spread of an input is not known.
    std::optional<Interval> standard;
    /// Coverage of 95 %: twice the standard uncertainty.
    std::optional<Interval> expanded;
};

/// How a table calls what modulus and seat have in common, and "modulus with seat, 0.90".
inline constexpr const char* correlation_name = "correlation";
std::string correlation_text(const Budget& budget);

Budget pitch_budget(const Reed& reed, const Vibration& vibration, Model model);

}  // namespace reedwright
