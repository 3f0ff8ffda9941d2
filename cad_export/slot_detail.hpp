// One slot with its tongue, enlarged: plan with dimensions, and a section along its middle.
#pragma once

#include "cad_export/figure.hpp"
#include "cad_export/shop_sheet.hpp"

namespace reedwright::drawing {

/// At the largest of 10:1, 5:1, 2:1 and 1:1 whose length and width stay within a room; at 1:1 otherwise.
Figure slot_detail(const PlacedTongue& tongue, Length plate_thickness, const ShopReed& reed, double widest_mm,
                   double highest_mm, const std::shared_ptr<const TextRuler>& ruler);

/// The widths of a slot at the root line and at the tip, and its largest.
struct SlotWidths {
    Length root;
    Length tip;
    Length largest;
};
SlotWidths widths_of(const PlacedTongue& tongue);

}  // namespace reedwright::drawing
