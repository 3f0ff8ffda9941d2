#include "core/tuning/layout.hpp"

#include <array>
#include <cstdlib>

namespace reedwright {

namespace {

constexpr int letters = 7;
// Semitones of the major scale's degrees above its first.
constexpr std::array<int, letters> major{0, 2, 4, 5, 7, 9, 11};
constexpr std::array<char, letters> letter_names{'C', 'D', 'E', 'F', 'G', 'A', 'B'};

int letter_index(char letter) {
    for (int i = 0; i < letters; ++i)
        if (letter_names[static_cast<std::size_t>(i)] == letter) return i;
    return 0;
}

// The note that lies so many steps up the major scale of the first note.
Note degree(const Note& first, int steps) {
    return transposed(first, steps, 12 * (steps / letters) + major[static_cast<std::size_t>(steps % letters)]);
}

template <std::size_t count>
void add_row(std::vector<LayoutPlace>& places, const std::string& row, const Note& first,
             const std::array<int, count>& steps) {
    for (std::size_t i = 0; i < count; ++i) places.push_back({static_cast<int>(i) + 1, row, degree(first, steps[i])});
}

}  // namespace

Note transposed(const Note& note, int steps, int semitones) {
    const int letter = letter_index(note.letter) + steps;
    // Steps may lead down too.
    const int octaves = letter >= 0 ? letter / letters : -((letters - 1 - letter) / letters);
    Note result{letter_names[static_cast<std::size_t>(letter - octaves * letters)], 0, note.octave + octaves};
    const int wanted = note.semitone() + semitones;
    result.accidental = wanted - result.semitone();
    if (std::abs(result.accidental) <= 1) return result;
    const Frequency a4 = 440.0 * hertz;
    return nearest_note(raised_by(a4, (wanted - 69) * 100.0 * cent), a4);
}

std::vector<LayoutPlace> ten_hole_layout(const Note& first) {
    std::vector<LayoutPlace> places;
    add_row(places, "blow", first, std::array{0, 2, 4, 7, 9, 11, 14, 16, 18, 21});
    add_row(places, "draw", first, std::array{1, 4, 6, 8, 10, 12, 13, 15, 17, 19});
    return places;
}

std::vector<LayoutPlace> solo_layout(const Note& first, int cells) {
    constexpr std::array blow{0, 2, 4, 7};
    constexpr std::array draw{1, 3, 5, 6};
    std::vector<LayoutPlace> places;
    const auto add = [&](const std::string& row, const std::array<int, 4>& steps) {
        for (int i = 0; i < cells; ++i)
            places.push_back({i + 1, row, degree(first, letters * (i / 4) + steps[static_cast<std::size_t>(i % 4)])});
    };
    add("blow", blow);
    add("draw", draw);
    return places;
}

Note position_key(const Note& first, int position) {
    // The names that the twelve major keys go by.
    constexpr std::array<Note, 12> keys{{{'C', 0, 4},
                                         {'D', -1, 4},
                                         {'D', 0, 4},
                                         {'E', -1, 4},
                                         {'E', 0, 4},
                                         {'F', 0, 4},
                                         {'F', 1, 4},
                                         {'G', 0, 4},
                                         {'A', -1, 4},
                                         {'A', 0, 4},
                                         {'B', -1, 4},
                                         {'B', 0, 4}}};
    if (position == 1) return first;
    const int semitone = (first.semitone() + 7 * (position - 1)) % 12;
    Note key = keys[static_cast<std::size_t>(semitone)];
    key.octave = first.octave;
    return key;
}

Interval bend_by_rule(Frequency lower, Frequency higher) {
    const Interval apart = interval_between(lower, higher);
    const Interval semitone = 100.0 * cent;
    if (apart.value() <= 0.0) return 0.0 * cent;
    return std::max(0.5 * apart, apart - semitone);
}

}  // namespace reedwright
