// What the kinds of 'cut' say alike: zones, depths, what a cut costs, and what a reading says.
#pragma once

#include "app/commands/commands.hpp"
#include "core/retune/cut_consequences.hpp"
#include "core/retune/reading.hpp"

#include <iosfwd>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace reedwright::app {

/// "10.44 to 15 mm from the root".
std::string zone_text(const Zone& zone);
/// "1.8 um".
std::string micrometres(Length length);
/// "1.8 um deep", or what goes of corners or width.
std::string amount(const Cut& cut);

void print_checklist(std::ostream& out);
void print_consequences(std::ostream& out, const CutConsequences& consequences);
void add_consequences(nlohmann::ordered_json& json, const CutConsequences& consequences);

/// What the reading says about the tongue, input by input; the seat by the give it would have, which is never less than
/// nothing.
std::vector<std::string> explanation_lines(const Reed& stated, const ExplainedReading& explained);
/// Plainly on standard error, where the stated spreads do not explain the reading.
void warn_of_reading(const Console& console, const ExplainedReading& explained);

/// The chance that --overshoot states. Throws InputError outside 0 % to 50 %.
/// The inputs of which nobody has stated a spread, by name.
std::vector<std::string> unknown_spreads(const Reed& reed);
/// Says that passes rest on the dimensions' uncertainty alone, where that is so; else empty.
std::string unknown_spread_note(const Reed& reed);

double overshoot_level(const CutRequest& request);

/// 'cut --log': what was learnt from all passes so far, and the next one.
int run_logged_cut(const CutRequest& request, const Console& console, const Reed& reed, const Model& model);

}  // namespace reedwright::app
