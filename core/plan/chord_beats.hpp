// How sweet the chords of an instrument are.
#pragma once

#include "core/plan/instrument.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// Two neighbours of a row that sound together, and the small ratio that their interval comes near.
struct ChordBeat {
    std::string row;
    Note low;
    Note high;
    /// The pitches are nearly as p to q, high to low.
    int p;
    int q;
    /// The interval less the ratio's.
    Interval off;
    /// |q f_high - p f_low|.
    Frequency beats;
};

/// The beats between neighbouring cells of each row at their sounding pitches, breath and bench left aside. The ratio
/// is the one of numbers up to 9 that lies nearest; intervals farther than 20 cents from all of them (semitones) beat
/// with no one and are left out, and so are those beyond an octave.
std::vector<ChordBeat> chord_beats(const Instrument& instrument);

}  // namespace reedwright
