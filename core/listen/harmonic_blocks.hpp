// The harmonics of a nearly known pitch in block after block: amplitude, phase, and the noise between them.
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace reedwright::kernel {

/// Blocks end to end. Phases are against a steady oscillation at the harmonic's number times the pitch, so that they
/// stand still where the pitch is exact.
struct HarmonicBlocks {
    double pitch_hz = 0.0;
    /// From one block's middle to the next's.
    double step_s = 0.0;
    /// Middles, from the first sample.
    std::vector<double> middle_s;
    /// amplitude[k - 1][m]: of harmonic k in block m; the modulus is that of the sine's amplitude.
    std::vector<std::vector<std::complex<double>>> amplitude;
    /// Mean power of what is heard half-way to the neighbouring harmonics, in the same measure |amplitude|^2.
    std::vector<double> noise_power;

    std::size_t blocks() const { return middle_s.size(); }
    std::size_t harmonics() const { return amplitude.size(); }
};

/// Hann-windowed Fourier sums over blocks of a whole even number of periods (at least 4), where the neighbouring
/// harmonics and the half-way frequencies fall on the window's zeros. Harmonics reach up to 0.45 of the rate and the
/// given count. No blocks when the samples do not hold one.
HarmonicBlocks harmonic_blocks(std::span<const double> samples, double rate_hz, double pitch_hz,
                               std::size_t periods_per_block, std::size_t most_harmonics);

}  // namespace reedwright::kernel
