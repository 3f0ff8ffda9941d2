// What breath takes from each reed, in words and JSON.
#pragma once

#include "core/plan/breath.hpp"

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace reedwright::app {

/// How the allowances are meant, and every reed that does not speak at the pressure.
std::vector<std::string> breath_lines(const Instrument& instrument, const std::vector<BreathAllowance>& allowances,
                                      Pressure pressure);

/// The members "allowance_cents", "breath_cents" (what breath takes), "warmth_cents", "allowed_at_pa" and
/// "speaks_under" of one reed.
void add_breath(nlohmann::ordered_json& json, const Instrument& instrument, std::size_t reed,
                const std::vector<BreathAllowance>& allowances);

}  // namespace reedwright::app
