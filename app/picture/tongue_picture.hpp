// A tongue from the side and from above, with what metal taken does under it.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <string>

namespace reedwright::app {

/// Three drawings over one axis of length: the side view with its thickness exaggerated, the top view
/// with slot, pad and rivets to scale along and across, and the where-map in cents for one micrometre
/// over one millimetre. An SVG document.
std::string tongue_picture(const Reed& reed, const Vibration& vibration);

}  // namespace reedwright::app
