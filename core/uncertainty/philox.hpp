// Philox4x32: its constants, and one block as it is defined.
#pragma once

#include <cstdint>

namespace reedwright::kernel {

// Multipliers and Weyl constants of Salmon et al. 2011, Table 2 and its text.
constexpr std::uint64_t philox_multiplier_0 = 0xD2511F53U;
constexpr std::uint64_t philox_multiplier_1 = 0xCD9E8D57U;
constexpr std::uint32_t philox_weyl_0 = 0x9E3779B9U;
constexpr std::uint32_t philox_weyl_1 = 0xBB67AE85U;
constexpr int philox_rounds = 10;

}  // namespace reedwright::kernel
