// A profile in plain doubles whose every value still knows which stations it came from.
//
// The exact derivative of a frequency with respect to a station needs, beside the derivative with
// respect to the local thickness, how that local thickness follows from the stations.
#pragma once

#include <vector>

namespace reedwright::kernel {

/// A value and its derivative with respect to (at most two) stations.
struct Traced {
    double value = 0.0;
    int first = -1;
    double first_share = 0.0;
    int second = -1;
    double second_share = 0.0;
};

/// A straight stretch of a profile from root side to tip side.
struct TracedSegment {
    double from_m = 0.0;
    double to_m = 0.0;
    Traced start;
    Traced end;

    /// The value at a place of the stretch, with its stations.
    Traced at(double x_m) const;
};

/// Consecutive segments from root to tip; they may jump where they meet.
using TracedProfile = std::vector<TracedSegment>;

/// Stations (distance, value) to segments; a distance that stands twice is a jump.
TracedProfile traced(const std::vector<double>& at_m, const std::vector<double>& value_m);

/// The largest profile below the given one whose slope stays within +-steepest:
/// g(x) = min over x' of f(x') + steepest |x - x'|.
/// A step cannot stiffen a strip at once: the metal of the thicker side carries bending only a
/// thickness or two beyond the edge. The segment that a corner limits follows that corner alone.
TracedProfile limited_slope(const TracedProfile& profile, double steepest);

}  // namespace reedwright::kernel
