// The first flapping modes, drawn over the length.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <string>

namespace reedwright::app {

/// Deflection on the middle line as a share of the tip's for the first three flapping modes, with
/// their frequencies. An SVG document.
std::string mode_picture(const Reed& reed, const Vibration& vibration);

}  // namespace reedwright::app
