// A tongue on its own: its profile with the thickness exaggerated, and its plan.
#pragma once

#include "cad_export/figure.hpp"
#include "cad_export/shop_sheet.hpp"

#include <string>

namespace reedwright::drawing {

/// What kind of profile a tongue has: "even", "thinned toward the tip", "heavy tip" (thicker than some place before
/// it), "thickened toward the tip" (from the root on) or "thick middle". Differences below a micrometre are none.
std::string profile_family(const Profile& thickness);

/// Side view and plan, stations and thicknesses dimensioned, at the largest usual scale that stays within a width.
Figure tongue_view(const TonguePart& part, const ShopReed& reed, double widest_mm,
                   const std::shared_ptr<const TextRuler>& ruler);

}  // namespace reedwright::drawing
