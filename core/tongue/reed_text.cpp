#include "core/tongue/reed_text.hpp"

#include <fmt/format.h>

namespace reedwright {

namespace {

std::string mm(Length length) {
    return fmt::format("{:.10g} mm", in(length, millimetre));
}

std::string celsius_text(Temperature temperature) {
    return fmt::format("{:.10g} degC", in_celsius(temperature));
}

std::string material_text(const Material& material) {
    if (!material.id.empty()) return material.id;
    return fmt::format("{{youngs_modulus: {:.10g} GPa, density: {:.10g} kg/m^3, poisson_ratio: {:.10g}}}",
                       material.youngs_modulus.value.value() * 1e-9, material.density.value.value(),
                       material.poisson_ratio.value.value());
}

std::string profile_text(const Profile& profile) {
    std::string text;
    for (const Station& station : profile.stations())
        text += fmt::format("\n    - [{}, {}]", mm(station.at), mm(station.value));
    return text;
}

std::string uncertainty_text(const Spread& spread) {
    std::string text = fmt::format("uncertainty: {{thickness: {}, length: {}, width: {}", mm(spread.thickness),
                                   mm(spread.length), mm(spread.width));
    if (spread.modulus_share) text += fmt::format(", youngs_modulus: {:.10g} %", 100.0 * *spread.modulus_share);
    if (spread.density_share) text += fmt::format(", density: {:.10g} %", 100.0 * *spread.density_share);
    return text + "}\n";
}

std::string loads_text(const std::vector<Load>& loads) {
    std::string text;
    for (const Load& load : loads)
        text += fmt::format("\n  - {{at: {}, mass: {:.10g} mg, size: {}}}", mm(load.at), load.mass.value() * 1e6,
                            mm(load.size));
    return text.empty() ? text : "loads:" + text + "\n";
}

}  // namespace

std::string reed_text(const Reed& reed) {
    const double mm_per_m = 1e3;
    std::string text;
    if (reed.note) text += fmt::format("note: {}\n", reed.note->name());
    text += fmt::format("a4: {:.10g} Hz\n", reed.a4.value());
    text += fmt::format("tongue:\n  material: {}\n  length: {}\n  width:{}\n  thickness:{}\n",
                        material_text(reed.tongue.material), mm(reed.tongue.length()), profile_text(reed.tongue.width),
                        profile_text(reed.tongue.thickness));
    // A seat that was not stated follows from the materials again.
    if (reed.seat.stated)
        text += fmt::format("seat: {{give: {:.10g}, sigma: {:.10g}}}\n", reed.seat.give, reed.seat.give_sigma);
    text += fmt::format(
        "slot: {{clearance: {}, corner_radius: {}, plate_thickness: {}, plate_material: {}, rest_gap: {}, mounting: "
        "{}}}\n",
        mm(reed.slot.clearance), mm(reed.slot.corner_radius), mm(reed.slot.plate_thickness),
        material_text(reed.slot.plate_material), mm(reed.slot.rest_gap),
        reed.slot.mounting == Mounting::closing ? "closing" : "opening");
    text += fmt::format("pad: {{length: {}, rivet_diameter: {}, rivets: {}, plate_margin: {}}}\n", mm(reed.pad.length),
                        mm(reed.pad.rivet_diameter), reed.pad.rivets, mm(reed.pad.plate_margin));
    text += fmt::format("cell: {{volume: {:.10g} mm^3, inlet_length: {}, inlet_area: {:.10g} mm^2}}\n",
                        reed.cell.volume.value() * mm_per_m * mm_per_m * mm_per_m, mm(reed.cell.inlet_length),
                        reed.cell.inlet_area.value() * mm_per_m * mm_per_m);
    if (reed.quality) text += fmt::format("quality: {:.10g}\n", *reed.quality);
    text += reed.air ? fmt::format("air: {{temperature: {}, humidity: {:.10g} %}}\n",
                                   celsius_text(reed.air->temperature), 100.0 * reed.air->humidity)
                     : std::string("air: none\n");
    text += fmt::format("temperature: {}\n", celsius_text(reed.temperature));
    return text + loads_text(reed.tongue.loads) + uncertainty_text(reed.spread);
}

}  // namespace reedwright
