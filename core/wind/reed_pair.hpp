// Two reeds that share a cell, and the player's mouth before it.
#pragma once

#include "core/wind/blown_reed.hpp"
#include "core/wind/sounding.hpp"
#include "core/wind/stability.hpp"

#include <vector>

namespace reedwright {

/// The mouth and throat as one resonance that the player tunes: air of a volume that springs, and air of a length and
/// section that moves to the cell.
struct Tract {
    Volume volume;
    Length length = 15.0 * millimetre;
    Area section = 50.0 * millimetre * millimetre;
    /// Of its resonance; its loss is in series with the moving air.
    double quality = 8.0;
};

/// The wind that presses one reed of a cell into its slot lifts the other out of its own. With the pressure p in the
/// cell, the flow u from the tract and the pressure pt in it:
///
///     m_i q_i'' + (m_i w_i / Q_i) q_i' + k_i (q_i - q0_i) = s_i S_i p                         for both reeds
///     (V_c / rho c^2) p'  = u - sum of (alpha A_i(q_i) v + s_i S_i q_i'),   p = 1/2 rho v |v|
///     M u' = pt - p - R u,     M = rho l / a,     R = M / (Q_t sqrt(M C))
///     C pt' = U - u,           C = V_t / rho c^2
///
/// fed by a steady flow U; seven states. Assumes what BlownReed does. A player's tract has many resonances and moving
/// walls; one stands for them here. The higher reed of a bent
/// note is the closing one: Johnston 1987, Acoust. Aust. 15:69. The bent note lies between the two reeds' pitches, the
/// overblown one outside: Bahnson, Antaki and Beery 1998, J. Acoust. Soc. Am. 103:2134 (both quoted second-hand).
struct ReedPair {
    /// Its mounting counts as closing, whatever it says; inlet and chamber of both reeds are not used.
    BlownReed closing;
    BlownReed opening;
    Volume cell;
    Tract tract;

    /// 1 / (2 pi sqrt(M C)), of the tract alone.
    Frequency tract_resonance() const;
};

/// How small swings about the steady wind grow: of the seven eigenvalues the two that are most a reed's.
struct PairModes {
    WindMode closing;
    WindMode opening;
};
/// The pressure is the one in the cell while no reed swings. Throws InputError as check_pressure().
PairModes pair_modes(const ReedPair& pair, Pressure pressure);

/// Which of the reeds swings more.
enum class Speaker { closing, opening };

struct PairSounding {
    Outcome outcome;
    Frequency pitch;
    Speaker speaker;
    Length closing_swing;
    Length opening_swing;
    std::size_t cycles;
};

/// Integrates the pair in time from small swings until its cycles repeat, as sound() does.
PairSounding sound_pair(const ReedPair& pair, Pressure pressure, const SoundingRules& rules = {});

}  // namespace reedwright
