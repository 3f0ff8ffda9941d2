// Reeds for the tests of blanks: everything but the tongue's shape keeps its default.
#pragma once

#include "core/tongue/reed.hpp"

namespace reedwright {

// The rest of a Reed has defaults of its own; naming its members here would tie the tests to them.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"
inline Reed sample_reed(const Profile& thickness, const Profile& width) {
    Material bronze;
    bronze.name = "CuSn6";
    Reed reed{.tongue = {bronze, thickness, width, {}}};
    reed.slot.plate_material.id = "cuzn37-plate";
    return reed;
}
#pragma GCC diagnostic pop

/// 15 mm long, 2 mm wide, tapering from 0.16 mm to 0.08 mm.
inline Reed sample_reed() {
    const Length length = 15.0 * millimetre;
    return sample_reed(Profile::taper(length, 0.16 * millimetre, 0.08 * millimetre),
                       Profile::constant(length, 2.0 * millimetre));
}

}  // namespace reedwright
