// Which note sits in which cell of which row: the usual orders of notes.
#pragma once

#include "core/tuning/note.hpp"

#include <string>
#include <vector>

namespace reedwright {

struct LayoutPlace {
    /// Counted from 1, lowest first.
    int cell;
    std::string row;
    Note note;
};

/// The ten-hole diatonic. In C, from C4: blow C E G C E G C E G C, draw D G B D F A B D F A; other first notes
/// transpose it, spelt by their own scale.
std::vector<LayoutPlace> ten_hole_layout(const Note& first);

/// The solo-tuned order of chromatics: blow C E G C and draw D F A B over and over, transposed to the first note, for
/// so many cells.
std::vector<LayoutPlace> solo_layout(const Note& first, int cells);

/// A note so many diatonic steps and semitones away, spelt with the letter of the steps where one accidental is
/// enough, and otherwise as the nearest plain name.
Note transposed(const Note& note, int steps, int semitones);

/// The keys in which an instrument is played in the n-th position, n from 1: each a fifth above the one before.
Note position_key(const Note& first, int position);

/// The trade's rule for a cell with two unvalved reeds: the higher reed's note can be pulled down to about a semitone
/// above the lower reed's; so far, in cents below its own pitch. Common practice, no source. Nearer than a whole tone
/// half their interval, for of a semitone the rule leaves nothing (our choice, no source; the two meet at a whole
/// tone).
Interval bend_by_rule(Frequency lower, Frequency higher);

}  // namespace reedwright
