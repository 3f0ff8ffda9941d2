// Sets of plates for tests: the whole mouth organ of the second example, and cell plates of aluminium.
#pragma once

#include "core/plan/instrument_file.hpp"
#include "core/plate/plate_set.hpp"
#include "tests/plate/sample_reed.hpp"

#include <optional>
#include <ostream>
#include <string>
#include <vector>

namespace reedwright {

inline std::vector<PlateReed> plate_reeds_of(const Instrument& instrument) {
    std::vector<PlateReed> reeds;
    for (const InstrumentReed& one : instrument.reeds) reeds.push_back({one.cell, one.row, one.reed});
    return reeds;
}

/// A plate of a row over the comb, its tongues on the inner face where the row blows.
inline PlateRules mouth_organ_rules() {
    PlateRules rules;
    rules.inner = {"blow"};
    rules.fixing_inset = 3.0 * millimetre;
    return rules;
}

inline CombRules pear_comb() {
    CombRules comb;
    comb.material = "pear wood";
    return comb;
}

/// The club's ten-hole mouth organ: two plates, twenty tongues with a rivet each, a comb.
inline PlateSet mouth_organ(const std::string& source_folder) {
    const MaterialLibrary library(source_folder + "/materials");
    const Instrument instrument =
        read_instrument_file(source_folder + "/designs/02_club_mouth_organ/instrument.yaml", library);
    return lay_out_plates(plate_reeds_of(instrument), mouth_organ_rules(), pear_comb());
}

/// Plates of 2 mm aluminium, each with two tongues of one note, one on each face, two rivets each, and a pinned hole
/// between the pads. Tongues grow shorter from cell to cell.
inline std::vector<PlateReed> cell_reeds(int cells) {
    std::vector<PlateReed> reeds;
    for (int cell = 1; cell <= cells; ++cell)
        for (const std::string row : {"press", "draw"}) {
            const Length length = (30.0 - 20.0 * (cell - 1) / cells) * millimetre;
            Reed reed = sample_reed(Profile::taper(length, 0.3 * millimetre, 0.2 * millimetre),
                                    Profile::taper(length, 4.0 * millimetre, 3.0 * millimetre));
            reed.slot.plate_thickness = 2.0 * millimetre;
            reed.slot.plate_material.id = "aluminium";
            reed.pad.length = 6.0 * millimetre;
            reed.pad.rivets = 2;
            reed.pad.rivet_diameter = 1.2 * millimetre;
            reeds.push_back({cell, row, reed});
        }
    return reeds;
}

inline PlateRules cell_rules() {
    PlateRules rules;
    rules.carries = PlateCarries::cell;
    rules.spacing = 9.0 * millimetre;
    rules.length = 20.0 * millimetre;
    rules.fixing = Fixing::pins;
    rules.fixing_diameter = 1.5 * millimetre;
    rules.fixings = {{10.0 * millimetre, 5.0 * millimetre}};
    return rules;
}

inline PlateSet cell_plates(int cells) {
    return lay_out_plates(cell_reeds(cells), cell_rules(), std::nullopt);
}

/// Two plates of so many riveted tongues each over one comb.
inline PlateSet long_plates(int cells) {
    std::vector<PlateReed> reeds;
    for (const std::string row : {"blow", "draw"})
        for (int cell = 1; cell <= cells; ++cell) reeds.push_back({cell, row, sample_reed()});
    return lay_out_plates(reeds, mouth_organ_rules(), pear_comb());
}

/// Two pairs of plates over one comb of three cells; the second pair lies in front. Welded tongues, no rivets.
inline PlateSet two_pairs() {
    std::vector<PlateReed> reeds;
    for (const std::string row : {"blow", "draw", "blow high", "draw high"})
        for (int cell = 1; cell <= 3; ++cell) {
            Reed reed = sample_reed();
            reed.pad.rivets = 0;
            reed.note = Note{'F', 1, 4};
            reeds.push_back({cell, row, reed});
        }
    PlateRules rules = mouth_organ_rules();
    rules.inner = {"blow", "blow high"};
    return lay_out_plates(reeds, rules, pear_comb());
}

struct SampleSet {
    std::string name;
    PlateSet set;
};

inline void PrintTo(const SampleSet& sample, std::ostream* out) {
    *out << sample.name;
}

inline std::vector<SampleSet> sample_sets(const std::string& source_folder) {
    return {{"organ", mouth_organ(source_folder)}, {"cells", cell_plates(2)}, {"pairs", two_pairs()}};
}

}  // namespace reedwright
