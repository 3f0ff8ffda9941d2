#include "core/vibration/cut_effect.hpp"

#include "core/input/diagnostic.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

namespace reedwright {

namespace {

constexpr double depth_tolerance_cents = 0.002;
constexpr int looks = 16;

}  // namespace

CutEffect effect_of_cut(const Reed& reed, const Cut& cut, Model model) {
    Reed after = reed;
    after.tongue = after_cut(reed.tongue, cut);
    const Frequency before = pitch_of(reed, model).pitch;
    const Frequency pitch = pitch_of(after, model).pitch;
    return {cut,   interval_between(before, pitch), before,
            pitch, removed_mass(reed.tongue, cut),  thinnest_after(reed.tongue, cut),
            after};
}

DepthSearch find_depth(const Reed& reed, const Zone& zone, Length ramp, Interval wanted, const SafeDepth& safe,
                       Model model) {
    return find_depth(reed, Cut{zone, 1.0 * micrometre, ramp, CutShape::flat, 1.0}, wanted, safe, model);
}

DepthSearch find_depth(const Reed& reed, const Cut& shape, Interval wanted, const SafeDepth& safe, Model model) {
    const Length deepest = deepest_cut(reed.tongue, shape, safe.least_thickness, safe.least_share);
    if (deepest < 0.05 * micrometre)
        throw InputError(fmt::format("nothing may be cut between {} and {}: {} must be left", to_text(shape.zone.from),
                                     to_text(shape.zone.to), to_text(safe.least_thickness)),
                         "replace the tongue, or lower it with a load");
    const Frequency before = pitch_of(reed, model).pitch;
    const auto miss = [&](double depth_m) {
        if (depth_m <= 0.0) return -wanted.value();
        Cut cut = shape;
        cut.depth = Length::from_value(depth_m);
        Reed after = reed;
        after.tongue = after_cut(reed.tongue, cut);
        return interval_between(before, pitch_of(after, model).pitch).value() - wanted.value();
    };
    const auto at_depth = [&](double depth_m) {
        Cut cut = shape;
        cut.depth = Length::from_value(depth_m);
        return effect_of_cut(reed, cut, model);
    };

    double low = 0.0;
    double miss_low = miss(0.0);
    double closest_depth = deepest.value() / looks;
    double closest_miss = INFINITY;
    for (int k = 1; k <= looks; ++k) {
        // The far end first: most wishes are bracketed by it at once.
        const double high = deepest.value() * (k == 1 ? 1.0 : static_cast<double>(k - 1) / looks);
        const double miss_high = miss(high);
        if (std::abs(miss_high) < std::abs(closest_miss)) {
            closest_miss = miss_high;
            closest_depth = high;
        }
        if (miss_low == 0.0 || (miss_low < 0.0) != (miss_high < 0.0)) {
            std::uintmax_t iterations = 60;
            const auto close_enough = [&](double a, double b) { return std::abs(b - a) < 1e-12; };
            const auto bracket =
                boost::math::tools::toms748_solve(miss, low, high, miss_low, miss_high, close_enough, iterations);
            const double depth = 0.5 * (bracket.first + bracket.second);
            if (depth > 0.0) return {true, at_depth(depth), deepest};
        }
        if (k > 1) {
            low = high;
            miss_low = miss_high;
        }
    }
    const bool met = std::abs(closest_miss) <= depth_tolerance_cents;
    return {met, at_depth(closest_depth), deepest};
}

}  // namespace reedwright
