// A whole design on a sheet to print: plates, tongues, the table to tune by, findings, spread, bends, assembly.
#pragma once

#include "app/sheet/sheet_page.hpp"
#include "core/plan/planned_tongue.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// The sheet's sections; the design's tongues must have been worked out. A design that fails its check has a sheet too,
/// which says so on top. Throws InputError as lay_out_plates() does.
SheetPage design_sheet(const Design& design, const std::vector<PlannedTongue>& tongues, const SheetInput& input);

}  // namespace reedwright::app
