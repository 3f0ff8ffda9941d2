// For every machine: what the compiler takes for granted.
#include "core/uncertainty/lanes/normal.hpp"
#include "core/uncertainty/lanes/pitch.hpp"

namespace reedwright::kernel {

const Lanes portable_lanes{"portable", lane_count, draw<false>, draw<true>, solve};

}  // namespace reedwright::kernel
