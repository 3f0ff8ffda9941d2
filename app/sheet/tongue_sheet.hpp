// All that is reckoned of one tongue, on a sheet to print.
#pragma once

#include "app/sheet/sheet_page.hpp"
#include "core/tongue/reed.hpp"
#include "core/wind/blown_reed.hpp"

namespace reedwright::app {

/// The sheet's sections: pictures, the chain from dimensions to hertz, the depths of cuts against cents (as `cut
/// --depth` has them), uncertainty, stress and life, the wind, what to do after a cut, cautions, sources, input.
SheetPage tongue_sheet(const Reed& reed, const Vibration& vibration, const BlownReed& blown, const SheetInput& input);

}  // namespace reedwright::app
