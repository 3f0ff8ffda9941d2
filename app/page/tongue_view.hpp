// What the page draws of a tongue beside its pitch: shape and stress.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <nlohmann/json_fwd.hpp>

namespace reedwright::app {

/// {"length_mm", "thickness_mm": [[at, value], ...], "width_mm": ...}
nlohmann::ordered_json shape_json(const Tongue& tongue);

/// Stress and life at the usual playing swing (life_of(), default_swing()): {"peak_mpa", "at_mm", "swing_mm",
/// "share_of_proof", "hours": {"low", "best", "high"}}; null where the material does not say.
nlohmann::ordered_json stress_json(const Reed& reed, const Vibration& vibration);

}  // namespace reedwright::app
