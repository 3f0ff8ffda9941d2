#include "core/wind/blown_reed.hpp"

#include "core/input/diagnostic.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {
constexpr double two_pi = 2.0 * std::numbers::pi;
// A measured mouth-organ reed: Millot and Baumann 2007, Acta Acust. 93:122, Table 2.
constexpr double usual_quality = 95.0;
}  // namespace

Frequency BlownReed::natural() const {
    return Frequency::from_value(std::sqrt(stiffness.value() / modal_mass.value()) / two_pi);
}

Frequency BlownReed::upstream_resonance() const {
    if (!chamber) return 0.0 * hertz;
    const double per_length_2 = inlet_area.value() / (chamber->value() * inlet_length.value());
    return Frequency::from_value(sound_speed.value() * std::sqrt(per_length_2) / two_pi);
}

void check_pressure(Pressure pressure) {
    if (pressure.value() <= 0.0)
        throw InputError(fmt::format("a pressure of {:g} Pa does not blow", pressure.value()),
                         "a breath has 100 Pa to 1500 Pa");
    if (pressure > highest_pressure)
        throw InputError(fmt::format("a pressure of {:g} Pa is beyond the model, which holds to {:g} Pa: faster jets "
                                     "compress the air",
                                     pressure.value(), highest_pressure.value()),
                         "a breath has 100 Pa to 1500 Pa, a bellows up to 3000 Pa");
}

BlownReed blown_reed(const Reed& reed, const Vibration& vibration, std::vector<std::string>* assumed) {
    if (!reed.air) throw InputError("air: none: in a vacuum nothing blows", "leave air out, or give its temperature");
    const Slot& slot = reed.slot;
    if (slot.rest_gap.value() < 0.0)
        throw InputError(
            fmt::format("slot.rest_gap: {} lies inside the slot: {}", to_text(slot.rest_gap),
                        slot.mounting == Mounting::closing
                            ? "a closing reed is choked there from the start, the wind only drives it deeper"
                            : "an opening reed stands reversed there, the wind must lift it out before it can swing"),
            "set the tongue about its own thickness above the plate's face, 0.1 mm to 0.3 mm");
    if (slot.clearance.value() <= 0.0)
        throw InputError("slot.clearance: 0 mm leaves the tongue no way through its slot",
                         "good work has 0.02 mm to 0.05 mm at each side");
    const ReedPitch pitch = pitch_of(reed, vibration);
    // Metal and air alone; what the seat takes is not known, and is most of it.
    const auto at_most = quality_of(reed, pitch);
    const double quality = reed.quality.value_or(std::min(usual_quality, at_most.value_or(usual_quality)));
    if (!reed.quality && assumed != nullptr)
        assumed->push_back(fmt::format("quality {:.3g} (a measured reed's; metal and air alone would leave {})",
                                       quality, at_most ? fmt::format("{:.0f}", *at_most) : "more"));
    const double omega = two_pi * pitch.pitch.value();
    const Stiffness stiffness = vibration.stiffness();
    BlownReed result{.modal_mass = Mass::from_value(stiffness.value() / (omega * omega)),
                     .stiffness = stiffness,
                     .quality = quality,
                     .swept_area = vibration.swept_area(),
                     .opening = Opening::of(reed, vibration),
                     .rest_gap = slot.rest_gap,
                     .mounting = slot.mounting,
                     .inlet_length = reed.cell.inlet_length,
                     .inlet_area = reed.cell.inlet_area,
                     .air_density = air_density(*reed.air),
                     .sound_speed = sound_speed_of(*reed.air),
                     .contraction = 0.61,
                     .chamber = std::nullopt,
                     .swing_loss = std::nullopt};
    if (slot.mounting == Mounting::opening) {
        result.chamber = chamber_above(result);
        if (assumed != nullptr)
            assumed->push_back(
                fmt::format("chamber {} fed by a steady flow (an opening reed is silent on a large supply)",
                            to_text(*result.chamber)));
    }
    return result;
}

Volume chamber_above(const BlownReed& reed) {
    const double wave_number = 2.0 * two_pi * reed.natural().value() / reed.sound_speed.value();
    return Volume::from_value(reed.inlet_area.value() / (reed.inlet_length.value() * wave_number * wave_number));
}

SwingLoss strip_drag(const Reed& reed, const Vibration& vibration) {
    Area sum = 0.0 * metre * metre;
    for (const ModePoint& point : vibration.mode_points())
        sum += point.stretch * point.width * std::pow(std::abs(point.deflection), 8.0 / 3.0);
    return {sum, reed.tongue.width.at_tip()};
}

Velocity sound_speed_of(const Air& air) {
    return Velocity::from_value(std::sqrt(1.4 * 101325.0 / air_density(air).value()));
}

}  // namespace reedwright
