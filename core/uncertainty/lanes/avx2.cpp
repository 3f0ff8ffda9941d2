// For machines with AVX2: four samples side by side. Compiled with -mavx2.
#include "core/uncertainty/lanes/normal.hpp"
#include "core/uncertainty/lanes/pitch.hpp"

namespace reedwright::kernel {

static_assert(register_bytes == 32);
const Lanes avx2_lanes{"AVX2", lane_count, draw<false>, draw<true>, solve};

}  // namespace reedwright::kernel
