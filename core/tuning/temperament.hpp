// Temperaments: how far each degree above a key lies from equal temperament.
#pragma once

#include "core/tuning/note.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace reedwright {

/// Twelve degrees above a key, each with its distance from equal temperament. A4 keeps its given pitch in
/// every temperament and key: all degrees are shifted together until the offset of A is nothing. There are
/// twelve degrees only, so F# and Gb are one.
class Temperament {
public:
    /// 2^(n / 12).
    static Temperament equal();
    /// Five-limit just: 1, 16/15, 9/8, 6/5, 5/4, 4/3, 45/32, 3/2, 8/5, 5/3, 9/5, 15/8 above the key.
    static Temperament just(const Note& key);
    /// Seven-limit just: as just(), with 7/6, 7/5 and 7/4 for the small third, the tritone and the small seventh. For a
    /// dominant seventh chord without beats the key is that chord's root (the draw chord G B D F: key G).
    static Temperament septimal(const Note& key);
    /// Quarter-comma meantone: fifths of 1/4 log2(5) of an octave, from three below the key to eight above it; the
    /// wide fifth lies between the ends.
    static Temperament quarter_comma(const Note& key);
    /// Distances from equal temperament of the degrees above the key, the key's own first.
    static Temperament custom(const Note& key, const std::array<Interval, 12>& from_equal);

    /// One of "equal", "just", "septimal", "quarter-comma"; empty for any other name.
    static std::optional<Temperament> named(std::string_view name, const Note& key);

    /// Above equal temperament, of the n-th degree (0 the key, any whole number), the key's own offset being that of
    /// the temperament as defined, before A4 is held.
    Interval degree(int semitones_above_key) const;
    /// What to add to the equal-tempered pitch of a note; nothing for A.
    Interval offset(const Note& note) const;
    /// "just in C"; "equal".
    std::string name() const;

private:
    Temperament(std::string name, const Note& key, const std::array<Interval, 12>& from_equal);

    std::string name_;
    int key_semitone_;
    std::array<Interval, 12> from_equal_;
};

/// A key such as "C", "Bb" or "F#": a note without its octave.
tl::expected<Note, QuantityFault> parse_key(std::string_view text);

}  // namespace reedwright
