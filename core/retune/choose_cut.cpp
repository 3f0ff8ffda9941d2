#include "core/retune/choose_cut.hpp"

#include "core/input/diagnostic.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

struct Candidate {
    std::string name;
    Zone zone;
};

std::vector<Candidate> candidates(const Reed& reed, const Vibration& vibration, bool upward) {
    const Length length = reed.tongue.length();
    const Length root = 0.0 * metre;
    const auto neutral = vibration.neutral_places();
    // Heavy tips may have several; the last is where the tip's side begins, the first where the root's ends.
    std::vector<Candidate> result;
    if (upward) {
        result.push_back({"tip", parse_zone("tip", length)});
        if (!neutral.empty()) result.push_back({"outer", {neutral.back() + 0.2 * (length - neutral.back()), length}});
    } else {
        result.push_back({"root", parse_zone("root", length)});
        if (!neutral.empty()) {
            const Length end = 0.8 * neutral.front();
            result.push_back({"inner", {root, end}});
            result.push_back({"middle", {0.5 * end, end}});
        }
    }
    return result;
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

std::vector<CutChoice> rank_cuts(const Reed& reed, Interval wanted, Length swing, const SafeDepth& safe, Model model) {
    const Vibration vibration = vibration_of(reed, model);
    const Life before = life_of(reed, vibration, swing);
    std::vector<CutChoice> choices;
    for (const Candidate& candidate : candidates(reed, vibration, wanted.value() > 0.0)) {
        try {
            const DepthSearch search = find_depth(reed, candidate.zone, 0.1 * millimetre, wanted, safe, model);
            if (!search.reachable) continue;
            const Life after = life_of(search.best.after, vibration_of(search.best.after, model), swing);
            CutChoice choice{candidate.name,
                             search.best,
                             before,
                             after,
                             life_share(reed.tongue.material, before, after),
                             thickness_kept(reed, search.best),
                             {}};
            choice.why = fmt::format(
                "{:.1f} um over {:.1f} mm, {:.0f} % of the thickness and {:.0f} % of the hours kept",
                in(search.best.cut.depth, micrometre), in(candidate.zone.to - candidate.zone.from, millimetre),
                100.0 * choice.thickness_kept, 100.0 * choice.life_kept);
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
