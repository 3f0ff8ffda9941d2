// Sections that the sheets of tongues and of designs have alike.
#pragma once

#include "app/sheet/sheet_page.hpp"
#include "core/material/material.hpp"
#include "core/tongue/reed.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace reedwright::app {

/// The values of each alloy, with their range and source; alloys alike stand once.
SheetSection material_section(const std::vector<const Material*>& materials);
/// The input, what was taken because it was silent, both as they stand.
SheetSection input_section(const SheetInput& input, const std::vector<std::string>& assumed);
SheetSection caution_section(std::vector<std::string> cautions);

/// "0.161 at 0, 0.131 at 6, 0.089 at 15": a profile in millimetres.
std::string stations_text(const Profile& profile);
/// "2" or "2.6 / 3", root and tip.
std::string width_text(const Profile& profile);
/// With a capital.
std::string sentence(std::string text);

}  // namespace reedwright::app
