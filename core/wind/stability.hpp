// Whether a reed at rest in a steady wind begins to speak: its small swings grow or die.
#pragma once

#include "core/wind/blown_reed.hpp"

#include <optional>
#include <vector>

namespace reedwright {

/// A small swing exp(growth t) cos(2 pi frequency t).
struct WindMode {
    Rate growth;
    Frequency frequency;
    /// Of its energy, how much is the tongue's; the rest is the air's.
    double reed_share;
};

/// Where a reed stands when the wind holds it without swinging.
struct SteadyWind {
    Length tip_height;
    VolumeFlow flow;
};
SteadyWind steady_wind(const BlownReed& reed, Pressure pressure);

/// All modes about the steady wind, from the eigenvalues of the exact Jacobian (swing loss has no part in it: it goes
/// with a higher power of the swing). Throws InputError as check_pressure().
std::vector<WindMode> wind_modes(const BlownReed& reed, Pressure pressure);

/// The one that is most the tongue's.
WindMode reed_mode(const BlownReed& reed, Pressure pressure);

/// The pressures between which a reed at rest begins to speak: the Hopf points along the pressure, to 0.001 Pa. An
/// empty threshold: it never does; an empty chokes_at: it still does at the highest pressure. A closing tongue is
/// followed until the wind presses it out of its slot on the far side, where it would be an opening one.
struct SpeakingRange {
    std::optional<Pressure> threshold;
    std::optional<Pressure> chokes_at;
};
SpeakingRange speaking_range(const BlownReed& reed, Pressure highest = highest_pressure);

}  // namespace reedwright
