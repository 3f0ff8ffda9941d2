// What the drawings of a design say beside its plates.
#pragma once

#include "cad_export/shop_sheet.hpp"
#include "core/plan/planned_tongue.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// Reeds, materials, tolerances and cautions of a design whose tongues are worked out. The plates must outlive it.
ShopSheet shop_sheet(const Design& design, const std::vector<PlannedTongue>& tongues, const PlateSet& set,
                     const std::string& revision);

}  // namespace reedwright::app
