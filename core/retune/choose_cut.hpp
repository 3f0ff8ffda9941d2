// Which zone to cut for a wanted shift: the one that costs the tongue least.
#pragma once

#include "core/strength/life.hpp"
#include "core/vibration/cut_effect.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

struct CutChoice {
    /// One of raising_zones() or lowering_zones(): "tip", "outer", "root", "inner", "middle".
    std::string zone;
    CutEffect effect;
    /// Stress at the playing swing, before and after, and what it does to the hours.
    Life before;
    Life after;
    /// Hours after over hours before, from the stresses alone; 1 when the alloy's strengths are not known.
    double life_kept;
    /// Least share of the present thickness left in the zone.
    double thickness_kept;
    /// In words, for the person at the vise.
    std::string why;
};

/// The sensible zones for a shift, raising_zones() or lowering_zones(), best first. Zones that cannot reach the shift
/// safely are left out; none left means that a load or another tongue is better. Ranked by hours kept, and among nearly
/// equal hours (within 2 %) by thickness kept. Zones shorter than the ramps inside them are left out.
std::vector<CutChoice> rank_cuts(const Reed& reed, Interval wanted, Length swing, const SafeDepth& safe = {},
                                 Model model = {}, Length ramp = 0.1 * millimetre);

/// The zone whose safe depths come nearest to the shift, and how near.
struct ZoneReach {
    std::string zone;
    DepthSearch search;
};

/// For a shift that no zone reaches: the one that comes nearest. Empty where nothing may be cut in any zone.
std::optional<ZoneReach> farthest_cut(const Reed& reed, Interval wanted, const SafeDepth& safe = {}, Model model = {},
                                      Length ramp = 0.1 * millimetre);

/// "83 % of the hours kept", or "no life lost" where the hours grow or stay.
std::string life_kept_text(double life_kept);

/// Whether a choice may be made on a tongue that should last: not stressed beyond the proof strength; the hours stay
/// above the least, or hardly change; nothing near the root of a tongue that does not reach the least as it is (at the
/// same swing a thinner root is stressed less, but it swings farther under the same breath). Alloys of unknown
/// strength pass.
bool spares_life(const CutChoice& choice, Time least_life);

}  // namespace reedwright
