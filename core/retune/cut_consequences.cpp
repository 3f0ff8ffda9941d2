#include "core/retune/cut_consequences.hpp"

#include "core/vibration/pitch.hpp"

namespace reedwright {

namespace {

std::optional<Notch> notch_of(const Cut& cut) {
    const Length mouth = cut.zone.to - cut.zone.from;
    const Length middle = cut.zone.from + 0.5 * mouth;
    if (cut.shape == CutShape::v_groove) return Notch{middle, cut.depth, graver_radius};
    if (cut.shape == CutShape::round_groove)
        return Notch{middle, cut.depth, (0.25 * mouth * mouth + cut.depth * cut.depth) / (2.0 * cut.depth)};
    return std::nullopt;
}

}  // namespace

CutConsequences consequences_of(const Reed& before, const CutEffect& effect, Length swing, Model model) {
    const Vibration old_vibration = vibration_of(before, model);
    const Vibration new_vibration = vibration_of(effect.after, model);
    const auto ratio = [](const Vibration& vibration) {
        const auto flap = vibration.flap(2);
        return (flap[1] / flap[0]).value();
    };
    CutConsequences result{old_vibration.stiffness(),
                           new_vibration.stiffness(),
                           life_of(before, old_vibration, swing),
                           life_of(effect.after, new_vibration, swing, notch_of(effect.cut)),
                           {},
                           ratio(old_vibration),
                           ratio(new_vibration),
                           {}};
    if (const auto line = stress_life(before.tongue.material))
        result.life_kept = line->cycles(result.after.stress) / line->cycles(result.before.stress);
    const auto old_twist = old_vibration.twist(1);
    const auto new_twist = new_vibration.twist(1);
    if (!old_twist.empty()) result.twist_shift = interval_between(old_twist[0], new_twist[0]);
    return result;
}

}  // namespace reedwright
