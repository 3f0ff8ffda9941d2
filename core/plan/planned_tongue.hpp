// From a target to a tongue: the thickness that sounds the note, what the shop can set, and what stands in the way.
#pragma once

#include "core/plan/design.hpp"
#include "core/strength/life.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A bound that a tongue meets or oversteps.
struct PlanLimit {
    /// "thinnest", "gauge", "width", "stress", "life", "least stiffness", "most stiffness", "room up", "room down".
    std::string name;
    /// The number and its limit in words, and what would free it.
    std::string text;
    std::string remedy;
    /// The note cannot be met inside this limit; otherwise the tongue sounds its note and oversteps the limit.
    bool out_of_reach = false;
};

struct PlannedTongue {
    /// Index in the design.
    std::size_t reed;
    /// On the bench, beats and allowance included.
    Frequency target;
    /// Empty for a tongue whose thickness the design states.
    std::optional<ProfileFamily> family;
    /// As solved, before rounding, and how far its pitch is from the target; as stated when nothing was solved.
    Profile solved_thickness;
    Frequency solved_pitch;
    Interval error;
    /// As the shop can set it; this is the tongue that the design then holds.
    Frequency pitch;
    Interval rounded_error;
    /// The thinnest strip of the stock that it can be made from.
    std::optional<Length> gauge;
    Stiffness stiffness;
    Life life;
    /// How far a safe cut at the tip would raise it, and one at the root lower it (below nothing).
    Interval room_up;
    Interval room_down;
    std::vector<PlanLimit> limits;

    bool in_reach() const;
};

/// Works out every tongue of the design and puts it into the design's instrument.
///
/// A shape is scaled in thickness, the root as made with it, until the strip tier's pitch in air on its seat at bench
/// temperature is the target within 0.001 cent (secant steps on the logarithms, for pitch is nearly in proportion to
/// thickness). The scale is held between the thinnest place that the rules allow and the thickest strip in stock, or
/// its own width where that is less; a note that lies beyond is out of reach, and the tongue is left at the bound. Then
/// root, thin stretch and tip are set to multiples of the shop's step, those that miss the target least (chosen by the
/// exact derivatives, solved again). Tongues whose thickness the design states are taken as they are and held against
/// the same limits.
std::vector<PlannedTongue> plan_tongues(Design& design, Model model = {});

}  // namespace reedwright
