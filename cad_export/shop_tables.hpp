// The tables and notes of the sheets.
#pragma once

#include "cad_export/sheet_table.hpp"
#include "cad_export/shop_sheet.hpp"

#include <string>
#include <vector>

namespace reedwright::drawing {

using PlateGroup = std::vector<const Plate*>;

/// Place, note, middle, root line, length, width and corner radius of every slot; places differ between plates.
Table slot_table(const PlateGroup& plates, const ShopSheet& shop);
/// Number, place, diameter and purpose of every hole, counted on from plate to plate.
Table hole_table(const PlateGroup& plates, const ShopSheet& shop);
Table cell_table(const Comb& comb);
Table comb_hole_table(const Comb& comb, const ShopSheet& shop);

/// What tongues are made from and milled to. Profiles of more stations than a width takes go on in further lines.
Table tongue_table(const ShopSheet& shop, double widest_mm, const TextRuler& ruler);
/// Targets, and columns to fill in by hand.
Table tuning_table(const ShopSheet& shop);

/// Tolerances, material, finish and cautions, each under its head, those that are empty left out.
std::vector<Table> notes(const ShopSheet& shop, const std::vector<std::string>& first, double width_mm,
                         const TextRuler& ruler);

}  // namespace reedwright::drawing
