#include "core/retune/spoken_reading.hpp"

#include <fmt/format.h>

namespace reedwright {

std::optional<Frequency> read_spoken_pitch(Section& section, std::string_view key, bool required, Frequency a4) {
    const auto text = required ? section.required_text(key) : section.optional_text(key);
    if (!text) return std::nullopt;
    const Node& node = *section.find(key, false);
    const auto spoken = parse_spoken_pitch(*text);
    if (!spoken) {
        section.fault(node, key, spoken.error().message, spoken.error().hint);
        return std::nullopt;
    }
    auto pitch = spoken->resolve(std::nullopt, a4);
    if (!pitch) {
        section.fault(node, key, fmt::format("'{}' stands against no note", *text), "write A4-12c or 437.2Hz");
        return std::nullopt;
    }
    if (*pitch < lowest_reading || *pitch > highest_reading) {
        section.fault(
            node, key,
            fmt::format("{} is outside {} to {}", to_text(*pitch), to_text(lowest_reading), to_text(highest_reading)));
        return std::nullopt;
    }
    return pitch;
}

}  // namespace reedwright
