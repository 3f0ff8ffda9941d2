// The stretches of a tongue that have names, some of which lie by its neutral places.
#pragma once

#include "core/tongue/cut.hpp"
#include "core/vibration/vibration.hpp"

#include <string>
#include <vector>

namespace reedwright {

struct NamedZone {
    std::string name;
    Zone zone;
};

/// Zones from which metal taken raises the pitch: "tip", the last fifth of the length, and "outer", from a fifth of the
/// way beyond the last neutral place to the tip.
std::vector<NamedZone> raising_zones(const Reed& reed, const Vibration& vibration);

/// Zones from which metal taken lowers the pitch: "root", the first fifth of the length; "inner", from the root to four
/// fifths of the way to the first neutral place; "middle", the half of it away from the most stressed root.
std::vector<NamedZone> lowering_zones(const Reed& reed, const Vibration& vibration);

/// A zone by its name on this tongue, or as parse_zone() reads it. Throws InputError as that does, and for a name that
/// this tongue has no place for.
Zone zone_on(const Reed& reed, std::string_view text, Model model = {});

}  // namespace reedwright
