// Plates to draw: the club's mouth organ, plates of cells with tongues on both faces, and a long row.
#pragma once

#include "cad_export/shop_sheet.hpp"
#include "core/material/material_file.hpp"
#include "core/plan/instrument_file.hpp"

#include <memory>
#include <string>
#include <vector>

namespace reedwright {

/// A set of plates and what its sheets say, kept together.
struct SampleSet {
    PlateSet plates;
    std::string name;
    std::vector<ShopReed> reeds;

    ShopSheet shop() const {
        return {plates,
                name,
                "3f9a1c2",
                reeds,
                {"Tongues: CuZn37 strip, R630", "Plates: see title block, stress relieved", "Rivets: brass, 0.8 mm"},
                {"Slots: length +0.05, width +0.02/-0.00", "Hole places 0.05, diameters +0.05",
                 "Everything else 0.1 (common practice, no source)"},
                {"Faces ground flat, 0.02 over the length; no burrs on the edges of slots"},
                {"Thin strip and burrs cut.", "Clamp small work; guards on machines."},
                "screw M2",
                {}};
    }
};

inline Material sample_material(const std::string& name) {
    return read_material_file(REEDWRIGHT_SOURCE_DIR "/materials/" + name + ".yaml");
}

inline std::vector<ShopReed> shop_reeds(const Instrument& instrument) {
    std::vector<ShopReed> reeds;
    for (const InstrumentReed& one : instrument.reeds)
        reeds.push_back({one.place(), one.note.name(), bench_target(instrument, one, instrument.tuning),
                         one.reed.tongue.width, one.reed.tongue.thickness, std::nullopt, one.reed.slot.rest_gap,
                         instrument.bench.temperature});
    return reeds;
}

inline std::vector<PlateReed> plate_reeds(const Instrument& instrument) {
    std::vector<PlateReed> reeds;
    for (const InstrumentReed& one : instrument.reeds) reeds.push_back({one.cell, one.row, one.reed});
    return reeds;
}

inline Instrument club_instrument() {
    return read_instrument_file(REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/instrument.yaml",
                                MaterialLibrary(REEDWRIGHT_SOURCE_DIR "/materials"));
}

/// Two plates of rows over a comb.
inline SampleSet club_set() {
    const Instrument instrument = club_instrument();
    PlateRules rules;
    rules.inner = {"blow"};
    rules.fixing_inset = 3.0 * millimetre;
    CombRules comb;
    comb.material = "pear wood, oiled";
    return {lay_out_plates(plate_reeds(instrument), rules, comb), instrument.name, shop_reeds(instrument)};
}

/// Plates of aluminium with two tongues each, one on either face, longer toward the low end, their widths tapering.
inline SampleSet cell_set(int cells) {
    Instrument instrument = club_instrument();
    const Material aluminium = sample_material("aluminium-plate");
    const InstrumentReed first = instrument.reeds.front();
    instrument.name = "Saltmere Quay melodeon, treble side";
    instrument.reeds.clear();
    for (int cell = 1; cell <= cells; ++cell)
        for (const char* row : {"push", "pull"}) {
            InstrumentReed one = first;
            one.cell = cell;
            one.row = row;
            const Length length = (30.0 - 12.0 * cell / cells) * millimetre;
            one.reed.tongue.width = Profile::taper(length, 3.4 * millimetre, 2.6 * millimetre);
            one.reed.tongue.thickness = Profile::taper(length, 0.26 * millimetre, 0.2 * millimetre);
            one.note = nearest_note(220.0 * hertz * (1.0 + 0.06 * cell), 440.0 * hertz);
            one.reed.note = one.note;
            one.reed.slot.plate_material = aluminium;
            one.reed.slot.plate_thickness = 2.0 * millimetre;
            one.reed.slot.corner_radius = 0.1 * millimetre;
            one.reed.slot.clearance = 0.04 * millimetre;
            one.reed.pad.length = 6.0 * millimetre;
            one.reed.pad.rivet_diameter = 1.0 * millimetre;
            instrument.reeds.push_back(one);
        }
    PlateRules rules;
    rules.carries = PlateCarries::cell;
    return {lay_out_plates(plate_reeds(instrument), rules, std::nullopt), instrument.name, shop_reeds(instrument)};
}

/// The club's row of ten again and again along two long plates.
inline SampleSet long_set(int cells) {
    Instrument instrument = club_instrument();
    const std::vector<InstrumentReed> ten = instrument.reeds;
    instrument.name = "Saltmere Quay long board";
    instrument.reeds.clear();
    for (const char* row : {"blow", "draw"})
        for (int cell = 1; cell <= cells; ++cell) {
            InstrumentReed one = ten[static_cast<std::size_t>(cell - 1) % ten.size()];
            one.cell = cell;
            one.row = row;
            instrument.reeds.push_back(one);
        }
    PlateRules rules;
    rules.inner = {"blow"};
    rules.fixing_inset = 3.0 * millimetre;
    CombRules comb;
    comb.material = "maple";
    return {lay_out_plates(plate_reeds(instrument), rules, comb), instrument.name, shop_reeds(instrument)};
}

}  // namespace reedwright
