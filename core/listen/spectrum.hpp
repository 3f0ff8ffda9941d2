// Spectra of real sounds: power against frequency, and the autocorrelation that belongs to it.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace reedwright::kernel {

/// none: as it is. hann: side lobes fall as 1 / d^3, main lobe two bins to each side. blackman_harris: four terms
/// (Harris 1978, Proc. IEEE 66:51), side lobes below -92 dB, main lobe four bins to each side; a bin is one over the
/// duration.
enum class Window { none, hann, blackman_harris };

/// The smallest power of two that is not below a count.
std::size_t power_of_two_from(std::size_t count);

/// |X|^2 at the frequencies i rate / size, i from 0 to size / 2, of samples times a window, zeros added up to size (a
/// power of two, not below the number of samples).
std::vector<double> power_spectrum(std::span<const double> samples, std::size_t size, Window window);

/// The autocorrelation sum x[n] x[n + lag] that belongs to a power spectrum of size / 2 + 1 values, at the lags
/// i / finer samples, i from 0 up to the given count; finer is a power of two. Between the samples it is the exact
/// band-limited interpolation.
std::vector<double> autocorrelation(std::span<const double> power, std::size_t finer, std::size_t count);

}  // namespace reedwright::kernel
