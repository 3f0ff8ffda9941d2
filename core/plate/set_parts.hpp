// A set of plates as the list of its parts, each with the places where it stands.
#pragma once

#include "core/plate/plate_set.hpp"
#include "core/plate/rivet.hpp"

#include <string>
#include <variant>
#include <vector>

namespace reedwright {

/// How a part is turned from its own frame into that of its plate.
enum class Turned {
    /// Not at all: plates, combs, rivets.
    none,
    /// A tongue of the upper face, by 90 degrees about z: its tip points to larger y.
    tip_forward,
    /// A tongue of the lower face, likewise and then by 180 degrees about y: flat side up, profile downward.
    tip_forward_and_over
};

/// One place of a part in the frame of its plate: turned, then moved.
struct Stand {
    /// In ASCII; no two stands of a set are named alike.
    std::string name;
    Turned turned;
    Length x;
    Length y;
    Length z;
};

/// A part as a shop makes it, once for each stand.
struct SetPart {
    std::variant<PlateBlank, TonguePart, RivetPart> shape;
    /// Index of the plate it belongs to; the number of plates for the comb.
    std::size_t plate;
    std::vector<Stand> stands;

    const std::string& name() const;
    const std::string& material() const;
    /// Analytic volume of one.
    Volume volume() const;
};

/// All parts of a set: for each plate the plate, its tongues and its tongues' rivets; then the comb. A tongue's rivets
/// are one part with a stand for each. Names are in ASCII and no two alike.
/// Throws std::invalid_argument as rivet_of() does.
std::vector<SetPart> parts_of(const PlateSet& set);

}  // namespace reedwright
