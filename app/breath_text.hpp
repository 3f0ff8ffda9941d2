// What breath takes from each reed, in words and JSON.
#pragma once

#include "core/plan/breath.hpp"

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace reedwright::app {

/// What a pressure takes from every reed, and what it would with another inlet.
struct BreathSet {
    Pressure pressure;
    std::vector<BreathAllowance> allowances;
    /// With every inlet twice as long.
    std::vector<Breath> doubled;
    /// What was taken of the reeds because the design does not say.
    std::vector<std::string> assumed;
};

/// allow_for_breath() with all that is told of it.
BreathSet breath_set(Design& design, Pressure pressure);

/// How the allowances are meant, how far they hang on the inlet, and every reed that does not speak at the pressure.
std::vector<std::string> breath_lines(const Instrument& instrument, const BreathSet& breath);

/// The members "allowance_cents", "breath_cents" (what breath takes), "breath_cents_inlet_doubled", "warmth_cents",
/// "allowed_at_pa" and "speaks_under" of one reed.
void add_breath(nlohmann::ordered_json& json, const Instrument& instrument, std::size_t reed, const BreathSet& breath);

}  // namespace reedwright::app
