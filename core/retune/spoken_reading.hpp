// A tuner's reading in a file.
#pragma once

#include "core/input/section.hpp"
#include "core/tuning/note.hpp"

#include <optional>
#include <string_view>

namespace reedwright {

/// What a reading may be, wider than any reed.
inline const Frequency lowest_reading = 10.0 * hertz;
inline const Frequency highest_reading = 20000.0 * hertz;

/// Reads a pitch under a key as a tuner shows it, 437.2Hz or A4-12c; one that stands against no note is a fault, since
/// a loose tongue has none. Faults are recorded; the result is then empty, as it is where the key is absent and may be.
std::optional<Frequency> read_spoken_pitch(Section& section, std::string_view key, bool required, Frequency a4);

}  // namespace reedwright
