#include "core/wind/bend_range.hpp"

#include "core/input/diagnostic.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

TractPoint tuned(ReedPair pair, Volume volume, Pressure pressure, const TractSweep& sweep) {
    pair.tract.volume = volume;
    TractPoint point{volume, pair.tract_resonance(), pair_modes(pair, pressure), {}};
    point.sounding.outcome = Outcome::silent;
    SoundingRules rules;
    rules.tolerance = 1e-7;
    rules.most_cycles = 3000;
    if (std::max(point.modes.closing.growth, point.modes.opening.growth) >= sweep.least_growth)
        point.sounding = sound_pair(pair, pressure, rules);
    return point;
}

double opening_growth(const TractPoint& point) {
    return point.modes.opening.growth.value();
}

// From the largest tract to the smallest, and where the opening mode just grows fast enough.
std::vector<TractPoint> swept(const ReedPair& pair, Pressure pressure, const TractSweep& sweep) {
    std::vector<TractPoint> points;
    const double ratio = sweep.smallest.value() / sweep.largest.value();
    for (std::size_t i = 0; i < sweep.steps; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(sweep.steps - 1);
        points.push_back(tuned(pair, sweep.largest * std::pow(ratio, share), pressure, sweep));
    }
    const double wanted = sweep.least_growth.value();
    const auto onset = std::adjacent_find(points.begin(), points.end(), [&](const auto& a, const auto& b) {
        return opening_growth(a) < wanted && opening_growth(b) >= wanted;
    });
    if (onset == points.end()) return points;
    ReedPair between = pair;
    double large = onset->volume.value(), small = (onset + 1)->volume.value();
    for (int halving = 0; halving < 30; ++halving) {
        const double middle = std::sqrt(large * small);
        between.tract.volume = Volume::from_value(middle);
        (pair_modes(between, pressure).opening.growth.value() < wanted ? large : small) = middle;
    }
    points.insert(onset + 1, tuned(pair, Volume::from_value(small), pressure, sweep));
    return points;
}

std::optional<Frequency> lowest_between(const std::vector<TractPoint>& points, Frequency low, Frequency high) {
    std::optional<Frequency> lowest;
    for (const TractPoint& point : points) {
        if (point.sounding.outcome != Outcome::sounds) continue;
        const Frequency pitch = point.sounding.pitch;
        if (pitch > low && pitch < high && (!lowest || pitch < *lowest)) lowest = pitch;
    }
    return lowest;
}

}  // namespace

BendRange bend_range(const BlownReed& higher, const BlownReed& lower, Volume cell, Pressure pressure,
                     const TractSweep& sweep) {
    check_pressure(pressure);
    const Frequency high = higher.natural(), low = lower.natural();
    if (high <= low) throw InputError("the higher reed of a cell must be tuned above the lower one");
    BendRange range;
    range.bend = swept({higher, lower, cell, sweep.tract}, pressure, sweep);
    range.overblow = swept({lower, higher, cell, sweep.tract}, pressure, sweep);
    if (range.bend.front().sounding.outcome == Outcome::sounds) range.unbent = range.bend.front().sounding.pitch;
    range.floor = lowest_between(range.bend, low, high);
    range.overblown = lowest_between(range.overblow, high, 2.0 * high);
    return range;
}

}  // namespace reedwright
