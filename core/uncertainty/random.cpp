#include "core/uncertainty/random.hpp"

#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/philox.hpp"

namespace reedwright {

std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key) {
    for (int round = 0; round < kernel::philox_rounds; ++round) {
        const std::uint64_t p0 = kernel::philox_multiplier_0 * counter[0];
        const std::uint64_t p1 = kernel::philox_multiplier_1 * counter[2];
        counter = {static_cast<std::uint32_t>(p1 >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(p1),
                   static_cast<std::uint32_t>(p0 >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(p0)};
        key[0] += kernel::philox_weyl_0;
        key[1] += kernel::philox_weyl_1;
    }
    return counter;
}

RandomSamples::RandomSamples(std::uint64_t seed) : RandomSamples(seed, kernel::widest_lanes()) {}

void RandomSamples::rectangular(std::uint64_t first, std::uint32_t pair, std::span<double> one,
                                std::span<double> other) const {
    lanes_->rectangular({first, pair, key_[0], key_[1]}, one.data(), other.data(), one.size());
}

void RandomSamples::normal(std::uint64_t first, std::uint32_t pair, std::span<double> one,
                           std::span<double> other) const {
    lanes_->normal({first, pair, key_[0], key_[1]}, one.data(), other.data(), one.size());
}

}  // namespace reedwright
