#include "app/shop_words.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace reedwright::app {

namespace {

std::string tolerance_text(std::string_view what, Length tolerance) {
    return fmt::format("{} \u00b1{:.3g} mm", what, in(tolerance, millimetre));
}

}  // namespace

ShopSheet shop_sheet(const Design& design, const std::vector<PlannedTongue>& tongues, const PlateSet& set,
                     const std::string& revision) {
    ShopSheet sheet{
        set, design.instrument.name.empty() ? "design" : design.instrument.name, revision, {}, {}, {}, {}, {}, {}, {}};
    for (std::size_t i = 0; i < tongues.size(); ++i) {
        const InstrumentReed& one = design.instrument.reeds[i];
        sheet.reeds.push_back({one.place(), one.note.name(), tongues[i].target, one.reed.tongue.width,
                               one.reed.tongue.thickness, tongues[i].gauge, one.reed.slot.rest_gap,
                               design.instrument.bench.temperature});
        const auto add = [&](const std::string& text) {
            if (std::find(sheet.materials.begin(), sheet.materials.end(), text) == sheet.materials.end())
                sheet.materials.push_back(text);
        };
        const Material& plate = one.reed.slot.plate_material;
        const Material& strip = one.reed.tongue.material;
        add(fmt::format("plates: {} {}", plate.name, plate.condition));
        add(fmt::format("tongues: {} {}", strip.name, strip.condition));
    }
    // Plates of a design share one; a set without any has no rivets.
    if (!set.plates.empty()) sheet.materials.push_back("rivets: " + set.plates.front().rivet_material);
    if (set.comb && !set.comb->blank.material.empty()) sheet.materials.push_back("comb: " + set.comb->blank.material);
    const Tolerances& t = design.tolerances;
    sheet.tolerances = {
        tolerance_text("slot width", t.slot_width),          tolerance_text("slot length", t.slot_length),
        tolerance_text("tongue width", t.tongue_width),      tolerance_text("tongue length", t.tongue_length),
        tolerance_text("tongue off its middle", t.centring), tolerance_text("tilt at the tip", t.tilt)};
    sheet.finish = {"plates ground flat, edges of slots sharp and free of burrs"};
    sheet.cautions = design.instrument.cautions();
    sheet.cautions.emplace_back("Thin strip and burrs cut; clamp small work and keep the guards on machines.");
    if (design.plates && design.plates->fixing != Fixing::wax)
        sheet.fixing = fmt::format("{} {:.3g} mm", design.plates->fixing == Fixing::pins ? "pin" : "screw",
                                   in(design.plates->fixing_diameter, millimetre));
    return sheet;
}

}  // namespace reedwright::app
