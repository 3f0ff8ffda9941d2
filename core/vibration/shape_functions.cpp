#include "core/vibration/shape_functions.hpp"

namespace reedwright::kernel {

AlongShape along_shape(double share, double length) {
    const double t = share;
    const double u = 2.0 * t - 1.0;  // -1 to 1
    const double l = length;
    const double bump = 1.0 - u * u;
    AlongShape shape{};
    shape.value = {1.0 - 3.0 * t * t + 2.0 * t * t * t,
                   l * (t - 2.0 * t * t + t * t * t),
                   bump * bump,
                   bump * bump * u,
                   3.0 * t * t - 2.0 * t * t * t,
                   l * (t * t * t - t * t)};
    // d/dx = (2 / l) d/du for the bubbles.
    shape.slope = {(-6.0 * t + 6.0 * t * t) / l, 1.0 - 4.0 * t + 3.0 * t * t,
                   -8.0 / l * u * bump,          2.0 / l * (bump * bump - 4.0 * u * u * bump),
                   (6.0 * t - 6.0 * t * t) / l,  3.0 * t * t - 2.0 * t};
    shape.curvature = {(-6.0 + 12.0 * t) / (l * l),          (-4.0 + 6.0 * t) / l,
                       4.0 / (l * l) * (12.0 * u * u - 4.0), 4.0 / (l * l) * (20.0 * u * u * u - 12.0 * u),
                       (6.0 - 12.0 * t) / (l * l),           (6.0 * t - 2.0) / l};
    return shape;
}

const std::array<GaussPoint, gauss_count>& gauss_points() {
    // Abramowitz & Stegun 1964, Handbook of Mathematical Functions, Table 25.4, n = 6.
    static const std::array<GaussPoint, gauss_count> points = [] {
        constexpr std::array<double, 3> at{0.238619186083196909, 0.661209386466264514, 0.932469514203152028};
        constexpr std::array<double, 3> weight{0.467913934572691047, 0.360761573048138608, 0.171324492379170345};
        std::array<GaussPoint, gauss_count> result{};
        for (std::size_t i = 0; i < 3; ++i) {
            result[2 - i] = {0.5 * (1.0 - at[i]), 0.5 * weight[i]};
            result[3 + i] = {0.5 * (1.0 + at[i]), 0.5 * weight[i]};
        }
        return result;
    }();
    return points;
}

}  // namespace reedwright::kernel
