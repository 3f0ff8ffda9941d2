// The pitch of a recorded reed, how well it is known, or why none can be told.
#pragma once

#include "core/quantity/quantity.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <tl/expected.hpp>
#include <vector>

namespace reedwright {

/// One harmonic of a heard sound.
struct HeardHarmonic {
    std::size_t number;
    /// Against the strongest, in decibels.
    double level_db;
    /// How far it lies from number times the pitch, with its expanded uncertainty; empty for one lost in the noise.
    std::optional<Interval> off;
    std::optional<Interval> off_uncertainty;
    /// Whether the pitch rests on it; a harmonic that is heard and lies elsewhere is left out.
    bool used;
};

struct HeardPitch {
    Frequency pitch;
    /// At 95 %, of the pitch as the samples have it; the error of the recorder's clock (some 0.1 cent) is not in it.
    Interval expanded_uncertainty;
    /// The steady stretch that was taken, from the first sample.
    Time from;
    Time to;
    /// Highest less lowest pitch between the thirds or quarters of the stretch; zero when it is too short to say.
    Interval wandering;
    /// Power of the harmonics over that of the noise between them, up to the 32nd or 0.45 of the rate, in decibels.
    double above_noise_db;
    /// From the first up to the highest that is heard.
    std::vector<HeardHarmonic> harmonics;
};

enum class NotHeard { too_short, too_quiet, noise, unsteady, two_reeds, not_harmonic };

/// Why there is no pitch, in a sentence without a full stop.
struct Refusal {
    NotHeard reason;
    std::string sentence;
    /// The two reeds, the stronger first, where they beat.
    std::optional<Frequency> strong;
    std::optional<Frequency> weak;
};

/// Pitches listened for: from 40 Hz to 6 kHz, and below a sixth of the sample rate.
inline constexpr Frequency lowest_heard = 40.0 * si::hertz;
inline constexpr Frequency highest_heard = 6000.0 * si::hertz;

/// The pitch of one reed in a block of samples (1 is full scale; the scale matters only for "too quiet", -80 dB).
///
/// The sounding stretch is found, the pitch by autocorrelation (coarse_pitch.hpp), then by the phases of up to 32
/// harmonics in successive windowed blocks (harmonic_blocks.hpp, phase_fit.hpp). Assumes one reed, whose harmonics
/// stand at whole multiples of the pitch as a steady blown reed's do. Needs at least six blocks of four periods: 0.4 s
/// at 60 Hz, 55 ms at 440 Hz. The pitch of a sound that drifts is its mean over the steady stretch.
/// Refused: see NotHeard. Throws std::invalid_argument for a sample that is not a number or a rate that is not
/// positive.
tl::expected<HeardPitch, Refusal> heard_pitch(std::span<const double> samples, Frequency sample_rate);

}  // namespace reedwright
