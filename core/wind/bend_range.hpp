// How far a player can bend the higher note of a cell down, and whether the higher reed can be blown open above it.
#pragma once

#include "core/wind/reed_pair.hpp"

#include <optional>
#include <vector>

namespace reedwright {

/// What the player's tract is tuned through. A tract that holds 200 cm^3 resonates far below the notes of a mouth
/// organ, one of 1 cm^3 above most of them (our choice, no source).
struct TractSweep {
    Volume largest = 1e-3 * metre * metre * metre;
    Volume smallest = 1e-6 * metre * metre * metre;
    std::size_t steps = 24;
    /// Length, section and quality; the volume is swept.
    Tract tract{};
    /// Slower than this a mode counts as not speaking: a player does not wait longer than a second for a note.
    Rate least_growth = 3.0 * per_second;
};

/// One tuning of the tract.
struct TractPoint {
    Volume volume;
    Frequency resonance;
    PairModes modes;
    /// Silent without being integrated where neither mode grows.
    PairSounding sounding;
};

struct BendRange {
    /// The wind closes the higher reed; from the largest tract to the smallest, the floor's own tuning among them.
    std::vector<TractPoint> bend;
    /// The wind closes the lower reed.
    std::vector<TractPoint> overblow;
    /// The higher reed's note unbent: what sounds in the largest tract. Empty when nothing does.
    std::optional<Frequency> unbent;
    /// The lowest sounding pitch below the higher reed's own and above the lower's. Empty when none sounds between.
    std::optional<Frequency> floor;
    /// The lowest sounding pitch above the higher reed's own while the wind closes the lower reed. Empty: none.
    std::optional<Frequency> overblown;
};

/// Sweeps the tract for a cell's two reeds, each as plucked, at a pressure in the cell. As the tract's resonance rises
/// past the notes the higher, closing reed's mode dies and one between the two pitches grows that the lower, opening
/// reed carries. In this model its pitch starts only some cents above the lower reed; players stop about a semitone
/// above it (common practice, no source), so the floor is a bound, not a promise.
/// Throws InputError as check_pressure(), and when the higher reed is not the higher.
BendRange bend_range(const BlownReed& higher, const BlownReed& lower, Volume cell, Pressure pressure,
                     const TractSweep& sweep = {});

}  // namespace reedwright
