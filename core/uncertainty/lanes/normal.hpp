// Random numbers of consecutive samples side by side; what they are says core/uncertainty/random.hpp.
#pragma once

#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/lanes/pack.hpp"
#include "core/uncertainty/philox.hpp"

namespace reedwright::kernel {

namespace {

struct PackPair {
    Pack one, other;
};

// Two words as the midpoint of one of 2^52 steps of (0, 1): 52 bits behind the exponent of 1 give
// [1, 2) exactly.
inline Pack unit_interval(Bits high, Bits low) {
    return pack_of((high << 20) | (low >> 12) | 0x3FF0000000000000U) - (1.0 - 0x1p-53);
}

// Sine and cosine of 2 pi u: the nearest quarter turn, and Taylor's series of the rest, below pi / 4.
inline PackPair cosine_and_sine(Pack u) {
    constexpr double to_whole = 0x1.8p52;
    constexpr double whole_turn = 0x1.921fb54442d18p2;
    const Pack shifted = 4.0 * u + to_whole;
    const Bits quarter = bits_of(shifted);
    const Pack a = whole_turn * (u - 0.25 * (shifted - to_whole));
    const Pack z = a * a;
    Pack s = all_lanes(-1.0 / 1307674368000.0);
    s = s * z + 1.0 / 6227020800.0;
    s = s * z - 1.0 / 39916800.0;
    s = s * z + 1.0 / 362880.0;
    s = s * z - 1.0 / 5040.0;
    s = s * z + 1.0 / 120.0;
    s = s * z - 1.0 / 6.0;
    s = a + a * z * s;
    Pack c = all_lanes(1.0 / 20922789888000.0);
    c = c * z - 1.0 / 87178291200.0;
    c = c * z + 1.0 / 479001600.0;
    c = c * z - 1.0 / 3628800.0;
    c = c * z + 1.0 / 40320.0;
    c = c * z - 1.0 / 720.0;
    c = c * z + 1.0 / 24.0;
    c = c * z - 0.5;
    c = 1.0 + z * c;
    const Bits odd = Bits{} - (quarter & 1U);
    const Bits s_bits = bits_of(s);
    const Bits c_bits = bits_of(c);
    return {pack_of(((c_bits & ~odd) | (s_bits & odd)) ^ (((quarter + 1U) & 2U) << 62)),
            pack_of(((s_bits & ~odd) | (c_bits & odd)) ^ ((quarter & 2U) << 62))};
}

inline PackPair rectangular_pair(Bits sample, std::uint32_t pair, std::uint32_t key_0, std::uint32_t key_1) {
    constexpr std::uint64_t lower = 0xFFFFFFFFU;
    Bits c0 = sample & lower;
    Bits c1 = sample >> 32;
    Bits c2 = Bits{} + pair;
    Bits c3{};
    for (int round = 0; round < philox_rounds; ++round) {
        const Bits p0 = product_of_words(c0, Bits{} + philox_multiplier_0);
        const Bits p1 = product_of_words(c2, Bits{} + philox_multiplier_1);
        c0 = (p1 >> 32) ^ c1 ^ key_0;
        c1 = p1 & lower;
        c2 = (p0 >> 32) ^ c3 ^ key_1;
        c3 = p0 & lower;
        key_0 += philox_weyl_0;
        key_1 += philox_weyl_1;
    }
    return {unit_interval(c0, c1), unit_interval(c2, c3)};
}

inline PackPair normal_pair(PackPair even) {
    const Pack radius = square_root(-2.0 * logarithm(even.one));
    const PackPair turned = cosine_and_sine(even.other);
    return {radius * turned.one, radius * turned.other};
}

template <bool Normal>
void draw(const Draws& draws, double* one, double* other, std::size_t count) {
    Bits sample;
    for (std::size_t lane = 0; lane < lane_count; ++lane) sample[lane] = draws.first + lane;
    for (std::size_t done = 0; done < count; done += lane_count, sample += lane_count) {
        PackPair drawn = rectangular_pair(sample, draws.pair, draws.key_0, draws.key_1);
        if constexpr (Normal) drawn = normal_pair(drawn);
        if (count - done >= lane_count) {
            store(drawn.one, one + done);
            store(drawn.other, other + done);
        } else {
            for (std::size_t lane = 0; lane < count - done; ++lane) {
                one[done + lane] = drawn.one[lane];
                other[done + lane] = drawn.other[lane];
            }
        }
    }
}

}  // namespace

}  // namespace reedwright::kernel
