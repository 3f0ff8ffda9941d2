#include "core/listen/spectrum.hpp"

#include <unsupported/Eigen/FFT>

#include <bit>
#include <cmath>
#include <complex>
#include <numbers>

namespace reedwright::kernel {

namespace {

double window_value(Window window, double turn) {
    switch (window) {
        case Window::hann:
            return 0.5 - 0.5 * std::cos(turn);
        case Window::blackman_harris:
            return 0.35875 - 0.48829 * std::cos(turn) + 0.14128 * std::cos(2.0 * turn) - 0.01168 * std::cos(3.0 * turn);
        case Window::none:
            break;
    }
    return 1.0;
}

}  // namespace

std::size_t power_of_two_from(std::size_t count) {
    return std::bit_ceil(count);
}

std::vector<double> power_spectrum(std::span<const double> samples, std::size_t size, Window window) {
    std::vector<double> padded(size, 0.0);
    const double step = 2.0 * std::numbers::pi / static_cast<double>(samples.size());
    for (std::size_t i = 0; i < samples.size(); ++i)
        padded[i] = samples[i] * window_value(window, step * (static_cast<double>(i) + 0.5));
    Eigen::FFT<double> transform;
    transform.SetFlag(Eigen::FFT<double>::HalfSpectrum);
    std::vector<std::complex<double>> spectrum;
    transform.fwd(spectrum, padded);
    std::vector<double> power(size / 2 + 1);
    for (std::size_t i = 0; i < power.size(); ++i) power[i] = std::norm(spectrum[i]);
    return power;
}

std::vector<double> autocorrelation(std::span<const double> power, std::size_t finer, std::size_t count) {
    const std::size_t size = 2 * (power.size() - 1);
    // More frequencies, without power, are more samples in the same time.
    std::vector<std::complex<double>> spectrum(size * finer / 2 + 1, 0.0);
    for (std::size_t i = 0; i < power.size(); ++i) spectrum[i] = power[i];
    Eigen::FFT<double> transform;
    transform.SetFlag(Eigen::FFT<double>::HalfSpectrum);
    std::vector<double> result(size * finer);
    transform.inv(result, spectrum, static_cast<Eigen::Index>(size * finer));
    result.resize(count);
    for (double& value : result) value *= static_cast<double>(finer);
    return result;
}

}  // namespace reedwright::kernel
