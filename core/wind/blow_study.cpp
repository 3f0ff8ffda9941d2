#include "core/wind/blow_study.hpp"

#include "core/tasks/in_parallel.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {
constexpr double should_not_choke_below_pa = 3000.0;
}

PressureLimits pressure_limits(const BlownReed& reed) {
    PressureLimits limits{speaking_range(reed), std::nullopt, std::nullopt};
    if (!limits.from_rest.threshold) return limits;
    const Pressure threshold = *limits.from_rest.threshold;
    limits.offset = offset_pressure(reed, threshold);
    const Pressure speaks = limits.from_rest.chokes_at.value_or(highest_pressure);
    limits.kept_to = std::max(speaks, pressure_kept_to(reed, speaks));
    return limits;
}

BlowPoint blow_point(const BlownReed& reed, const SwingLoss& loss, Pressure pressure) {
    BlowPoint point{pressure, reed_mode(reed, pressure).growth, sound(reed, pressure), std::nullopt};
    BlownReed lossy = reed;
    lossy.swing_loss = loss;
    const Sounding with_loss = sound(lossy, pressure);
    if (with_loss.outcome == Outcome::sounds) point.swing_with_loss = with_loss.swing;
    return point;
}

std::vector<BlowPoint> pressure_sweep(const BlownReed& reed, const SwingLoss& loss,
                                      const std::vector<Pressure>& pressures) {
    std::vector<BlowPoint> points(pressures.size());
    in_parallel(pressures.size(), [&](std::size_t i) { points[i] = blow_point(reed, loss, pressures[i]); });
    return points;
}

std::vector<Pressure> usual_pressures(Pressure lowest) {
    std::vector<Pressure> pressures;
    for (const double pressure_pa :
         {20.0, 30.0, 50.0, 70.0, 100.0, 150.0, 200.0, 300.0, 500.0, 700.0, 1000.0, 1500.0, 2000.0, 3000.0})
        if (pressure_pa > 1.2 * lowest.value()) pressures.push_back(Pressure::from_value(pressure_pa));
    return pressures;
}

std::vector<Pressure> even_pressures(Pressure low, Pressure high, std::size_t count) {
    std::vector<Pressure> pressures;
    for (std::size_t i = 0; i < count; ++i)
        pressures.push_back(low + (high - low) * (static_cast<double>(i) / static_cast<double>(count - 1)));
    return pressures;
}

GapEffect rest_gap_effect(const BlownReed& reed, std::vector<Length> shown) {
    // Fine enough that the easiest gap is found to 5 %.
    constexpr double ratio = 1.05;
    GapEffect effect;
    const auto at = [&](Length gap) {
        BlownReed other = reed;
        other.rest_gap = gap;
        return GapPoint{gap, speaking_range(other)};
    };
    std::sort(shown.begin(), shown.end());
    for (const Length& gap : shown) effect.points.push_back(at(gap));
    const double widest_m = 0.1 * reed.opening.tongue_length().value();
    const double narrowest_m = 0.2 * reed.opening.clearance().value();
    const auto count = static_cast<int>(std::log(widest_m / narrowest_m) / std::log(ratio));
    for (int i = 0; i <= count; ++i) {
        const GapPoint point = at(Length::from_value(narrowest_m * std::pow(ratio, i)));
        if (!point.range.threshold) continue;
        if (!effect.easiest || *point.range.threshold < *effect.easiest->range.threshold) effect.easiest = point;
        const bool chokes = point.range.chokes_at && point.range.chokes_at->value() < should_not_choke_below_pa;
        if (!chokes && point.range.threshold->value() < should_not_choke_below_pa && !effect.unchoked)
            effect.unchoked = point;
    }
    return effect;
}

}  // namespace reedwright
