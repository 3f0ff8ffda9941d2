// A rivet as it is left: closed, and filed flush with plate and pad.
#pragma once

#include "core/plate/plate_set.hpp"

#include <string>

namespace reedwright {

/// A plain cylinder from z = 0 up to its length, about the z axis.
struct RivetPart {
    std::string name;
    std::string material;
    Length diameter;
    Length length;

    /// Analytic volume of the solid.
    Volume volume() const;
};

/// What fills each rivet hole of a placed tongue: as wide as the hole and as long as plate and pad are thick together,
/// the pad having the root's thickness.
/// Throws std::invalid_argument for a tongue without rivets or with rivets of different diameters.
RivetPart rivet_of(const PlacedTongue& tongue, const Plate& plate);

}  // namespace reedwright
