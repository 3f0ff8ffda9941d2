#include "core/tongue/cut.hpp"

#include "core/input/diagnostic.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

const Length thinnest_possible = 0.01 * millimetre;
constexpr double end_share = 0.2;  // "tip" and "root" are a fifth of the length (common practice, no source)
const Length end_tolerance = 1e-9 * metre;

constexpr double least_width_share = 0.7;
constexpr int arc_chords = 12;

bool starts_at_root(const Cut& cut) {
    return cut.zone.from <= end_tolerance;
}

bool ends_at_tip(const Cut& cut, Length length) {
    return cut.zone.to >= length - end_tolerance;
}

bool takes_width(const Cut& cut) {
    return cut.shape == CutShape::round_tip || cut.shape == CutShape::narrow;
}

// Full depth over the zone, with ramps inside both ends that are not a tongue's end.
Profile flat_profile(const Cut& cut, Length depth, Length length) {
    const Length zero = 0.0 * metre;
    const Length near_ramp = starts_at_root(cut) ? zero : cut.ramp;
    const Length far_ramp = ends_at_tip(cut, length) ? zero : cut.ramp;
    if (cut.ramp.value() < 0.0) throw InputError(fmt::format("a ramp of {} is negative", to_text(cut.ramp)));
    if (cut.zone.to - cut.zone.from < near_ramp + far_ramp)
        throw InputError(fmt::format("the zone {} .. {} is shorter than its ramps of {}", to_text(cut.zone.from),
                                     to_text(cut.zone.to), to_text(cut.ramp)),
                         "choose a longer zone or a shorter --ramp");
    std::vector<Station> stations;
    if (!starts_at_root(cut)) stations.push_back({zero, zero});
    if (!starts_at_root(cut)) stations.push_back({cut.zone.from, zero});
    stations.push_back({starts_at_root(cut) ? zero : cut.zone.from + near_ramp, depth});
    stations.push_back({ends_at_tip(cut, length) ? length : cut.zone.to - far_ramp, depth});
    if (!ends_at_tip(cut, length)) stations.push_back({cut.zone.to, zero});
    if (!ends_at_tip(cut, length)) stations.push_back({length, zero});
    return Profile(std::move(stations));
}

// A groove over the zone; shape gives its depth as a share of the whole at a share of its mouth.
template <class Shape>
Profile groove_profile(const Cut& cut, Length length, Shape shape) {
    const Length zero = 0.0 * metre;
    std::vector<Station> stations{{zero, zero}};
    for (int k = 0; k <= arc_chords; ++k) {
        const double t = static_cast<double>(k) / arc_chords;
        const Length at = cut.zone.from + t * (cut.zone.to - cut.zone.from);
        if (at > zero && at < length) stations.push_back({at, shape(t) * cut.depth});
    }
    stations.push_back({length, zero});
    return Profile(std::move(stations)).simplified();
}

}  // namespace

Zone parse_zone(std::string_view text, Length length) {
    const char* const hint = "write tip, root, outer, inner, middle, or two distances from the root such as 12mm..15mm";
    if (text == "tip") return {length * (1.0 - end_share), length};
    if (text == "root") return {0.0 * metre, length * end_share};
    const auto dots = text.find("..");
    if (dots == std::string_view::npos)
        throw InputError(fmt::format("zone '{}' is not a stretch of the tongue", text), hint);
    const auto from = parse_quantity<Length>(text.substr(0, dots));
    if (!from) throw InputError(fmt::format("zone '{}': {}", text, from.error().message), hint);
    const auto to = parse_quantity<Length>(text.substr(dots + 2));
    if (!to) throw InputError(fmt::format("zone '{}': {}", text, to.error().message), hint);
    if (*from > *to)
        throw InputError(fmt::format("zone '{}' runs from the tip to the root", text),
                         fmt::format("did you mean {}..{}?", text.substr(dots + 2), text.substr(0, dots)));
    if (*from == *to)
        throw InputError(fmt::format("zone '{}' has no length", text), "write two distances from the root");
    if (from->value() < 0.0 || *to > length + end_tolerance)
        throw InputError(fmt::format("zone '{}' reaches outside the tongue, 0 mm to {}", text, to_text(length)));
    return {*from, std::min(*to, length)};
}

Profile depth_profile(const Cut& cut, Length length) {
    switch (cut.shape) {
        case CutShape::v_groove:
            return groove_profile(cut, length, [](double t) { return 1.0 - std::abs(2.0 * t - 1.0); });
        case CutShape::round_groove: {
            // Sagitta of the arc through the mouth's ends, as a share of the depth.
            const double half = 0.5 * (cut.zone.to - cut.zone.from).value();
            const double depth = cut.depth.value();
            const double radius = (half * half + depth * depth) / (2.0 * depth);
            return groove_profile(cut, length, [=](double t) {
                const double x = half * (2.0 * t - 1.0);
                return std::max(0.0, (std::sqrt(radius * radius - x * x) - (radius - depth)) / depth);
            });
        }
        case CutShape::lines:
            return flat_profile(cut, cut.share * cut.depth, length);
        case CutShape::round_tip:
        case CutShape::narrow:
            return Profile::constant(length, 0.0 * metre);
        case CutShape::flat:
            break;
    }
    return flat_profile(cut, cut.depth, length);
}

Profile width_taken(const Cut& cut, const Tongue& tongue) {
    const Length length = tongue.length();
    if (cut.shape == CutShape::narrow) return flat_profile(cut, cut.depth, length);
    if (cut.shape != CutShape::round_tip) return Profile::constant(length, 0.0 * metre);
    std::vector<Station> stations{{0.0 * metre, 0.0 * metre}};
    const double radius = cut.depth.value();
    for (int k = 0; k <= arc_chords; ++k) {
        // Evenly in angle, so that the chords follow the steep end of the arc too; both corners at once. The very tip
        // keeps the first chord's end, since a strip of no width there could not be reckoned with.
        const double angle = 0.5 * std::numbers::pi * static_cast<double>(k) / arc_chords;
        const double from_tip = radius * (1.0 - std::sin(angle));
        const double taken = 2.0 * radius * (1.0 - std::cos(angle));
        stations.push_back({length - Length::from_value(from_tip), Length::from_value(taken)});
    }
    return Profile(std::move(stations));
}

Tongue after_cut(const Tongue& tongue, const Cut& cut) {
    if (cut.depth.value() <= 0.0) throw InputError(fmt::format("a depth of {} takes nothing", to_text(cut.depth)));
    Tongue result = tongue;
    if (takes_width(cut)) {
        result.width = tongue.width.plus(width_taken(cut, tongue), -1.0);
        const Length most = deepest_cut(tongue, cut, 0.0 * metre, 0.0);
        if (cut.depth > most * (1.0 + 1e-9))
            throw InputError(fmt::format("{} of the width is more than the {} that may go there", to_text(cut.depth),
                                         to_text(most)));
        return result;
    }
    result.thickness = tongue.thickness.plus(depth_profile(cut, tongue.length()), -1.0);
    const Length thinnest = thinnest_after(tongue, cut);
    // Room for rounding when the deepest cut itself is asked for.
    if (thinnest < thinnest_possible * (1.0 - 1e-9))
        throw InputError(fmt::format("a depth of {} leaves {}, less than {}", to_text(cut.depth),
                                     to_text(std::max(thinnest, 0.0 * metre)), to_text(thinnest_possible)),
                         fmt::format("the tongue is {} thick there before the cut",
                                     to_text(deepest_cut(tongue, cut, 0.0 * metre, 0.0))));
    return result;
}

Mass removed_mass(const Tongue& tongue, const Cut& cut) {
    if (takes_width(cut))
        return tongue.material.density.value * integral_of_product(width_taken(cut, tongue), tongue.thickness);
    return tongue.material.density.value * integral_of_product(depth_profile(cut, tongue.length()), tongue.width);
}

Length thinnest_after(const Tongue& tongue, const Cut& cut) {
    if (takes_width(cut)) return tongue.thickness.smallest();
    Cut full = cut;
    full.share = 1.0;
    return tongue.thickness.plus(depth_profile(full, tongue.length()), -1.0).smallest();
}

Length deepest_cut(const Tongue& tongue, const Cut& shape, Length least_left, double least_share) {
    if (shape.shape == CutShape::round_tip) return std::min(0.49 * tongue.width.at_tip(), 0.9 * tongue.length());
    if (shape.shape == CutShape::narrow) return (1.0 - least_width_share) * tongue.width.smallest();
    // In proportion to its depth d(x), the cut may be (h - left) / d deep at every corner of either. The share of the
    // width does not matter to what is left at the bottom of a line, nor the curve of a groove to its middle.
    Cut unit = shape;
    unit.depth = 1.0 * metre;
    unit.share = 1.0;
    if (shape.shape == CutShape::round_groove) unit.shape = CutShape::v_groove;
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
