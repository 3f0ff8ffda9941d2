// The drawings that a shop works from: plates, comb, tongues, and the tables to mill and tune by.
#pragma once

#include "cad_export/figure.hpp"
#include "cad_export/shop_sheet.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// The sheets in order, A4 or A3 landscape: each plate with its slots and holes (small plates several to a sheet, in
/// order), the comb, one tongue of each kind of profile, the list of tongues, and the table to tune by. Tables that are
/// longer than their sheet go on on the next; notes that find no room beside a plate stand once on a sheet for all.
/// Plates stand at 1:1; those of less than 25 mm at 2:1, and those larger than the paper at the largest of 1:2, 1:5,
/// 1:10 that fits. Every sheet has a bar of 50 mm to check the print by.
/// Throws InputError for a plate that fits at no scale and for a tongue whose reed is not among the sheet's.
std::vector<drawing::Sheet> shop_drawing(const ShopSheet& shop);

/// All sheets as one PDF file. The same input gives the same bytes, with the same fonts and cairo library.
std::string shop_pdf(const ShopSheet& shop);

struct SheetSvg {
    /// "Design: part, sheet 1 of 6"
    std::string title;
    std::string svg;
};

/// Each sheet as an SVG file.
std::vector<SheetSvg> shop_svg(const ShopSheet& shop);

/// Each plate alone, as the sheets show it but without frame and tables, as SVG; at 1:1 where it is at most so wide,
/// otherwise at the largest scale that is, and small plates at 2:1. Throws InputError as shop_drawing().
std::vector<SheetSvg> plate_pictures(const ShopSheet& shop, double widest_mm);

}  // namespace reedwright
