// The pitch spread of a whole design before tuning.
#pragma once

#include "core/plan/process_scatter.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// An SVG page with a bar for each reed: its 95 % interval against what tuning can take in either way.
std::string scatter_picture(const Design& design, const std::vector<TongueScatter>& tongues);

}  // namespace reedwright::app
