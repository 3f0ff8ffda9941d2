// Growth, pitch and swing of a blown reed against the pressure.
#pragma once

#include "core/wind/blow_study.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// An SVG page under a title line. The sweep holds at least one pressure; points that do not sound leave a gap.
std::string blow_picture(const std::string& title, const BlownReed& reed, const PressureLimits& limits,
                         const std::vector<BlowPoint>& sweep);

}  // namespace reedwright::app
