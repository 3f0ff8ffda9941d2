#include "core/tongue/tongue_shape_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <vector>

namespace reedwright {

namespace {

const Range<Length> length_range{1.0 * millimetre, longest_tongue};
const Range<Length> width_range{0.2 * millimetre, 30.0 * millimetre};
const Range<Length> thickness_range{0.01 * millimetre, 1.5 * millimetre};

// Faults of a list of sound stations as a whole: where it starts, ends, and steps. True when there is one.
bool misplaced(Section& tongue, std::string_view key, const Node& list, const std::vector<Station>& stations,
               std::optional<Length> length) {
    const Length tolerance = 1e-9 * metre;
    const auto refuse = [&](std::size_t index, const std::string& message) {
        tongue.fault(list.list[index], fmt::format("{}[{}]", key, index + 1), message);
        return true;
    };
    const std::size_t last = stations.size() - 1;
    if (stations.front().at > tolerance)
        return refuse(0, fmt::format("the first station is at {}, not at 0 mm", to_text(stations.front().at)));
    constexpr const char* nothing_beyond = "a sharp step at the very {} has nothing beyond it";
    if (stations[1].at <= tolerance) return refuse(1, fmt::format(nothing_beyond, "root"));
    if (length && std::abs((stations.back().at - *length).value()) > tolerance.value())
        return refuse(last, fmt::format("the last station is at {}, not at the length, {}", to_text(stations.back().at),
                                        to_text(*length)));
    if (stations[last - 1].at >= stations.back().at - tolerance)
        return refuse(last, fmt::format(nothing_beyond, "tip"));
    return false;
}

// Stations of a list, each a pair of distance and value; every fault at its own place.
std::optional<Profile> read_stations(Section& tongue, std::string_view key, const Node& list,
                                     std::optional<Length> length, Range<Length> range) {
    std::vector<Station> stations;
    bool sound = true;
    if (list.list.size() < 2) {
        tongue.fault(list, key, "needs at least two stations, [distance from the root, value]",
                     fmt::format("one value all along is written without brackets, {}: {}", key,
                                 key == "width" ? "2 mm" : "0.12 mm"));
        return std::nullopt;
    }
    for (const Node& pair : list.list) {
        const std::string name = fmt::format("{}[{}]", key, &pair - list.list.data() + 1);
        if (pair.kind != Node::Kind::list || pair.list.size() != 2) {
            tongue.fault(pair, name, "a station is a pair, [distance from the root, value]");
            sound = false;
            continue;
        }
        const auto at = tongue.value_of<Length>(pair.list[0], name, {0.0 * metre, longest_tongue});
        const auto value = tongue.value_of<Length>(pair.list[1], name, range);
        if (!at || !value) {
            sound = false;
            continue;
        }
        if (!stations.empty() && *at < stations.back().at) {
            tongue.fault(pair, name,
                         fmt::format("{} comes after {}: stations go from root to tip", to_text(*at),
                                     to_text(stations.back().at)));
            sound = false;
        }
        if (stations.size() > 1 && *at == stations.back().at && *at == stations[stations.size() - 2].at) {
            tongue.fault(pair, name, fmt::format("{} stands three times: a sharp step has two stations", to_text(*at)));
            sound = false;
        }
        stations.push_back({*at, *value});
    }
    if (!sound || misplaced(tongue, key, list, stations, length)) return std::nullopt;
    if (length) stations.back().at = *length;
    return Profile(std::move(stations));
}

std::optional<Profile> read_profile(Section& tongue, std::string_view key, std::optional<Length> length,
                                    Range<Length> range) {
    const Node* node = tongue.find(key, true);
    if (node == nullptr) return std::nullopt;
    if (node->kind == Node::Kind::list) return read_stations(tongue, key, *node, length, range);
    if (node->kind == Node::Kind::mapping) {
        tongue.fault(*node, key, "must be a length or a list of stations, not a mapping",
                     "a station is a pair, [distance from the root, value]");
        return std::nullopt;
    }
    const auto value = tongue.value_of<Length>(*node, key, range);
    if (!value || !length) return std::nullopt;
    return Profile::constant(*length, *value);
}

// A tongue is reckoned as a plate that bends flapwise. One thicker than wide is none: it swings sideways at a lower
// pitch than it flaps, and the plate's equations lose their hold.
void check_flatness(Section& tongue, const Profile& thickness, const Profile& width) {
    std::vector<Length> places;
    for (const Profile* one : {&thickness, &width})
        for (const Station& station : one->stations()) places.push_back(station.at);
    for (const Length& at : places) {
        const Length thick = std::max(thickness.before(at), thickness.beyond(at));
        const Length wide = std::min(width.before(at), width.beyond(at));
        if (thick <= wide) continue;
        tongue.fault(*tongue.find("thickness", false), "thickness",
                     fmt::format("is {} at {} from the root, where the tongue is only {} wide", to_text(thick),
                                 to_text(at), to_text(wide)),
                     "a tongue is wider than thick, usually 10 times; did the two change places?");
        return;
    }
}

}  // namespace

std::optional<TongueShape> read_tongue_shape(Section& tongue, std::optional<Length>* known_length) {
    const auto length = tongue.required<Length>("length", length_range);
    const auto width = read_profile(tongue, "width", length, width_range);
    const auto thickness = read_profile(tongue, "thickness", length, thickness_range);
    if (length && thickness && thickness->largest() > *length)
        tongue.fault(*tongue.find("thickness", false), "thickness",
                     fmt::format("{} is above the length {}", to_text(thickness->largest()), to_text(*length)));
    else if (width && thickness)
        check_flatness(tongue, *thickness, *width);
    if (known_length != nullptr) *known_length = length;
    if (!length || !width || !thickness) return std::nullopt;
    return TongueShape{*thickness, *width};
}

Spread read_spread(Section& root, std::string_view key) {
    Spread spread;
    auto given_section = root.section(key, false);
    if (!given_section) return spread;
    Section& section = *given_section;
    const Range<Length> length_spread{0.0 * metre, 1.0 * millimetre};
    const Range<Ratio> share{0.0, 0.5};
    if (const auto given = section.optional<Length>("thickness", {0.0 * metre, 0.2 * millimetre}))
        spread.thickness = *given;
    if (const auto given = section.optional<Length>("length", length_spread)) spread.length = *given;
    if (const auto given = section.optional<Length>("width", length_spread)) spread.width = *given;
    if (const auto given = section.optional<Ratio>("youngs_modulus", share)) spread.modulus_share = given->value();
    if (const auto given = section.optional<Ratio>("density", share)) spread.density_share = given->value();
    section.close();
    return spread;
}

}  // namespace reedwright
