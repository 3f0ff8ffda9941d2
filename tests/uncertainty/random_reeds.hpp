// Reeds of every kind for the tests of the scatter: drawn, so that nobody chose the easy ones.
#pragma once

#include "core/uncertainty/inputs.hpp"
#include "tests/support/tongues.hpp"

#include <random>

namespace reedwright::test {

inline double between(std::mt19937_64& random, double low, double high) {
    // Not std::uniform_real_distribution, whose numbers differ from library to library.
    return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
}

/// The spread of a usual lot.
inline void add_usual_spread(Reed& reed) {
    Material& material = reed.tongue.material;
    material.youngs_modulus.sigma = 0.03 * material.youngs_modulus.value;
    material.density.sigma = 0.003 * material.density.value;
    material.poisson_ratio.sigma = Ratio(0.01);
    reed.seat.give_sigma = 0.5 * reed.seat.give;
}

/// Brass to steel; 10 to 45 mm long, 3 to 12 widths; flat, tapered, thinned in the middle or with a sharp
/// step; even or tapered width; some with loads, some in vacuo, some clamped ideally.
inline Reed random_reed(std::mt19937_64& random) {
    const double length = between(random, 10.0, 45.0);
    const double width = length / between(random, 3.0, 12.0);
    const double root = length * between(random, 0.007, 0.02);
    const auto kind = random() % 4;
    Stations thickness{{0.0, root}};
    if (kind == 0) thickness.push_back({length, root});
    if (kind == 1) thickness.push_back({length, root * between(random, 0.4, 1.1)});
    if (kind == 2) {
        const double thin = root * between(random, 0.6, 0.9);
        thickness.insert(thickness.end(), {{0.3 * length, thin},
                                           {0.6 * length, thin},
                                           {0.72 * length, root * between(random, 1.0, 1.4)},
                                           {length, root}});
    }
    if (kind == 3) {
        const double at = length * between(random, 0.2, 0.8);
        thickness.insert(thickness.end(), {{at, root}, {at, root * between(random, 0.7, 0.95)}, {length, root * 0.7}});
    }
    const double tip_width = random() % 2 == 0 ? width : width * between(random, 0.7, 1.0);
    Reed result =
        reed(metal(between(random, 100.0, 210.0), between(random, 7700.0, 8900.0), between(random, 0.27, 0.36)),
             profile(thickness), profile({{0.0, width}, {length, tip_width}}));
    if (random() % 4 != 0) result.seat.give = between(random, 0.3, 1.5);
    if (random() % 4 != 0) result.air = Air{};
    if (random() % 3 == 0)
        result.tongue.loads.push_back({result.tongue.length() * between(random, 0.7, 1.0),
                                       result.tongue.mass() * between(random, 0.01, 0.2), 1.0 * millimetre});
    add_usual_spread(result);
    return result;
}

/// Every input at once, evenly within +-most standard deviations.
inline Deviations random_deviations(std::mt19937_64& random, double most) {
    Deviations z;
    for (double& one : z) one = between(random, -most, most);
    return z;
}

}  // namespace reedwright::test
