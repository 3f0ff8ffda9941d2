// An instrument as a set of reeds in cells, with what each should sound.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/tuning/temperament.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// An offset of one note against its temperament.
struct NoteOffset {
    Note note;
    Interval offset;
};

/// What pitches an instrument is tuned to.
struct Tuning {
    Frequency a4 = 440.0 * hertz;
    Temperament temperament = Temperament::equal();
    /// The key that a temperament is relative to.
    Note key{'C', 0, 4};
    std::vector<NoteOffset> offsets;

    /// Where a note should sound: equal pitch on this A4, raised by the temperament and the note's own offset.
    Frequency pitch(const Note& note) const;
};

/// How and how warm reeds are read and tuned.
struct Bench {
    /// Of metal and air.
    Temperature temperature = celsius(20.0);
    /// Relative humidity of the air, 0 to 1.
    double humidity = 0.5;
    /// How much sharper than they should sound reeds are set, for breath and warmth flatten them.
    Interval allowance = 0.0 * cent;
};

/// A reed in its place.
struct InstrumentReed {
    /// Counted from 1.
    int cell;
    /// "blow", "draw", or the design's own word.
    std::string row;
    Note note;
    /// Sounds this much faster than its note: the partner of a tremolo pair.
    Frequency beats = 0.0 * hertz;
    /// Playing swing, half of peak to peak at the tip, as a share of the tongue's length. High reeds swing less.
    double swing_share = 0.06;
    /// At bench temperature, in the bench's air.
    Reed reed;

    /// A valve lies over the far side of its slot; empty: as the design says of its row.
    std::optional<bool> valve = std::nullopt;
    /// How far a player shall be able to bend its note down; empty: nothing is asked.
    std::optional<Interval> bend = std::nullopt;
    /// In place of the bench's allowance.
    std::optional<Interval> allowance = std::nullopt;

    bool valved() const { return valve.value_or(false); }
    /// "3 draw".
    std::string place() const;
};

struct Instrument {
    std::string name;
    Tuning tuning;
    Bench bench;
    /// Of metal and air while played.
    Temperature playing = celsius(30.0);
    /// At which it is played at ease; what leaks and how far notes bend is asked at it (our choice, no source).
    Pressure playing_pressure = 500.0 * pascal;
    /// Nearer to its target than this a reed is left alone.
    Interval tolerance = 2.0 * cent;
    /// No cut may bring a tongue's estimated hours of playing below this.
    Time least_life = 100.0 * 3600.0 * second;
    std::vector<InstrumentReed> reeds;
    /// What was left out of the design and the value taken instead.
    std::vector<std::string> assumed;
    /// The cautions of all materials used, each once.
    std::vector<std::string> cautions() const;
    /// Rows in the order of the design.
    std::vector<std::string> rows() const;
};

/// The same reed, metal and air at another temperature.
Reed at_temperature(const Reed& reed, Temperature temperature);

/// What the tuner should read on the bench: the note's pitch, the beats added, raised by the reed's own allowance or
/// else the bench's.
Frequency bench_target(const Instrument& instrument, const InstrumentReed& reed, const Tuning& tuning);

}  // namespace reedwright
