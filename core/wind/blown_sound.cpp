#include "core/wind/blown_sound.hpp"

#include "core/wind/blown_kernel.hpp"
#include "core/wind/cycles.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace reedwright {

namespace {

// So many times finer the flow is followed than the sound is sampled.
constexpr std::size_t finer = 4;

// A low pass for one sample in so many: a sinc whose half height is at 0.46 of the sound's rate, under Blackman's
// window over 48 samples, which keeps what it must drop some 75 dB down.
std::vector<double> thinned(const std::vector<double>& fine) {
    constexpr double edge = 0.46;
    constexpr auto half = static_cast<std::ptrdiff_t>(24 * finer);
    std::vector<double> taps;
    double sum = 0.0;
    for (std::ptrdiff_t k = -half; k <= half; ++k) {
        const double x = static_cast<double>(k) / static_cast<double>(finer);
        const double turn = std::numbers::pi * static_cast<double>(k) / static_cast<double>(half);
        const double window = 0.42 + 0.5 * std::cos(turn) + 0.08 * std::cos(2.0 * turn);
        const double angle = 2.0 * std::numbers::pi * edge * x;
        taps.push_back(window * (k == 0 ? 1.0 : std::sin(angle) / angle));
        sum += taps.back();
    }
    std::vector<double> coarse(fine.size() / finer);
    for (std::size_t i = 0; i < coarse.size(); ++i) {
        double value = 0.0;
        for (std::ptrdiff_t k = -half; k <= half; ++k) {
            const std::ptrdiff_t at = static_cast<std::ptrdiff_t>(i * finer) + k;
            if (at < 0 || at >= static_cast<std::ptrdiff_t>(fine.size())) continue;
            value += taps[static_cast<std::size_t>(k + half)] * fine[static_cast<std::size_t>(at)];
        }
        coarse[i] = value / sum;
    }
    return coarse;
}

}  // namespace

std::vector<double> blown_sound(const BlownReed& reed, const SoundRequest& request) {
    using kernel::BlownSystem;
    using State = BlownSystem::State;
    check_pressure(request.pressure);
    if (request.samples_per_second < 1 || request.swell.value() < 0.0 || request.hold.value() <= 0.0)
        throw std::invalid_argument("a sound lasts, and has samples");
    const double pressure_pa = request.pressure.value();
    const BlownSystem system(reed, {0.0, pressure_pa, request.swell.value()});
    const double length_m = reed.opening.tongue_length().value();
    const double cycle_s = 1.0 / reed.natural().value();
    const double flow_m3_s = system.steady_flow_m3_s(pressure_pa);
    State scales;
    scales.fill(pressure_pa * flow_m3_s * cycle_s);
    scales[BlownSystem::height] = 0.01 * length_m;
    scales[BlownSystem::speed] = 0.01 * length_m / cycle_s;
    scales[BlownSystem::flow] = flow_m3_s;
    scales[BlownSystem::upstream] = pressure_pa;
    scales[BlownSystem::volume] = flow_m3_s * cycle_s;
    const double sample_s = 1.0 / (static_cast<double>(finer) * request.samples_per_second);
    const auto count =
        finer * static_cast<std::size_t>((request.swell + request.hold).value() * request.samples_per_second);
    constexpr double tolerance = 1e-8, steps_per_cycle = 20.0, most_steps_per_sample = 200.0;
    kernel::CycleFollower<BlownSystem, State> follower(
        system, system.still(), scales, BlownSystem::height, BlownSystem::speed,
        {tolerance, cycle_s / steps_per_cycle, static_cast<std::uint64_t>(most_steps_per_sample) * (count + 1),
         10.0 * cycle_s});
    std::vector<double> samples;
    samples.reserve(count);
    double last_m3_s = 0.0;
    for (std::size_t i = 1; i <= count; ++i) {
        State state;
        if (!follower.advance_to(sample_s * static_cast<double>(i), state))
            throw std::runtime_error("the reed's sound could not be followed to its end");
        samples.push_back(state[BlownSystem::flow] - last_m3_s);
        last_m3_s = state[BlownSystem::flow];
    }
    samples = thinned(samples);
    double peak = 0.0;
    for (const double sample : samples) peak = std::max(peak, std::abs(sample));
    if (peak > 0.0)
        for (double& sample : samples) sample /= peak;
    return samples;
}

}  // namespace reedwright
