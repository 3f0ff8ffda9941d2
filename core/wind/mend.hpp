// Where a cell loses its air, and which mend saves most of it.
#pragma once

#include "core/wind/joint_leak.hpp"
#include "core/wind/slot_leak.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// A valve over the far side of a slot: a strip that the wind presses on when it blows the reed open, and lifts when
/// it plays the reed.
struct Valve {
    /// Between strip and plate (our choice, no source).
    Length gap = 5.0 * micrometre;
    /// Of the strip over the plate around the slot (our choice, no source).
    Length overlap = 0.8 * millimetre;
};

struct IdleReed {
    /// As it shall be called: "1 draw".
    std::string name;
    RestingTongue tongue;
    Wind wind = Wind::opening;
    bool valved = false;
};

/// What a valved reed loses when the wind presses the valve on: valve and tongue in series, the valve a thin slot
/// around the outline of the tongue's slot. Without use when the wind plays the reed: then as without a valve.
VolumeFlow idle_leak(const IdleReed& reed, Pressure pressure, const MovingAir& air, const Valve& valve = {});

struct NamedJoint {
    std::string name;
    PlateJoint joint;
};

struct LeakyCell {
    std::vector<IdleReed> reeds;
    std::vector<NamedJoint> joints;
};

enum class LeakKind { reed, joint };

struct LeakPart {
    std::string name;
    LeakKind kind;
    VolumeFlow flow;
    /// Of the cell's whole loss; zero when it has none.
    double share;
};

enum class MendKind { closer_clearance, valve, another_fastener, screws, flat_plate };

struct Mend {
    MendKind kind;
    /// Of the reed or joint.
    std::string name;
    VolumeFlow saved;
    /// Of the cell's whole loss.
    double share;
};

struct MendRanking {
    VolumeFlow loss;
    /// Largest first.
    std::vector<LeakPart> parts;
    /// Most saved first; only mends that save. Each alone: two mends of one part do not add up.
    std::vector<Mend> mends;
};

/// Good work (common practice, no source).
inline constexpr Length closer_clearance = 0.02 * millimetre;

/// The cell under a pressure over its surroundings (negative: suction; idle reeds feel its size, in the way each says).
/// Mends tried: clearance brought to 0.02 mm where it is more, a valve on every reed that the wind blows open and that
/// has none, another fastener half-way between any two, small screws where nothing clamps, and a plate ground flat.
MendRanking rank_mends(const LeakyCell& cell, Pressure pressure, const MovingAir& air, const Valve& valve = {});

}  // namespace reedwright
