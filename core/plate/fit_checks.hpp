// Whether the parts of a plate set fit one another.
#pragma once

#include "core/plate/plate_set.hpp"
#include "core/vibration/vibration.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// How far parts may be off when they are made: so much to either side. The defaults (our choice, no source) use up two
/// thirds of the clearance that a tongue file without one has.
struct Tolerances {
    Length slot_width = 0.005 * millimetre;
    Length tongue_width = 0.005 * millimetre;
    /// Of the tongue's middle line at the root.
    Length centring = 0.01 * millimetre;
    /// Sideways at the tip, by a tongue riveted askew.
    Length tilt = 0.005 * millimetre;
    Length slot_length = 0.01 * millimetre;
    Length tongue_length = 0.01 * millimetre;
};

/// What a fit must keep at least (defaults: our choice, no source).
struct FitLimits {
    /// Of plate between neighbouring slots.
    Length web = 1.0 * millimetre;
    /// From slots and pads to the plate's edge.
    Length edge = 1.0 * millimetre;
    /// From a slot, or the pad of a tongue on the inner face, to the walls of its cell.
    Length cell = 0.2 * millimetre;
    /// From the rim of a screw or pin hole to cells, slots, pads and edges.
    Length fixing = 0.5 * millimetre;
    /// Of the comb between cells.
    Length wall = 1.0 * millimetre;
    /// Between tongue and slot with every tolerance at its worst.
    Length clearance = 0.0 * millimetre;
    /// The same at most: wider leaks (poor work is 0.08 mm; common practice, no source).
    Length widest_gap = 0.08 * millimetre;
};

/// One thing that was looked at.
struct Finding {
    /// "web", "edge", "cell", ...; findings of one kind share their words.
    std::string kind;
    /// Which part or pair of parts.
    std::string where;
    /// In the unit named; must not lie below the limit (at_least) or above it.
    double value;
    double limit;
    bool at_least;
    std::string unit;
    std::string fix;

    /// Whether the limit is kept; a value that rounding alone puts beyond it keeps it.
    bool ok() const { return margin() >= 0.0; }
    /// How near the value is to its limit, as a share of the limit's size (in its unit where the limit is nothing);
    /// below nothing when it fails.
    double margin() const;
};

/// Webs, edges, pads, rivets, fixings, cells and walls, each against its limit; one finding for each place.
std::vector<Finding> fit_findings(const PlateSet& set, const std::vector<PlateReed>& reeds, const FitLimits& limits);

/// How a tongue clears its slot, worked out from its swing and the tolerances.
struct SlotClearance {
    /// At a side of the tip, every tolerance at its worst, and as their root sum of squares (95 % if each tolerance
    /// is).
    Length side_worst;
    Length side_likely;
    /// In front of the tip, at the worst place of the swing.
    Length tip_worst;
    Length tip_likely;
    /// The widest gap at a side.
    Length side_widest;
    /// How far the tip's leading corner moves outward at most while it swings: half the tip's thickness times its
    /// slope, less the shortening of the bent tongue, 1/2 integral w'^2 dx.
    Length outward;
};

/// The first mode's shape at a swing (half of peak to peak at the tip) decides the arc. A tolerance of a width counts
/// by half at each side.
SlotClearance slot_clearance(const Reed& reed, const Vibration& vibration, Length swing, const Tolerances& tolerances);

/// slot_clearance() of a reed against its limits.
std::vector<Finding> clearance_findings(const std::string& where, const SlotClearance& clearance,
                                        const FitLimits& limits);

}  // namespace reedwright
