// What a reed sounds like once the wind has brought it to a steady swing.
#pragma once

#include "core/wind/blown_reed.hpp"
#include "core/wind/stability.hpp"

#include <cstddef>
#include <vector>

namespace reedwright {

/// How a reed is made to speak: plucked while the wind blows, by a twentieth of its length and, should that die out, by
/// a fifth, as one that swings already; or left to begin by itself at the very place where the wind holds it, a
/// millionth of its length off.
enum class Start { plucked, from_rest };

struct SoundingRules {
    Start start = Start::plucked;
    /// Of the integration, relative, for each step.
    double tolerance = 1e-8;
    /// Cycles after which the search for a steady swing is given up.
    std::size_t most_cycles = 6000;
};

/// One moment of the cycle, from highest point to highest point.
struct CyclePoint {
    Time at;
    Length tip_height;
    /// Through the inlet, and so also out of the slot: jet and swept air together.
    VolumeFlow flow;
    /// At the reed.
    Pressure pressure;
};

/// A partial of the sound far away, which goes with the flow's change in time.
struct Partial {
    Frequency frequency;
    /// Relative to the strongest.
    double amplitude;
};

/// sounds: a steady swing; silent: it dies out; unsteady: neither within the cycles allowed.
enum class Outcome { sounds, silent, unsteady };

struct Sounding {
    Outcome outcome;
    /// By the times of its highest points over the last two windows of 16 cycles; meaningful if it sounds, and so are
    /// all of the following.
    Frequency pitch;
    /// Half of peak to peak at the tip.
    Length swing;
    Length highest;
    Length lowest;
    /// Averaged over time.
    VolumeFlow mean_flow;
    std::size_t cycles;
    /// |energy at the end - at the start - work in + work lost| over the work in: the integrator's own error.
    double energy_error;
    /// One cycle at even times, and its first partials.
    std::vector<CyclePoint> wave;
    std::vector<Partial> partials;
};

/// Integrates the reed's equations in time (adaptive Dormand-Prince steps with error control, never longer than a
/// twentieth of a cycle) until its cycles repeat. Throws InputError as check_pressure().
Sounding sound(const BlownReed& reed, Pressure pressure, const SoundingRules& rules = {});

/// How much sharper the reed sounds at a pressure than plucked. Empty when it does not sound there.
std::optional<Interval> sounding_offset(const BlownReed& reed, Pressure pressure);
/// The same for a reed of a file.
std::optional<Interval> sounding_offset(const Reed& reed, const Vibration& vibration, Pressure pressure);

/// The lowest pressure that keeps a reed sounding which swings already, to 3 %: below the threshold where the onset
/// is with hysteresis, and the threshold where it is not. Judged by swings of many sizes, each growing or dying over
/// some twenty cycles, and by a pluck followed to its end.
Pressure offset_pressure(const BlownReed& reed, Pressure threshold);

/// The highest pressure, to 1 %, that still keeps a reed sounding which swings already: at or above the one that chokes
/// it from rest. The pressure given must let it speak. highest_pressure: as far as the model goes, it never chokes.
Pressure pressure_kept_to(const BlownReed& reed, Pressure speaks_at);

}  // namespace reedwright
