// One target as the function that libFuzzer calls; what a target throws ends the run, its input kept.
#include "tests/fuzz/targets.hpp"

#include <cstddef>
#include <cstdint>

// The name is libFuzzer's.
// NOLINTNEXTLINE(readability-identifier-naming)
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    // Bytes are bytes.
    reedwright::fuzz::REEDWRIGHT_FUZZ_TARGET({reinterpret_cast<const char*>(data), size});
    return 0;
}
