// Shape functions along an element and the Gauss points at which they are integrated.
#pragma once

#include <array>
#include <cstddef>

namespace reedwright::kernel {

constexpr std::size_t along_count = 6;
constexpr std::size_t gauss_count = 6;

using AlongValues = std::array<double, along_count>;

/// Fifth-order functions with continuous slope on an element of given length, at a share (0 to 1)
/// of it: deflection and slope of the root-side node, two bubbles (twice-integrated Legendre
/// polynomials, whose curvatures are orthogonal to each other and to a straight line), deflection
/// and slope of the tip-side node. Derivatives are by x.
struct AlongShape {
    AlongValues value, slope, curvature;
};
AlongShape along_shape(double share, double length_m);

struct GaussPoint {
    double share;
    double weight;  // the weights sum to 1
};
const std::array<GaussPoint, gauss_count>& gauss_points();

}  // namespace reedwright::kernel
