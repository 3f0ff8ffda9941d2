#include "core/tuning/note.hpp"

#include <fmt/format.h>
#include <array>
#include <charconv>
#include <cmath>

namespace reedwright {

namespace {

constexpr int a4_semitone = 69;
constexpr std::string_view example = "write a note with its octave, as in A4, F#3 or Bb5";

int semitone_of_letter(char letter) {
    constexpr std::array<int, 7> semitones{9, 11, 0, 2, 4, 5, 7};  // A to G above C
    return semitones.at(static_cast<std::size_t>(letter - 'A'));
}

tl::unexpected<QuantityFault> not_a_note(std::string_view text) {
    return tl::unexpected(QuantityFault{fmt::format("'{}' is not a note", text), std::string(example)});
}

// Takes a prefix off a text if it is there.
bool take(std::string_view& text, std::string_view prefix) {
    if (!text.starts_with(prefix)) return false;
    text.remove_prefix(prefix.size());
    return true;
}

// In whatever letters: 428hz is meant as a frequency and told so.
bool ends_with_hertz(std::string_view text) {
    if (text.size() < 2) return false;
    const std::string_view unit = text.substr(text.size() - 2);
    return (unit[0] == 'H' || unit[0] == 'h') && (unit[1] == 'z' || unit[1] == 'Z');
}

// From C-1 to B9, the lowest note with a name and the highest: nobody is farther off, and the pitch stays finite.
constexpr double widest_offset_cents = 13100.0;

// A bare number from here on is read as hertz in a hint: no reed sounds lower, and no reading is so many cents off.
constexpr double least_bare_hertz = 60.0;

}  // namespace

int Note::semitone() const {
    return 12 * (octave + 1) + semitone_of_letter(letter) + accidental;
}

std::string Note::name() const {
    return fmt::format("{}{}{}", letter, accidental > 0 ? "#" : accidental < 0 ? "b" : "", octave);
}

tl::expected<Note, QuantityFault> parse_note(std::string_view text) {
    std::string_view rest = text;
    if (rest.empty()) return not_a_note(text);
    Note note;
    note.letter = static_cast<char>(rest.front() >= 'a' ? rest.front() - ('a' - 'A') : rest.front());
    if (note.letter < 'A' || note.letter > 'G') return not_a_note(text);
    rest.remove_prefix(1);
    if (take(rest, "#") || take(rest, "\u266f"))
        note.accidental = 1;
    else if (take(rest, "b") || take(rest, "\u266d"))
        note.accidental = -1;
    if (rest.empty())
        return tl::unexpected(
            QuantityFault{fmt::format("'{}' has no octave", text),
                          fmt::format("{}; in a file a sharp after a blank starts a comment and is lost", example)});
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), note.octave);
    if (error != std::errc{} || end != rest.data() + rest.size()) return not_a_note(text);
    if (note.octave < -1 || note.octave > 9)
        return tl::unexpected(QuantityFault{fmt::format("'{}' is outside octaves -1 to 9", text), {}});
    return note;
}

Note nearest_note(Frequency pitch, Frequency a4) {
    constexpr std::array<std::pair<char, int>, 12> spelling{{{'C', 0},
                                                             {'C', 1},
                                                             {'D', 0},
                                                             {'D', 1},
                                                             {'E', 0},
                                                             {'F', 0},
                                                             {'F', 1},
                                                             {'G', 0},
                                                             {'G', 1},
                                                             {'A', 0},
                                                             {'A', 1},
                                                             {'B', 0}}};
    const int semitone = a4_semitone + static_cast<int>(std::lround(interval_between(a4, pitch).value() / 100.0));
    const int in_octave = ((semitone % 12) + 12) % 12;
    const auto& [letter, accidental] = spelling.at(static_cast<std::size_t>(in_octave));
    return Note{letter, accidental, (semitone - in_octave) / 12 - 1};
}

Frequency equal_pitch(const Note& note, Frequency a4) {
    return a4 * std::exp2((note.semitone() - a4_semitone) / 12.0);
}

std::optional<Frequency> SpokenPitch::resolve(const std::optional<Note>& own_note, Frequency a4) const {
    if (hertz) return hertz;
    const std::optional<Note>& held = note ? note : own_note;
    if (!held) return std::nullopt;
    return raised_by(equal_pitch(*held, a4), offset);
}

tl::expected<SpokenPitch, QuantityFault> parse_spoken_pitch(std::string_view text) {
    SpokenPitch spoken;
    const auto hint = "write 437.2Hz, A4, A4-12c or -12c";
    if (text.empty()) return tl::unexpected(QuantityFault{"no pitch is written", hint});
    if (ends_with_hertz(text)) {
        const auto pitch = parse_quantity<Frequency>(text);
        if (!pitch) return tl::unexpected(pitch.error());
        if (pitch->value() <= 0.0) return tl::unexpected(QuantityFault{fmt::format("'{}' is not a pitch", text), hint});
        spoken.hertz = *pitch;
        return spoken;
    }
    const char first = text.front();
    if ((first >= 'A' && first <= 'G') || (first >= 'a' && first <= 'g')) {
        // The note ends at its octave; a minus right after letter and accidental belongs to the octave.
        std::size_t end = 1;
        while (end < text.size() &&
               (text[end] == '#' || text[end] == 'b' || (static_cast<unsigned char>(text[end]) & 0x80U) != 0))
            ++end;
        if (end < text.size() && text[end] == '-') ++end;
        while (end < text.size() && text[end] >= '0' && text[end] <= '9') ++end;
        const auto note = parse_note(text.substr(0, end));
        if (!note) return tl::unexpected(note.error());
        spoken.note = *note;
        if (end == text.size()) return spoken;
        text.remove_prefix(end);
        if (text.front() != '+' && text.front() != '-' && text.front() != ' ')
            return tl::unexpected(QuantityFault{fmt::format("'{}' after the note is no offset in cents", text), hint});
    }
    const auto offset = parse_quantity<Interval>(text);
    if (!offset) {
        // 437 can only be meant in hertz; a small number may be cents as well.
        if (const auto bare = parse_quantity<Ratio>(text); bare && !spoken.note && text.find('%') == text.npos)
            return tl::unexpected(QuantityFault{fmt::format("'{}' has no unit", text),
                                                bare->value() >= least_bare_hertz
                                                    ? fmt::format("did you mean {}Hz?", text)
                                                    : fmt::format("did you mean {}c, cents from its note?", text)});
        if (spoken.note) return tl::unexpected(QuantityFault{offset.error().message, hint});
        return tl::unexpected(
            QuantityFault{fmt::format("'{}' is neither a pitch in Hz, a note, nor an offset in cents", text), hint});
    }
    if (std::abs(offset->value()) > widest_offset_cents)
        return tl::unexpected(
            QuantityFault{fmt::format("'{}' is more than {:g} cents", text, widest_offset_cents), hint});
    spoken.offset = *offset;
    return spoken;
}

}  // namespace reedwright
