// The inputs that are uncertain and the order they are counted in. Light enough for the lanes.
#pragma once

#include <cstddef>

namespace reedwright {

enum class Input { thickness, modulus, density, poisson, length, width, seat };
inline constexpr std::size_t input_count = 7;

constexpr std::size_t index_of(Input input) {
    return static_cast<std::size_t>(input);
}

}  // namespace reedwright
