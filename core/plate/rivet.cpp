#include "core/plate/rivet.hpp"

#include <algorithm>
#include <numbers>
#include <stdexcept>

namespace reedwright {

Volume RivetPart::volume() const {
    return std::numbers::pi / 4.0 * diameter * diameter * length;
}

RivetPart rivet_of(const PlacedTongue& tongue, const Plate& plate) {
    if (tongue.rivets.empty()) throw std::invalid_argument(tongue.part.name + ": it has no rivets");
    const Length diameter = tongue.rivets.front().diameter;
    if (std::any_of(tongue.rivets.begin(), tongue.rivets.end(),
                    [&](const Hole& hole) { return hole.diameter != diameter; }))
        throw std::invalid_argument(tongue.part.name + ": its rivets differ in diameter");
    return {"rivet of " + tongue.part.name, plate.rivet_material, diameter,
            plate.blank.thickness + tongue.part.thickness.at_root()};
}

}  // namespace reedwright
