// Any words as quantities, notes, keys, readings and zones.
#include "core/quantity/quantity_text.hpp"
#include "core/tongue/cut.hpp"
#include "core/tuning/note.hpp"
#include "core/tuning/temperament.hpp"
#include "tests/fuzz/targets.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright::fuzz {

namespace {

constexpr int dimensions = static_cast<int>(Dimension::stiffness) + 1;
constexpr int most_words = 64;

void demand_said(const QuantityFault& fault) {
    demand(!fault.message.empty(), "a fault without a word");
}

void as_quantity(std::string_view word, Dimension dimension) {
    const auto value = parse_si(word, dimension);
    if (!value) return demand_said(value.error());
    demand_finite(*value, "a quantity");
    // What is told is what was read: six digits, of the distance from absolute zero for a temperature in degC.
    const std::string told = si_text(*value, dimension);
    const auto again = parse_si(told, dimension);
    demand(again.has_value(), fmt::format("'{}' is told as '{}', which is not taken", word, told));
    const double size = std::max(std::abs(*value), dimension == Dimension::temperature ? 273.15 : 0.0);
    demand(std::abs(*again - *value) <= 1e-5 * size, fmt::format("'{}' is told as '{}'", word, told));
}

void as_note(std::string_view word) {
    const auto note = parse_note(word);
    if (!note) return demand_said(note.error());
    const auto again = parse_note(note->name());
    demand(again && again->semitone() == note->semitone(), fmt::format("'{}' is named {}", word, note->name()));
    const Frequency pitch = equal_pitch(*note, 440.0 * hertz);
    demand_positive(pitch.value(), "a note's pitch");
    demand(nearest_note(pitch, 440.0 * hertz).semitone() == note->semitone(), "a note is not nearest to itself");
}

void as_reading(std::string_view word) {
    const auto spoken = parse_spoken_pitch(word);
    if (!spoken) return demand_said(spoken.error());
    const auto pitch = spoken->resolve(Note{}, 440.0 * hertz);
    demand(pitch.has_value(), "a reading that a note does not resolve");
    demand_positive(pitch->value(), fmt::format("the reading '{}'", word));
    (void)nearest_note(*pitch, 440.0 * hertz).name();
}

void as_zone(std::string_view word) {
    const Length length = 15.0 * millimetre;
    const auto zone = read_or_refused(word, [&] { return parse_zone(word, length); });
    if (!zone) return;
    demand(zone->from.value() >= 0.0 && zone->from < zone->to && zone->to <= length, "a zone outside its tongue");
}

}  // namespace

void words(std::string_view text) {
    for (int count = 0; count < most_words; ++count) {
        const auto end = text.find('\n');
        const std::string_view word = text.substr(0, end);
        for (int dimension = 0; dimension < dimensions; ++dimension)
            as_quantity(word, static_cast<Dimension>(dimension));
        as_note(word);
        as_reading(word);
        as_zone(word);
        if (const auto key = parse_key(word); !key) demand_said(key.error());
        if (end == std::string_view::npos) return;
        text.remove_prefix(end + 1);
    }
}

}  // namespace reedwright::fuzz
