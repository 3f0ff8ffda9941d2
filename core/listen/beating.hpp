// Whether two reeds sound together, a little apart.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace reedwright::kernel {

struct Beating {
    /// Stronger and weaker one's pitch.
    double strong_hz = 0.0;
    double weak_hz = 0.0;
    /// Weaker over stronger, in amplitude.
    double ratio = 0.0;
};

/// Two reeds show as pairs of lines at k f and k (f + d), d the same for all k; a vibrato or a tremulant makes pairs of
/// side lines at the same distance on both sides of every harmonic and is not taken for one. Seen when the lines of
/// some harmonic are at least three bins (three over the duration) apart, at most 100 cents, and the weaker reed has at
/// least a tenth of the stronger one's amplitude. At most four seconds from the middle of the sound are looked at.
std::optional<Beating> find_beating(std::span<const double> samples, double rate_hz, double pitch_hz);

}  // namespace reedwright::kernel
