// Random numbers that depend on the seed and the number of the sample alone.
//
// A counter-based generator needs no state: sample i of seed S is the same whoever computes it, in
// whatever order, on however many threads and in vectors of whatever length.
#pragma once

#include <array>
#include <cstdint>
#include <span>

namespace reedwright {

namespace kernel {
struct Lanes;
}

/// Philox4x32 with ten rounds: four random words from a counter of four words and a key of two.
/// Salmon, Moraes, Dror and Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3", Proc. SC11.
std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key);

/// The deviates of a run of samples. Deviates come in pairs: pair k of a sample is one Philox block,
/// counter (sample, k), so that a model takes as many pairs as it has inputs, each its own.
class RandomSamples {
public:
    explicit RandomSamples(std::uint64_t seed);
    /// By given instructions, which change nothing but the time taken.
    RandomSamples(std::uint64_t seed, const kernel::Lanes& lanes)
        : key_{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)}, lanes_(&lanes) {}

    /// Rectangular on the open interval (0, 1): midpoints of 2^52 equal steps. Fills both spans, which
    /// must be equally long, for the samples first, first + 1, ...
    void rectangular(std::uint64_t first, std::uint32_t pair, std::span<double> one, std::span<double> other) const;

    /// Standard normal, independent, by Box and Muller 1958, Ann. Math. Stat. 29:610: the radius
    /// sqrt(-2 ln u) and the angle 2 pi v. None lies beyond 8.6. Logarithm, sine and cosine are
    /// series of our own, good to 1e-15, so that the numbers do not hang on a library.
    void normal(std::uint64_t first, std::uint32_t pair, std::span<double> one, std::span<double> other) const;

private:
    std::array<std::uint32_t, 2> key_;
    const kernel::Lanes* lanes_;
};

}  // namespace reedwright
