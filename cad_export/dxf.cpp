#include "cad_export/dxf.hpp"

#include "cad_export/blank_outline.hpp"
#include "cad_export/dxf_paths.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>

namespace reedwright {

namespace {

const Length clear_of_part = 5.0 * millimetre;

std::string place_of(const PlacedTongue& tongue) {
    return fmt::format("cell {} {}", tongue.cell, tongue.row);
}

}  // namespace

DxfFile plate_dxf(const Plate& plate, const DxfOptions& options) {
    DxfPaths paths(options);
    paths.outline(plate.blank.outline, plate.blank.name);
    for (const PlacedTongue& tongue : plate.tongues) paths.slot(tongue.slot, "slot of " + place_of(tongue));
    for (const PlacedTongue& tongue : plate.tongues)
        for (const Hole& rivet : tongue.rivets) paths.hole(rivet, "rivet of " + place_of(tongue));
    for (const Hole& fixing : plate.fixings) paths.hole(fixing, plate.blank.name + ", fixing");
    // Each slot's name stands beyond the front edge, in line with it.
    for (const PlacedTongue& tongue : plate.tongues)
        paths.document().text({tongue.root.x + 0.5 * note_height_mm * millimetre, plate.width + clear_of_part},
                              note_height_mm * millimetre, tongue.part.name, 90.0);
    paths.notes(
        {0.0 * metre, -clear_of_part},
        {fmt::format("{}: {}, {} thick", plate.blank.name, plate.blank.material, to_text(plate.blank.thickness)),
         "millimetres, seen from above, datum at the lower left corner", paths.state()});
    return paths.finish();
}

DxfFile comb_dxf(const Comb& comb, const DxfOptions& options) {
    DxfPaths paths(options);
    paths.outline(comb.blank.outline, comb.blank.name);
    for (const Outline& opening : comb.blank.slots) paths.slot(opening, comb.blank.name + ", opening");
    for (const Hole& fixing : comb.blank.holes) paths.hole(fixing, comb.blank.name + ", fixing");
    paths.notes({0.0 * metre, -clear_of_part},
                {fmt::format("{}: {}, {} thick", comb.blank.name, comb.blank.material, to_text(comb.blank.thickness)),
                 "millimetres, seen from above, datum at the lower left corner", paths.state()});
    return paths.finish();
}

DxfFile tongue_blank_dxf(const TonguePart& tongue, const DxfOptions& options) {
    DxfPaths paths(options);
    paths.outline(tongue_outline(tongue), tongue.name);
    for (const Hole& rivet : tongue.holes) paths.hole(rivet, tongue.name + ", rivet");
    paths.notes(
        {-tongue.pad_length, -0.5 * tongue.width.largest() - clear_of_part},
        {fmt::format("{}: {}, strip of at least {}", tongue.name, tongue.material, to_text(tongue.thickness.largest())),
         "millimetres, datum on the middle of the root line, x toward the tip", paths.state()});
    return paths.finish();
}

}  // namespace reedwright
