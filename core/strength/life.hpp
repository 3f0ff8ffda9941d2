// How hard a tongue is worked at its playing swing, and how long it may last. Always an estimate.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <optional>

namespace reedwright {

/// The playing swing where a design states none: 6 % of the length, half of peak to peak at the tip
/// (our choice, no source). Life falls steeply with it, so it is always printed beside the hours.
Length default_swing(const Tongue& tongue);

/// A straight line in logarithms, stress = a N^b, through 0.9 of the tensile strength at 1e3 reversals and the
/// fatigue strength at its number of cycles: a construction of machine design, not data of the alloy.
/// Empty when the material lacks either strength.
struct StressLife {
    double coefficient_pa;
    double exponent;
    /// Cycles of the fatigue strength; beyond them the line is an extrapolation.
    double known_to_cycles;

    double cycles(Pressure amplitude) const;
    Pressure amplitude(double cycles) const;
};
std::optional<StressLife> stress_life(const Material& material);

/// From piece to piece fatigue strengths scatter by 8 % of their value (one standard deviation; from memory, a handbook
/// figure for steels, taken for all alloys).
inline constexpr double strength_scatter = 0.08;

/// One standard deviation of this alloy's fatigue strength as a share of it: what its file states of how well the
/// strength itself is known, and the scatter from piece to piece, independent, so as the root of the sum of squares;
/// the scatter alone where the file states none, or no strength. The stress-life line moves up and down by it as a
/// whole. The swing, which nobody knows well, adds far more: a tenth more swing halves the hours.
double strength_spread(const Material& material);

struct Life {
    Length swing;
    Length worst_at;
    /// Largest surface stress of the first mode at the swing, the notch factor included.
    Pressure stress;
    double notch_factor;
    /// Stress over proof strength; empty when that is not known.
    std::optional<double> proof_share;
    /// Hours of playing at the reed's own pitch; low and high bound 95 % of strength_spread().
    std::optional<double> hours;
    std::optional<double> hours_low;
    std::optional<double> hours_high;
    /// Longer than the fatigue strength's own number of cycles: an extrapolation.
    bool beyond_data = false;
};

/// A groove across the top: depth and radius at its bottom.
struct Notch {
    Length at;
    Length depth;
    Length radius;
};

/// Elastic stress concentration of a shallow groove in bending, K = 1 + 2 sqrt(t / r), (Neuber 1958, Theory of Notch
/// Stresses, shallow limit), reduced for the metal's notch sensitivity 1 / (1 + a / r), a = 0.1 mm (Peterson's form;
/// the value from memory, between those of soft and hard metals). 1 without a notch.
double notch_factor(const Notch& notch);

/// Stress and life of the reed's tongue at a swing. A notch multiplies the stress at its own place. The still bend
/// of the rest gap is left out: it is a tenth of the swing's stress or less.
Life life_of(const Reed& reed, const Vibration& vibration, Length swing, const std::optional<Notch>& notch = {});

}  // namespace reedwright
