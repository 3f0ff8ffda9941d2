// Any text as a design; a small one that is taken can be worked out and checked.
#include "core/plan/design_check.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "tests/fuzz/targets.hpp"

namespace reedwright::fuzz {

namespace {

// Each reed takes some ten solutions, and a fuzzer wants many runs.
constexpr std::size_t most_reeds = 2;

}  // namespace

void design_file(std::string_view text) {
    const MaterialLibrary library(REEDWRIGHT_FUZZ_MATERIALS);
    auto design = read_or_refused(text, [&] { return read_design(document_of(text), library); });
    if (!design || design->instrument.reeds.size() > most_reeds) return;
    Model beam;
    beam.tier = Tier::beam;
    const auto tongues = plan_tongues(*design, beam);
    demand(tongues.size() == design->instrument.reeds.size(), "a reed without its tongue");
    for (const PlannedTongue& tongue : tongues) {
        demand_positive(tongue.target.value(), "a target");
        demand_positive(tongue.pitch.value(), "a pitch");
        demand_positive(tongue.stiffness.value(), "a stiffness");
    }
    for (const Finding& finding : check_design(*design, tongues).findings) {
        demand_finite(finding.value, finding.kind + " of " + finding.where);
        demand_finite(finding.limit, "the limit of " + finding.kind);
    }
}

}  // namespace reedwright::fuzz
