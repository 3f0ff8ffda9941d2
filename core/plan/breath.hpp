// How much sharper than its note each reed is set on the bench, so that it sounds it when it is blown and warm.
#pragma once

#include "core/plan/design.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// What a reed does at the pressure that was asked for.
enum class UnderBreath {
    speaks,
    /// Not there, but at a higher one.
    speaks_above,
    /// Choked there; it speaks at lower ones.
    choked,
    /// At no pressure of the model.
    never
};

struct Breath {
    UnderBreath standing = UnderBreath::never;
    /// For which it is allowed; empty: never.
    std::optional<Pressure> at;
    /// Its sounding pitch there above its plucked one, below nothing for a reed that breath flattens.
    Interval blown = 0.0 * cent;
};

/// Every reed of a design in the wind, metal and air at a temperature. A reed that does not speak at the pressure,
/// plucked or not, is allowed for at the lowest higher pressure at which it speaks: its threshold, with the pitch of
/// the small swing that begins there. One that is choked there is allowed for at the pressure that chokes it from rest
/// (our choice, no source). What had to be taken for qualities and inlets is told in assumed, each once. Throws
/// InputError as blown_reeds() and check_pressure().
std::vector<Breath> breaths(const Design& design, Pressure pressure, Temperature temperature,
                            std::vector<std::string>* assumed = nullptr);

/// Of one reed: what breath and warmth take, which the reed is to be set sharper by.
struct BreathAllowance {
    Breath breath;
    /// From bench to playing temperature, plucked; nothing where the alloy's drift is not known.
    Interval warmth = 0.0 * cent;
    bool warmth_known = true;

    Interval allowance() const { return -breath.blown - warmth; }
};

/// Gives every reed its own allowance in place of the bench's: what a player's breath of this pressure takes at playing
/// temperature, and what the warmth takes. A reed that never speaks keeps the bench's. The allowances in the design are
/// those returned. assumed as with breaths().
std::vector<BreathAllowance> allow_for_breath(Design& design, Pressure pressure,
                                              std::vector<std::string>* assumed = nullptr);

}  // namespace reedwright
