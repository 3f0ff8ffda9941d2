// For machines with AVX-512: eight samples side by side. Compiled with -mavx512f.
#include "core/uncertainty/lanes/normal.hpp"
#include "core/uncertainty/lanes/pitch.hpp"

namespace reedwright::kernel {

static_assert(register_bytes == 64);
const Lanes avx512_lanes{"AVX-512", lane_count, draw<false>, draw<true>, solve};

}  // namespace reedwright::kernel
