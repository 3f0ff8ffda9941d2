#include "core/wind/joint_leak.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <stdexcept>

namespace reedwright {

namespace {

void check(const PlateJoint& joint) {
    const bool positive = joint.plate_modulus.value() > 0.0 && joint.plate_thickness.value() > 0.0 &&
                          joint.plate_width.value() > 0.0 && joint.spacing.value() > 0.0 &&
                          joint.straight_edge.value() > 0.0 && joint.land_width.value() > 0.0;
    const bool not_negative = joint.fastener.clamp.value() >= 0.0 && joint.fastener.bearing_radius.value() >= 0.0 &&
                              joint.out_of_flat.value() >= 0.0 && joint.loaded_width.value() >= 0.0 &&
                              joint.run.value() >= 0.0 && joint.roughness.value() >= 0.0;
    if (!positive || !not_negative)
        throw std::invalid_argument("a joint's lengths, modulus and force must be positive");
}

}  // namespace

JointLeak joint_leak(const PlateJoint& joint, Pressure pressure, const MovingAir& air) {
    check(joint);
    const double spacing_m = joint.spacing.value();
    const double thickness_m = joint.plate_thickness.value();
    const double bending =
        joint.plate_modulus.value() * joint.plate_width.value() * thickness_m * thickness_m * thickness_m / 12.0;
    const double edge_m = joint.straight_edge.value();
    const double curvature = 8.0 * joint.out_of_flat.value() / (edge_m * edge_m);
    const double load = pressure.value() * joint.loaded_width.value();

    const double wanted_moment = bending * curvature + load * spacing_m * spacing_m / 12.0;
    const double most_moment = joint.fastener.clamp.value() * joint.fastener.bearing_radius.value();
    const double moment = std::clamp(wanted_moment, -most_moment, most_moment);
    const auto gap_m = [&](double x) {
        const double span = x * (spacing_m - x);
        const double standing = span * (0.5 * curvature - 0.5 * moment / bending +
                                        load * (spacing_m * spacing_m + span) / (24.0 * bending));
        return joint.roughness.value() + std::max(0.0, standing);
    };
    // The cube is of twelfth degree: the rule is exact where the plate touches the comb at its fasteners alone.
    const double mean_cube = boost::math::quadrature::gauss<double, 20>::integrate(
                                 [&](double x) {
                                     const double gap = gap_m(x);
                                     return gap * gap * gap;
                                 },
                                 0.0, spacing_m) /
                             spacing_m;
    const double flow =
        joint.run.value() * mean_cube * pressure.value() / (12.0 * air.viscosity.value() * joint.land_width.value());
    return {VolumeFlow::from_value(flow), 0.125 * curvature * spacing_m * spacing_m * metre,
            gap_m(0.5 * spacing_m) * metre, std::cbrt(mean_cube) * metre, load * spacing_m * newton};
}

}  // namespace reedwright
