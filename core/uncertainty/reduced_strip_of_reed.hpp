// From a reed whose inputs spread to the reduced strip that stands for it.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/reduced_strip.hpp"
#include "core/vibration/vibration.hpp"

#include <memory>

namespace reedwright::kernel {

/// For deviations within +-reach standard deviations. Throws std::runtime_error when the tongue cannot be
/// solved there.
std::unique_ptr<const ReducedStrip> reduced_strip_of(const Reed& reed, Model model, double reach);

}  // namespace reedwright::kernel
