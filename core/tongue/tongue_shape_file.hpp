// The dimensions of a tongue in a file: what a tongue file and a table of measured tongues share.
#pragma once

#include "core/input/section.hpp"
#include "core/tongue/profile.hpp"
#include "core/tongue/reed.hpp"

#include <optional>
#include <string_view>

namespace reedwright {

/// The longest tongue that a file may state.
inline const Length longest_tongue = 200.0 * millimetre;

struct TongueShape {
    Profile thickness;
    Profile width;
};

/// Reads `length`, `width` and `thickness` of a section, the latter two a value or stations. Every fault
/// is recorded at its own place; the result is then empty. The length, once known, goes to known_length
/// too, so that other parts of the file can be held against it.
std::optional<TongueShape> read_tongue_shape(Section& tongue, std::optional<Length>* known_length = nullptr);

/// Reads a section of standard deviations under a key; what it does not state keeps its default.
Spread read_spread(Section& root, std::string_view key);

}  // namespace reedwright
