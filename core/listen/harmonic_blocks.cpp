#include "core/listen/harmonic_blocks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright::kernel {

namespace {

constexpr double highest_of_rate = 0.45;

// The windowed sum over one block at one frequency; time counts from the first sample of all.
std::complex<double> windowed_sum(std::span<const double> windowed, std::size_t first, double cycles_per_sample) {
    const auto turn = [&](double cycles) {
        return std::polar(1.0, -2.0 * std::numbers::pi * (cycles - std::floor(cycles)));
    };
    const std::complex<double> step = turn(cycles_per_sample);
    constexpr std::size_t before_resetting = 256;  // keeps the recurrence exact
    std::complex<double> sum = 0.0;
    std::complex<double> phasor = 0.0;
    for (std::size_t i = 0; i < windowed.size(); ++i) {
        if (i % before_resetting == 0) phasor = turn(static_cast<double>(first + i) * cycles_per_sample);
        sum += windowed[i] * phasor;
        phasor *= step;
    }
    return sum;
}

}  // namespace

HarmonicBlocks harmonic_blocks(std::span<const double> samples, double rate_hz, double pitch_hz,
                               std::size_t periods_per_block, std::size_t most_harmonics) {
    HarmonicBlocks result;
    result.pitch_hz = pitch_hz;
    const double block = static_cast<double>(periods_per_block) * rate_hz / pitch_hz;
    result.step_s = block / rate_hz;
    const auto reach = static_cast<std::size_t>(highest_of_rate * rate_hz / pitch_hz);
    const std::size_t count = std::min(most_harmonics, reach);
    result.amplitude.resize(count);
    result.noise_power.assign(count, 0.0);
    std::vector<double> windowed;
    // powers[j]: at (j + 1/2) times the pitch.
    std::vector<double> halfway_power(count + 1, 0.0);
    for (std::size_t m = 0;; ++m) {
        const double middle = (static_cast<double>(m) + 0.5) * block;
        const auto first = static_cast<std::size_t>(std::ceil(middle - 0.5 * block));
        const auto end = static_cast<std::size_t>(std::floor(middle + 0.5 * block)) + 1;
        if (end > samples.size()) break;
        windowed.assign(samples.begin() + static_cast<std::ptrdiff_t>(first),
                        samples.begin() + static_cast<std::ptrdiff_t>(end));
        double weights = 0.0;
        for (std::size_t i = 0; i < windowed.size(); ++i) {
            const double turn = 2.0 * std::numbers::pi * (static_cast<double>(first + i) - middle) / block;
            const double weight = 0.5 + 0.5 * std::cos(turn);
            windowed[i] *= weight;
            weights += weight;
        }
        const double scale = 2.0 / weights;
        const double cycles = pitch_hz / rate_hz;
        for (std::size_t k = 1; k <= count; ++k)
            result.amplitude[k - 1].push_back(scale * windowed_sum(windowed, first, static_cast<double>(k) * cycles));
        for (std::size_t j = 0; j <= count; ++j)
            halfway_power[j] +=
                std::norm(scale * windowed_sum(windowed, first, (static_cast<double>(j) + 0.5) * cycles));
        result.middle_s.push_back(middle / rate_hz);
    }
    const double blocks = std::max(1.0, static_cast<double>(result.blocks()));
    for (std::size_t k = 0; k < count; ++k)
        result.noise_power[k] = 0.5 * (halfway_power[k] + halfway_power[k + 1]) / blocks;
    return result;
}

}  // namespace reedwright::kernel
