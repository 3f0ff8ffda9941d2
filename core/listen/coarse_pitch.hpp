// The pitch of a sound to about a tenth of a percent, safe against octaves and missing fundamentals.
#pragma once

#include <span>

namespace reedwright::kernel {

struct CoarsePitch {
    /// 0 when no lag has a maximum.
    double frequency_hz = 0.0;
    /// The share of the sound's power that repeats from one period to the next; 1 for a perfect repetition.
    double periodicity = 0.0;
};

/// Autocorrelation over pieces of at most 0.3 s, divided by the power that overlaps (McLeod and Wyvill 2005, "A smarter
/// way to find pitch", Proc. ICMC), proposes periods; every multiple of the true period is among them, and divisors are
/// when one harmonic stands far above the others. The highest proposed pitch is taken whose whole multiples carry
/// (nearly) all lines that stand out of the noise. So a fundamental may be weak or missing, and a line between the
/// harmonics of the octave above brings the pitch down only if it is heard above the noise. At least three periods of
/// the lowest pitch must be there.
CoarsePitch coarse_pitch(std::span<const double> samples, double rate_hz, double lowest_hz, double highest_hz);

}  // namespace reedwright::kernel
