// A design: an instrument whose tongues may still have to be worked out, and the plates that carry them.
#pragma once

#include "core/input/diagnostic.hpp"
#include "core/plan/instrument.hpp"
#include "core/plan/tongue_rules.hpp"
#include "core/plate/fit_checks.hpp"
#include "core/plate/plate_set.hpp"
#include "core/wind/mend.hpp"

#include <optional>
#include <vector>

namespace reedwright {

/// How a reed of the design came to be.
struct DesignReed {
    /// Index of its shape in TongueRules::profiles when its thickness is to be solved; empty when it is stated.
    std::optional<std::size_t> shape;
    /// Where the file asks for it.
    Place asked_at;
};

/// What air that leaks depends on, beside tongues and plates.
struct AirRules {
    /// A plate's bow against a straight edge, and over which length; the gap that the faces leave where they touch.
    Length out_of_flat = 0.02 * millimetre;
    Length over = 100.0 * millimetre;
    Length roughness = 3.0 * micrometre;
    /// Of a screw or pin; empty: the usual of its kind (small_screw, pin).
    std::optional<Force> clamp;
    std::optional<Length> bearing;
    Valve valve;
    /// What the joints of a cell may lose at most, as a share of the note's own flow (our choice, no source), and what
    /// all leaks together may; empty: not judged.
    double most_joint_share = 0.01;
    std::optional<double> most_lost_share;
    /// Which of these the design does not state, and the value taken: "plates.out_of_flat 0.02 mm".
    std::vector<std::string> assumed;
};

struct Design {
    Instrument instrument;
    /// One for each reed of the instrument. A reed that is still to be solved has the right shape and a wrong
    /// thickness.
    std::vector<DesignReed> reeds;
    TongueRules rules;
    /// The scale of lengths where the design has one, lowest and highest in metres; its bow may be optimised.
    std::optional<SmoothScale> length_scale;
    std::optional<PlateRules> plates;
    std::optional<CombRules> comb;
    Tolerances tolerances;
    FitLimits limits;
    AirRules air;
    /// One standard deviation of what the shop makes, before tuning; empty: as the tongues are measured.
    std::optional<Spread> process;
    /// The first note of a layout with positions, for telling them; empty for a free list.
    std::optional<Note> first_note;
};

/// The reeds as plates are laid out from them.
std::vector<PlateReed> plate_reeds(const Instrument& instrument);

}  // namespace reedwright
