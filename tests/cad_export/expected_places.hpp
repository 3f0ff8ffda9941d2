// Where the parts of a set should stand, worked out from its plates alone.
#pragma once

#include "core/plate/plate_set.hpp"

#include <array>
#include <functional>
#include <string>
#include <vector>

namespace reedwright {

using Point = std::array<double, 3>;

/// A point of a part, in millimetres, as it should stand in the assembly.
struct ExpectedPart {
    std::string occurrence;
    std::string parent;
    std::function<Point(const Point&)> place;
};

/// Every part of the set, in the order of the assembly.
inline std::vector<ExpectedPart> expected_parts(const PlateSet& set, const std::string& root) {
    const auto mm = [](Length length) { return in(length, millimetre); };
    std::vector<ExpectedPart> parts;
    for (const Placement& placement : assembled(set)) {
        const double x = mm(placement.x);
        const double y = mm(placement.y);
        const double z = mm(placement.z);
        const double turn = placement.flipped ? -1.0 : 1.0;
        const auto mounted = [=](const Point& p) -> Point { return {x + p[0], y + turn * p[1], z + turn * p[2]}; };
        if (placement.part == set.plates.size()) {
            parts.push_back({"comb", root, mounted});
            continue;
        }
        const Plate& plate = set.plates[placement.part];
        const std::string parent = plate.blank.name + " assembly";
        const double top = mm(plate.blank.thickness);
        parts.push_back({plate.blank.name, parent, mounted});
        for (const PlacedTongue& tongue : plate.tongues) {
            const double root_x = mm(tongue.root.x);
            const double root_y = mm(tongue.root.y);
            // Seen from above the tip points to larger y; a tongue under the plate is seen mirrored.
            const double side = tongue.on_upper_face ? 1.0 : -1.0;
            const double face = tongue.on_upper_face ? top : 0.0;
            parts.push_back({tongue.part.name, parent, [=](const Point& p) {
                                 return mounted({root_x - side * p[1], root_y + p[0], face + side * p[2]});
                             }});
        }
        for (const PlacedTongue& tongue : plate.tongues)
            for (std::size_t i = 0; i < tongue.rivets.size(); ++i) {
                const Hole& hole = tongue.rivets[i];
                const double hole_x = mm(hole.centre.x);
                const double hole_y = mm(hole.centre.y);
                const double bottom = tongue.on_upper_face ? 0.0 : -mm(tongue.part.thickness.at_root());
                const std::string number = tongue.rivets.size() > 1 ? std::to_string(i + 1) : std::string();
                std::string name = "rivet of " + tongue.part.name;
                if (!number.empty()) name.append(1, ' ').append(number);
                parts.push_back({name, parent, [=](const Point& p) {
                                     return mounted({hole_x + p[0], hole_y + p[1], bottom + p[2]});
                                 }});
            }
    }
    return parts;
}

}  // namespace reedwright
