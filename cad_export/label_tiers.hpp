// Labels in a line that do not run into each other.
#pragma once

#include <vector>

namespace reedwright::drawing {

/// A label's way from what it says something of: where its leader passes each nearer tier, and last where it stands.
struct TieredLabel {
    std::vector<double> stops_mm;

    std::size_t tier() const { return stops_mm.size() - 1; }
    double at_mm() const { return stops_mm.back(); }
};

/// Places for things of given sizes as near as possible to where each is wanted (least squares), in their order,
/// without overlap, between two limits. Wanted places must not decrease. Throws std::invalid_argument where all of them
/// together are longer than the room.
std::vector<double> spread_apart(const std::vector<double>& wanted_mm, const std::vector<double>& sizes_mm,
                                 double low_mm, double high_mm);

/// Labels of one size in as few tiers as the room needs: every label of a farther tier is led through a gap of a given
/// size in the nearer ones. Throws std::invalid_argument where even the leaders do not fit.
std::vector<TieredLabel> in_tiers(const std::vector<double>& wanted_mm, double label_mm, double leader_mm,
                                  double low_mm, double high_mm);

}  // namespace reedwright::drawing
