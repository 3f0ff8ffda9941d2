#include "core/tongue/cut.hpp"

#include "core/input/diagnostic.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace reedwright {

namespace {

const Length thinnest_possible = 0.01 * millimetre;
constexpr double end_share = 0.2;  // "tip" and "root" are the outer fifth (common practice, no source)
const Length end_tolerance = 1e-9 * metre;

bool starts_at_root(const FlatCut& cut) {
    return cut.zone.from <= end_tolerance;
}

bool ends_at_tip(const FlatCut& cut, Length length) {
    return cut.zone.to >= length - end_tolerance;
}

}  // namespace

Zone parse_zone(std::string_view text, Length length) {
    const char* const hint = "write tip, root, or two distances from the root such as 12mm..15mm";
    if (text == "tip") return {length * (1.0 - end_share), length};
    if (text == "root") return {0.0 * metre, length * end_share};
    const auto dots = text.find("..");
    if (dots == std::string_view::npos) throw InputError(fmt::format("zone '{}' is not a stretch of the tongue", text), hint);
    const auto from = parse_quantity<Length>(text.substr(0, dots));
    if (!from) throw InputError(fmt::format("zone '{}': {}", text, from.error().message), hint);
    const auto to = parse_quantity<Length>(text.substr(dots + 2));
    if (!to) throw InputError(fmt::format("zone '{}': {}", text, to.error().message), hint);
    if (*from >= *to) throw InputError(fmt::format("zone '{}' has no length", text), "write the distance nearer to the root first");
    if (from->value() < 0.0 || *to > length + end_tolerance)
        throw InputError(fmt::format("zone '{}' reaches outside the tongue, 0 mm to {}", text, to_text(length)));
    return {*from, std::min(*to, length)};
}

Profile depth_profile(const FlatCut& cut, Length length) {
    const Length zero = 0.0 * metre;
    const Length near_ramp = starts_at_root(cut) ? zero : cut.ramp;
    const Length far_ramp = ends_at_tip(cut, length) ? zero : cut.ramp;
    if (cut.ramp.value() < 0.0) throw InputError(fmt::format("a ramp of {} is negative", to_text(cut.ramp)));
    if (cut.zone.to - cut.zone.from < near_ramp + far_ramp)
        throw InputError(fmt::format("the zone {} .. {} is shorter than its ramps of {}", to_text(cut.zone.from), to_text(cut.zone.to), to_text(cut.ramp)),
                         "choose a longer zone or a shorter --ramp");
    std::vector<Station> stations;
    if (!starts_at_root(cut)) stations.push_back({zero, zero});
    if (!starts_at_root(cut)) stations.push_back({cut.zone.from, zero});
    stations.push_back({starts_at_root(cut) ? zero : cut.zone.from + near_ramp, cut.depth});
    stations.push_back({ends_at_tip(cut, length) ? length : cut.zone.to - far_ramp, cut.depth});
    if (!ends_at_tip(cut, length)) stations.push_back({cut.zone.to, zero});
    if (!ends_at_tip(cut, length)) stations.push_back({length, zero});
    return Profile(std::move(stations));
}

Tongue after_cut(const Tongue& tongue, const FlatCut& cut) {
    if (cut.depth.value() <= 0.0) throw InputError(fmt::format("a depth of {} takes nothing", to_text(cut.depth)));
    Tongue result = tongue;
    result.thickness = tongue.thickness.plus(depth_profile(cut, tongue.length()), -1.0);
    if (result.thickness.smallest() < thinnest_possible)
        throw InputError(fmt::format("a depth of {} leaves {}, less than {}", to_text(cut.depth), to_text(std::max(result.thickness.smallest(), 0.0 * metre)), to_text(thinnest_possible)),
                         fmt::format("the tongue is {} thick there before the cut", to_text(deepest_cut(tongue, cut, 0.0 * metre, 0.0))));
    return result;
}

Mass removed_mass(const Tongue& tongue, const FlatCut& cut) {
    return tongue.material.density.value * integral_of_product(depth_profile(cut, tongue.length()), tongue.width);
}

Length deepest_cut(const Tongue& tongue, const FlatCut& shape, Length least_left, double least_share) {
    // In proportion to a unit depth d(x), the depth may be (h - left) / d at every corner of either.
    FlatCut unit = shape;
    unit.depth = 1.0 * metre;
    const Profile share = depth_profile(unit, tongue.length());
    const Profile& thickness = tongue.thickness;
    Length deepest = thickness.largest();
    const auto bound = [&](Length depth_share, Length there) {
        if (depth_share.value() <= 0.0) return;
        const Length free = std::min(there - least_left, there * (1.0 - least_share));
        deepest = std::min(deepest, std::max(0.0 * metre, free) / depth_share.value());
    };
    std::vector<Length> places;
    for (const Station& s : share.stations()) places.push_back(s.at);
    for (const Station& s : thickness.stations()) places.push_back(s.at);
    for (const Length& at : places) {
        if (at > 0.0 * metre) bound(share.before(at), thickness.before(at));
        if (at < tongue.length()) bound(share.beyond(at), thickness.beyond(at));
    }
    return deepest;
}

}  // namespace reedwright
