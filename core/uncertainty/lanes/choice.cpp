#include "core/uncertainty/lanes/lanes.hpp"

#include <vector>

namespace reedwright::kernel {

namespace {

std::vector<const Lanes*> found() {
    std::vector<const Lanes*> result{&portable_lanes};
#if defined(REEDWRIGHT_WIDE_LANES)
    // Asks the operating system too: it has to save the registers.
    if (__builtin_cpu_supports("avx2")) result.push_back(&avx2_lanes);
    if (__builtin_cpu_supports("avx512f")) result.push_back(&avx512_lanes);
#endif
    return result;
}

}  // namespace

std::span<const Lanes* const> lanes_here() {
    static const std::vector<const Lanes*> here = found();
    return here;
}

const Lanes& widest_lanes() {
    return *lanes_here().back();
}

}  // namespace reedwright::kernel
