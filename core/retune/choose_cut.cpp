#include "core/retune/choose_cut.hpp"

#include "core/input/diagnostic.hpp"
#include "core/retune/zone_names.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

std::vector<NamedZone> candidates(const Reed& reed, const Vibration& vibration, Interval wanted) {
    return wanted.value() > 0.0 ? raising_zones(reed, vibration) : lowering_zones(reed, vibration);
}

double thickness_kept(const Reed& before, const CutEffect& effect) {
    double least = 1.0;
    for (const Station& station : effect.after.tongue.thickness.stations()) {
        const double was = before.tongue.thickness.before(station.at).value();
        least = std::min(least, station.value.value() / was);
    }
    return least;
}

double life_share(const Material& material, const Life& before, const Life& after) {
    const auto line = stress_life(material);
    return line ? line->cycles(after.stress) / line->cycles(before.stress) : 1.0;
}

}  // namespace

std::string life_kept_text(double life_kept) {
    // What rounds to all of the hours is all of them; above that, the metal went from where the stress is low, and the
    // whole tongue bends more gently at the same swing.
    if (life_kept >= 0.995) return "no life lost";
    return fmt::format("{:.0f} % of the hours kept", 100.0 * life_kept);
}

std::vector<CutChoice> rank_cuts(const Reed& reed, Interval wanted, Length swing, const SafeDepth& safe, Model model,
                                 Length ramp) {
    const Vibration vibration = vibration_of(reed, model);
    const Life before = life_of(reed, vibration, swing);
    std::vector<CutChoice> choices;
    for (const NamedZone& candidate : candidates(reed, vibration, wanted)) {
        try {
            const DepthSearch search = find_depth(reed, candidate.zone, ramp, wanted, safe, model);
            if (!search.reachable) continue;
            const Life after = life_of(search.best.after, vibration_of(search.best.after, model), swing);
            CutChoice choice{candidate.name,
                             search.best,
                             before,
                             after,
                             life_share(reed.tongue.material, before, after),
                             thickness_kept(reed, search.best),
                             {}};
            choice.why = fmt::format("{:.1f} um over {:.1f} mm, {:.0f} % of the thickness kept, {}",
                                     in(search.best.cut.depth, micrometre),
                                     in(candidate.zone.to - candidate.zone.from, millimetre),
                                     100.0 * choice.thickness_kept, life_kept_text(choice.life_kept));
            choices.push_back(std::move(choice));
        } catch (const InputError&) {
            // Nothing may be cut there: the tongue is too thin, which leaves the other zones.
        }
    }
    constexpr double nearly_equal = 0.02;
    std::stable_sort(choices.begin(), choices.end(), [](const CutChoice& a, const CutChoice& b) {
        const double rank_a = std::round(a.life_kept / nearly_equal);
        const double rank_b = std::round(b.life_kept / nearly_equal);
        return rank_a != rank_b ? rank_a > rank_b : a.thickness_kept > b.thickness_kept;
    });
    return choices;
}

std::optional<ZoneReach> farthest_cut(const Reed& reed, Interval wanted, const SafeDepth& safe, Model model,
                                      Length ramp) {
    const Vibration vibration = vibration_of(reed, model);
    std::optional<ZoneReach> best;
    const auto missing = [&](const DepthSearch& search) { return std::abs((wanted - search.best.shift).value()); };
    for (const NamedZone& candidate : candidates(reed, vibration, wanted)) {
        try {
            DepthSearch search = find_depth(reed, candidate.zone, ramp, wanted, safe, model);
            if (!best || missing(search) < missing(best->search)) best = ZoneReach{candidate.name, std::move(search)};
        } catch (const InputError&) {
            // Nothing may be cut there.
        }
    }
    return best;
}

bool spares_life(const CutChoice& choice, Time least_life) {
    // Less than a twentieth of the hours lost is within what the estimate can tell.
    constexpr double hours_hardly_change = 0.95;
    constexpr double seconds_per_hour = 3600.0;
    const double least_hours = least_life.value() / seconds_per_hour;
    if (choice.after.proof_share.value_or(0.0) > 1.0) return false;
    const bool near_root = choice.zone == "root" || choice.zone == "inner" || choice.zone == "middle";
    if (near_root && choice.before.hours.value_or(least_hours) < least_hours) return false;
    return choice.after.hours.value_or(least_hours) >= least_hours || choice.life_kept > hours_hardly_change;
}

}  // namespace reedwright
