// A list of loose tongues: what is in the drawer.
#pragma once

#include "core/material/material_file.hpp"
#include "core/tongue/reed.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A tongue that was taken out of some plate.
struct StockTongue {
    std::string name;
    Tongue tongue;
    Spread spread;
    /// What it sounded where it came from, read at this temperature; empty when nobody has read it.
    std::optional<Frequency> reading;
    Temperature temperature = celsius(20.0);
    /// Of the seat that it came from; empty: a pad bonded all over to its plate.
    std::optional<double> give;
    Material plate_material;
};

/// Reads a stock list (YAML): `tongues`, each with its `length`, `width` and `thickness`, and as needed `name`,
/// `material`, `reading` (446.2Hz, or A4-12c against `a4`), `temperature` and `give`. `material`,
/// `plate_material`, `a4`, `temperature` and `uncertainty` may stand before the list and hold for all.
/// Throws InputError with all faults.
std::vector<StockTongue> read_stock_file(const std::filesystem::path& file, const MaterialLibrary& library);
std::vector<StockTongue> read_stock(const Document& document, const MaterialLibrary& library);

}  // namespace reedwright
