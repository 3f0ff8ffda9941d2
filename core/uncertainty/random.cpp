#include "core/uncertainty/random.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace reedwright {

namespace {

// Multipliers and Weyl constants of Salmon et al. 2011, Table 2 and its text.
constexpr std::uint64_t multiplier_0 = 0xD2511F53U;
constexpr std::uint64_t multiplier_1 = 0xCD9E8D57U;
constexpr std::uint32_t weyl_0 = 0x9E3779B9U;
constexpr std::uint32_t weyl_1 = 0xBB67AE85U;
constexpr int rounds = 10;

// Samples handled at once. The loops over lanes hold no branch, so that the compiler may turn them
// into vector instructions; a last batch that is not full is computed in full and cut.
constexpr std::size_t lanes = 64;
using Words = std::array<std::uint32_t, lanes>;
using Doubles = std::array<double, lanes>;

// Two words as the midpoint of one of 2^52 steps of (0, 1): 52 bits behind the exponent of 1 give
// [1, 2) exactly.
inline double unit_interval(std::uint32_t high, std::uint32_t low) {
    const std::uint64_t bits = (static_cast<std::uint64_t>(high) << 20) | (low >> 12);
    return std::bit_cast<double>(bits | 0x3FF0000000000000U) - (1.0 - 0x1p-53);
}

// ln x for 0 < x < 1: x = 2^k m with m in [sqrt(1/2), sqrt 2), ln m = 2 artanh((m - 1) / (m + 1)).
inline double logarithm(double x) {
    constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCDU;
    constexpr std::uint64_t bias = 1024;
    const std::uint64_t bits = std::bit_cast<std::uint64_t>(x);
    const std::uint64_t biased = (bits - root_half + (bias << 52)) >> 52;
    const double k = std::bit_cast<double>(biased | 0x4330000000000000U) - (0x1p52 + static_cast<double>(bias));
    const double m = std::bit_cast<double>(bits - (biased << 52) + (bias << 52));
    const double s = (m - 1.0) / (m + 1.0);
    const double z = s * s;
    double series = 1.0 / 21.0;
    series = series * z + 1.0 / 19.0;
    series = series * z + 1.0 / 17.0;
    series = series * z + 1.0 / 15.0;
    series = series * z + 1.0 / 13.0;
    series = series * z + 1.0 / 11.0;
    series = series * z + 1.0 / 9.0;
    series = series * z + 1.0 / 7.0;
    series = series * z + 1.0 / 5.0;
    series = series * z + 1.0 / 3.0;
    return k * std::numbers::ln2 + 2.0 * s * (1.0 + z * series);
}

// Sine and cosine of 2 pi u: the nearest quarter turn, and Taylor's series of the rest, below pi / 4.
inline void sine_and_cosine(double u, double& sine, double& cosine) {
    constexpr double to_whole = 0x1.8p52;
    const double shifted = 4.0 * u + to_whole;
    const std::uint64_t quarter = std::bit_cast<std::uint64_t>(shifted);
    const double a = 2.0 * std::numbers::pi * (u - 0.25 * (shifted - to_whole));
    const double z = a * a;
    double s = -1.0 / 1307674368000.0;
    s = s * z + 1.0 / 6227020800.0;
    s = s * z - 1.0 / 39916800.0;
    s = s * z + 1.0 / 362880.0;
    s = s * z - 1.0 / 5040.0;
    s = s * z + 1.0 / 120.0;
    s = s * z - 1.0 / 6.0;
    s = a + a * z * s;
    double c = 1.0 / 20922789888000.0;
    c = c * z - 1.0 / 87178291200.0;
    c = c * z + 1.0 / 479001600.0;
    c = c * z - 1.0 / 3628800.0;
    c = c * z + 1.0 / 40320.0;
    c = c * z - 1.0 / 720.0;
    c = c * z + 1.0 / 24.0;
    c = c * z - 0.5;
    c = 1.0 + z * c;
    const std::uint64_t odd = 0U - (quarter & 1U);
    const std::uint64_t s_bits = std::bit_cast<std::uint64_t>(s);
    const std::uint64_t c_bits = std::bit_cast<std::uint64_t>(c);
    sine = std::bit_cast<double>(((s_bits & ~odd) | (c_bits & odd)) ^ ((quarter & 2U) << 62));
    cosine = std::bit_cast<double>(((c_bits & ~odd) | (s_bits & odd)) ^ (((quarter + 1U) & 2U) << 62));
}

void rectangular_batch(std::uint64_t first, std::uint32_t pair, std::array<std::uint32_t, 2> key, Doubles& one,
                       Doubles& other) {
    Words c0, c1, c2, c3;
    for (std::size_t i = 0; i < lanes; ++i) {
        const std::uint64_t sample = first + i;
        c0[i] = static_cast<std::uint32_t>(sample);
        c1[i] = static_cast<std::uint32_t>(sample >> 32);
        c2[i] = pair;
        c3[i] = 0;
    }
    for (int round = 0; round < rounds; ++round) {
        for (std::size_t i = 0; i < lanes; ++i) {
            const std::uint64_t p0 = multiplier_0 * c0[i];
            const std::uint64_t p1 = multiplier_1 * c2[i];
            c0[i] = static_cast<std::uint32_t>(p1 >> 32) ^ c1[i] ^ key[0];
            c1[i] = static_cast<std::uint32_t>(p1);
            c2[i] = static_cast<std::uint32_t>(p0 >> 32) ^ c3[i] ^ key[1];
            c3[i] = static_cast<std::uint32_t>(p0);
        }
        key[0] += weyl_0;
        key[1] += weyl_1;
    }
    for (std::size_t i = 0; i < lanes; ++i) {
        one[i] = unit_interval(c0[i], c1[i]);
        other[i] = unit_interval(c2[i], c3[i]);
    }
}

void normal_batch(Doubles& one, Doubles& other) {
    for (std::size_t i = 0; i < lanes; ++i) {
        const double radius = std::sqrt(-2.0 * logarithm(one[i]));
        double sine = 0.0;
        double cosine = 0.0;
        sine_and_cosine(other[i], sine, cosine);
        one[i] = radius * cosine;
        other[i] = radius * sine;
    }
}

template <class Shape>
void fill(std::uint64_t first, std::uint32_t pair, std::array<std::uint32_t, 2> key, std::span<double> one,
          std::span<double> other, Shape shape) {
    Doubles a, b;
    for (std::size_t done = 0; done < one.size(); done += lanes) {
        rectangular_batch(first + done, pair, key, a, b);
        shape(a, b);
        const std::size_t count = std::min(lanes, one.size() - done);
        std::copy_n(a.begin(), count, one.begin() + static_cast<std::ptrdiff_t>(done));
        std::copy_n(b.begin(), count, other.begin() + static_cast<std::ptrdiff_t>(done));
    }
}

}  // namespace

std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key) {
    for (int round = 0; round < rounds; ++round) {
        const std::uint64_t p0 = multiplier_0 * counter[0];
        const std::uint64_t p1 = multiplier_1 * counter[2];
        counter = {static_cast<std::uint32_t>(p1 >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(p1),
                   static_cast<std::uint32_t>(p0 >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(p0)};
        key[0] += weyl_0;
        key[1] += weyl_1;
    }
    return counter;
}

void RandomSamples::rectangular(std::uint64_t first, std::uint32_t pair, std::span<double> one,
                                std::span<double> other) const {
    fill(first, pair, key_, one, other, [](Doubles&, Doubles&) {});
}

void RandomSamples::normal(std::uint64_t first, std::uint32_t pair, std::span<double> one,
                           std::span<double> other) const {
    fill(first, pair, key_, one, other, normal_batch);
}

}  // namespace reedwright
