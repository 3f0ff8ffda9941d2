#include "core/wind/cell_inlet.hpp"

#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

// In radii of the opening.
constexpr double wide_wall_correction = 0.8217;
// Of the first mode of a uniform cantilever, with the tip's deflection as one and the length as one.
constexpr double mean_deflection = 0.3915;
constexpr double passing_squared = 0.1603;

}  // namespace

Length mouth_end_correction(Area section) {
    return wide_wall_correction * Length::from_value(std::sqrt(section.value() / std::numbers::pi));
}

Length channel_inlet_length(const ChannelCell& cell, const Tongue& tongue) {
    const Length length = tongue.length();
    const double tip_over_sides = (tongue.width.at_tip() / (2.0 * mean_deflection * length)).value();
    const Length beside_tongue = passing_squared / std::pow(1.0 + tip_over_sides, 2) * length;
    return cell.before_tip + beside_tongue + mouth_end_correction(cell.width * cell.height);
}

Cell cell_of_channel(const ChannelCell& cell, const Tongue& tongue) {
    Cell result;
    result.volume = cell.width * cell.height * cell.depth;
    result.inlet_length = channel_inlet_length(cell, tongue);
    result.inlet_area = cell.width * cell.height;
    return result;
}

}  // namespace reedwright
