// Sounds like a reed's, made from numbers, to listen to.
#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

namespace reedwright::test {

/// Random numbers that are the same on every machine (the library's distributions are not).
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    double uniform(double from, double to) {
        return from + (to - from) * (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53;
    }
    double normal() {
        return std::sqrt(-2.0 * std::log(uniform(0.0, 1.0))) * std::cos(2.0 * std::numbers::pi * uniform(0.0, 1.0));
    }
    std::size_t below(std::size_t count) { return static_cast<std::size_t>(uniform(0.0, static_cast<double>(count))); }

private:
    std::mt19937_64 engine_;
};

/// Amplitudes of the harmonics from the first, of a reed rich in them: falling as 1 / k with ups and downs, now and
/// then one of the first three missing, never above 0.45 of the rate.
inline std::vector<double> reed_harmonics(Dice& dice, double pitch_hz, double rate_hz) {
    const auto reach = static_cast<std::size_t>(0.45 * rate_hz / pitch_hz);
    const std::size_t count = std::min<std::size_t>(4 + dice.below(26), reach);
    const double fall = dice.uniform(0.5, 1.5);
    std::vector<double> amplitudes;
    for (std::size_t k = 1; k <= count; ++k)
        amplitudes.push_back(std::pow(static_cast<double>(k), -fall) * std::pow(10.0, dice.uniform(-0.6, 0.0)));
    if (count >= 4 && dice.uniform(0.0, 1.0) < 0.3) amplitudes[dice.below(3)] *= 0.001;
    return amplitudes;
}

/// What a sound is made of.
struct Sound {
    double rate_hz = 48000.0;
    double duration_s = 1.0;
    double pitch_hz = 440.0;
    std::vector<double> harmonics{1.0};
    /// Power of the white noise against that of the tone.
    double noise_db = -300.0;
    /// Change of the pitch from the beginning to the end.
    double drift_cents = 0.0;
    double vibrato_cents = 0.0;
    double vibrato_hz = 5.0;
    /// Time in which a plucked sound falls to 1 / e; 0 for a steady one.
    double decay_s = 0.0;
};

/// The sound with the root mean square of 0.1 before its noise. Phases of the harmonics and the noise are the dice's.
inline std::vector<double> sound_of(const Sound& sound, Dice& dice) {
    const auto count = static_cast<std::size_t>(std::llround(sound.duration_s * sound.rate_hz));
    double power = 0.0;
    for (const double a : sound.harmonics) power += 0.5 * a * a;
    const double scale = 0.1 / std::sqrt(power);
    // Amplitude and starting phase; every harmonic's phasor is a power of the fundamental's.
    std::vector<std::complex<double>> start;
    for (const double amplitude : sound.harmonics)
        start.push_back(std::polar(scale * amplitude, 2.0 * std::numbers::pi * dice.uniform(0.0, 1.0)));
    const double noise = 0.1 * std::pow(10.0, sound.noise_db / 20.0);
    std::vector<double> samples(count);
    double cycles = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const double t = static_cast<double>(i) / sound.rate_hz;
        const std::complex<double> turned = std::polar(1.0, 2.0 * std::numbers::pi * cycles);
        std::complex<double> power_of_it = 1.0;
        double value = 0.0;
        for (const std::complex<double>& phasor : start) {
            power_of_it *= turned;
            value += phasor.real() * power_of_it.imag() + phasor.imag() * power_of_it.real();
        }
        if (sound.decay_s > 0.0) value *= std::exp(-t / sound.decay_s);
        samples[i] = value + (sound.noise_db > -300.0 ? noise * dice.normal() : 0.0);
        const double cents = sound.drift_cents * (t / sound.duration_s - 0.5) +
                             sound.vibrato_cents * std::sin(2.0 * std::numbers::pi * sound.vibrato_hz * t);
        cycles += sound.pitch_hz / sound.rate_hz * std::exp2(cents / 1200.0);
        cycles -= std::floor(cycles);
    }
    return samples;
}

inline void add(std::vector<double>& to, const std::vector<double>& other, double factor = 1.0) {
    for (std::size_t i = 0; i < std::min(to.size(), other.size()); ++i) to[i] += factor * other[i];
}

}  // namespace reedwright::test
