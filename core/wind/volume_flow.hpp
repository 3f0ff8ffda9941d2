// How much air passes in a time.
#pragma once

#include "core/quantity/quantity.hpp"

namespace reedwright {

using VolumeFlow = boost::units::quantity<boost::units::divide_typeof_helper<si::volume, si::time>::type>;
inline constexpr VolumeFlow millilitre_per_second = VolumeFlow::from_value(1e-6);

}  // namespace reedwright
