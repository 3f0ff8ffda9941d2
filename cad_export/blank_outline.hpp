// The outline of a flat tongue blank, and the way of a tongue's points into its plate.
#pragma once

#include "core/plate/plate_set.hpp"

namespace reedwright {

/// The plan of pad and tongue in the tongue's frame, x from the root line toward the tip, y across from the middle:
/// the pad as wide as the root, then the width profile with its kinks and shoulders; corners sharp, counter-clockwise.
/// Corners on the straight line between their neighbours are left out.
Outline tongue_outline(const TonguePart& part);

/// A point of the tongue's frame in that of the plate on which it lies.
PlanePoint on_plate(const PlanePoint& point, const PlacedTongue& tongue);

/// The tongue's outline as it lies on its plate, counter-clockwise seen from above.
Outline outline_on_plate(const PlacedTongue& tongue);

}  // namespace reedwright
