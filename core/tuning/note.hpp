// Note names and the pitches that they and their offsets stand for.
#pragma once

#include "core/quantity/quantity_text.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

namespace reedwright {

/// A named note: letter, accidental and octave as written, so that Bb5 stays Bb5 when printed.
struct Note {
    char letter = 'A';
    /// +1 sharp, -1 flat, 0 natural.
    int accidental = 0;
    /// Scientific octave number: A4 is the tuning A, C4 the C below it.
    int octave = 4;

    /// Equal-tempered semitones counted so that A4 is 69.
    int semitone() const;
    std::string name() const;
};

/// Reads "A4", "F#3", "Bb5" (also with the signs for sharp and flat), octaves -1 to 9.
/// A letter without its octave is refused: in a YAML file "C #4" arrives as "C", its sharp lost.
tl::expected<Note, QuantityFault> parse_note(std::string_view text);

/// The note nearest to a pitch in equal temperament, sharps preferred.
Note nearest_note(Frequency pitch, Frequency a4);

/// Equal temperament: f = f(A4) 2^((n - 69) / 12), n the semitone of the note.
Frequency equal_pitch(const Note& note, Frequency a4);

/// A pitch as a repairer says it: "437.2Hz", "A4", "A4-12c", or "-12c" against a note that is
/// known from elsewhere. Cents, 13 100 at most, may be written c, cent or cents.
struct SpokenPitch {
    std::optional<Frequency> hertz;
    std::optional<Note> note;
    Interval offset = Interval::from_value(0.0);

    /// The pitch in hertz; empty when the offset stands alone and there is no note to hold it to.
    std::optional<Frequency> resolve(const std::optional<Note>& own_note, Frequency a4) const;
};

tl::expected<SpokenPitch, QuantityFault> parse_spoken_pitch(std::string_view text);

}  // namespace reedwright
