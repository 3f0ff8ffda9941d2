#include "core/retune/zone_names.hpp"

#include "core/input/diagnostic.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>

namespace reedwright {

std::vector<NamedZone> raising_zones(const Reed& reed, const Vibration& vibration) {
    const Length length = reed.tongue.length();
    const auto neutral = vibration.neutral_places();
    std::vector<NamedZone> result{{"tip", parse_zone("tip", length)}};
    // Heavy tips may have several neutral places; the last is where the tip's side begins.
    if (!neutral.empty()) result.push_back({"outer", {neutral.back() + 0.2 * (length - neutral.back()), length}});
    return result;
}

std::vector<NamedZone> lowering_zones(const Reed& reed, const Vibration& vibration) {
    const auto neutral = vibration.neutral_places();
    std::vector<NamedZone> result{{"root", parse_zone("root", reed.tongue.length())}};
    if (neutral.empty()) return result;
    const Length end = 0.8 * neutral.front();
    result.push_back({"inner", {0.0 * metre, end}});
    result.push_back({"middle", {0.5 * end, end}});
    return result;
}

Zone zone_on(const Reed& reed, std::string_view text, Model model) {
    if (text != "outer" && text != "inner" && text != "middle") return parse_zone(text, reed.tongue.length());
    const Vibration vibration = vibration_of(reed, model);
    for (const NamedZone& named : text == "outer" ? raising_zones(reed, vibration) : lowering_zones(reed, vibration))
        if (named.name == text) return named.zone;
    throw InputError(fmt::format("this tongue has no neutral place, and so no zone '{}'", text),
                     "write tip, root, or two distances from the root such as 12mm..15mm");
}

}  // namespace reedwright
