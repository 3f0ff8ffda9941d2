#include "core/retune/first_pass.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

namespace reedwright {

FirstPass first_pass(const Reed& reed, const CutEffect& whole, double overshoot_level, const HandSpread& hand,
                     Model model) {
    const Length zone = whole.cut.zone.to - whole.cut.zone.from;
    const Length there =
        0.5 * (reed.tongue.thickness.beyond(whole.cut.zone.from) + reed.tongue.thickness.before(whole.cut.zone.to));
    const double by_zone = (hand.zone / zone).value();
    const double by_thickness = (reed.spread.thickness / there).value();
    const double spread =
        std::sqrt(hand.depth_share * hand.depth_share + by_zone * by_zone + by_thickness * by_thickness);
    const double reading_share = std::abs(hand.tuner.value() / whole.shift.value());

    // A pass that asks for the share p of the shift brings p (1 + spread z) + reading z' of it.
    const boost::math::normal unit;
    const double quantile = boost::math::quantile(unit, 1.0 - overshoot_level);
    const auto chance = [&](double p) {
        const double deviation = std::hypot(p * spread, reading_share);
        return deviation > 0.0 ? boost::math::cdf(boost::math::complement(unit, (1.0 - p) / deviation))
                               : (p > 1.0 ? 1.0 : 0.0);
    };
    // 1 - p = quantile sqrt((p spread)^2 + reading^2), the smaller root.
    const double q2 = quantile * quantile;
    const double a = 1.0 - q2 * spread * spread;
    const double c = 1.0 - q2 * reading_share * reading_share;
    double share = 0.0;
    if (c > 0.0) share = std::abs(a) < 1e-9 ? 0.5 * c : (1.0 - std::sqrt(std::max(0.0, 1.0 - a * c))) / a;
    share = std::clamp(share, 0.0, 1.0);

    Cut pass = whole.cut;
    pass.depth = share * whole.cut.depth;
    const Interval shift = share > 0.0 ? effect_of_cut(reed, pass, model).shift : 0.0 * cent;
    return {pass.depth, shift, spread, chance(share)};
}

}  // namespace reedwright
