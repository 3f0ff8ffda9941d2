// The work on many samples that is compiled for several instruction sets.
#pragma once

#include "core/uncertainty/reduced_strip.hpp"

#include <span>

namespace reedwright::kernel {

/// Which random numbers: for the samples first, first + 1, ... of a seed.
struct Draws {
    std::uint64_t first;
    std::uint32_t pair;
    std::uint32_t key_0, key_1;
};

/// All of them give the same bits.
struct Lanes {
    const char* instructions;
    std::size_t side_by_side;
    void (*rectangular)(const Draws& draws, double* one, double* other, std::size_t count);
    void (*normal)(const Draws& draws, double* one, double* other, std::size_t count);
    /// deviations: a column for each input, by index_of(Input).
    void (*pitch_cents)(const ReducedStrip& strip, const double* const* deviations, double* cents, std::size_t count);
};

/// Those that this machine can run, the narrowest first: what every machine has.
std::span<const Lanes* const> lanes_here();

/// The last of them.
const Lanes& widest_lanes();

extern const Lanes portable_lanes;
extern const Lanes avx2_lanes;
extern const Lanes avx512_lanes;

}  // namespace reedwright::kernel
