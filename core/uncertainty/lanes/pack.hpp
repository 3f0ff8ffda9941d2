// As many samples side by side as a vector register of the instructions at hand holds.
//
// Included by sources that are compiled for different instructions. The linker keeps one copy of an
// inline function that several objects define; so that it cannot choose one with instructions that
// the machine lacks, everything here and in the other headers of this folder has internal linkage, and
// nothing of the standard library that is a function is used. A test looks at the objects.
//
// A lane goes through the same operations whatever the register's width, none of them contracted into
// a fused one (-ffp-contract=off) or left to a library: every width gives the same bits.
#pragma once

#include <cstddef>
#include <cstdint>

#if defined(__SSE2__)
#include <immintrin.h>
#endif

namespace reedwright::kernel {

namespace {

#if defined(__AVX512F__)
constexpr std::size_t register_bytes = 64;
#elif defined(__AVX2__)
constexpr std::size_t register_bytes = 32;
#else
constexpr std::size_t register_bytes = 16;
#endif

using Pack [[gnu::vector_size(register_bytes)]] = double;
using Bits [[gnu::vector_size(register_bytes)]] = std::uint64_t;
constexpr std::size_t lane_count = register_bytes / sizeof(double);

inline Bits bits_of(Pack x) {
    return __builtin_bit_cast(Bits, x);
}

inline Pack pack_of(Bits x) {
    return __builtin_bit_cast(Pack, x);
}

inline Pack all_lanes(double x) {
    return x - Pack{};
}

inline Pack loaded(const double* from) {
    Pack x;
    __builtin_memcpy(&x, from, sizeof x);
    return x;
}

inline void store(Pack x, double* to) {
    __builtin_memcpy(to, &x, sizeof x);
}

// The least number is wanted where one of them is none: a lane without sense may carry NaN.
inline Pack greater(Pack x, double least) {
    return x > least ? x : all_lanes(least);
}

inline Pack lesser(Pack x, double most) {
    return x < most ? x : all_lanes(most);
}

#if defined(__AVX512F__)
// The plain forms of these intrinsics read a register that g++ 12 then takes for uninitialised.
constexpr __mmask8 every_lane = 0xFF;
#endif

inline Pack square_root(Pack x) {
#if defined(__AVX512F__)
    return _mm512_maskz_sqrt_pd(every_lane, x);
#elif defined(__AVX2__)
    return _mm256_sqrt_pd(x);
#elif defined(__SSE2__)
    return _mm_sqrt_pd(x);
#else
    for (std::size_t i = 0; i < lane_count; ++i) x[i] = __builtin_sqrt(x[i]);
    return x;
#endif
}

// The whole product of the lower halves.
inline Bits product_of_words(Bits a, Bits b) {
#if defined(__AVX512F__)
    return __builtin_bit_cast(
        Bits, _mm512_maskz_mul_epu32(every_lane, __builtin_bit_cast(__m512i, a), __builtin_bit_cast(__m512i, b)));
#elif defined(__AVX2__)
    return __builtin_bit_cast(Bits, _mm256_mul_epu32(__builtin_bit_cast(__m256i, a), __builtin_bit_cast(__m256i, b)));
#elif defined(__SSE2__)
    return __builtin_bit_cast(Bits, _mm_mul_epu32(__builtin_bit_cast(__m128i, a), __builtin_bit_cast(__m128i, b)));
#else
    constexpr std::uint64_t lower = 0xFFFFFFFFU;
    return (a & lower) * (b & lower);
#endif
}

// ln x for x above 1e-300: x = 2^k m with m in [sqrt(1/2), sqrt 2), ln m = 2 artanh((m - 1) / (m + 1)).
inline Pack logarithm(Pack x) {
    constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCDU;
    constexpr std::uint64_t bias = 1024;
    constexpr double ln_2 = 0x1.62e42fefa39efp-1;
    const Bits bits = bits_of(x);
    const Bits biased = (bits - root_half + (bias << 52)) >> 52;
    const Pack k = pack_of(biased | 0x4330000000000000U) - (0x1p52 + static_cast<double>(bias));
    const Pack m = pack_of(bits - (biased << 52) + (bias << 52));
    const Pack s = (m - 1.0) / (m + 1.0);
    const Pack z = s * s;
    Pack series = all_lanes(1.0 / 21.0);
    series = series * z + 1.0 / 19.0;
    series = series * z + 1.0 / 17.0;
    series = series * z + 1.0 / 15.0;
    series = series * z + 1.0 / 13.0;
    series = series * z + 1.0 / 11.0;
    series = series * z + 1.0 / 9.0;
    series = series * z + 1.0 / 7.0;
    series = series * z + 1.0 / 5.0;
    series = series * z + 1.0 / 3.0;
    return k * ln_2 + 2.0 * s * (1.0 + z * series);
}

}  // namespace

}  // namespace reedwright::kernel
