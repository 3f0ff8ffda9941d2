#include "core/retune/load_search.hpp"

#include "core/input/diagnostic.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

namespace reedwright {

LoadEffect effect_of_load(const Reed& reed, const Load& load, Model model) {
    Reed after = reed;
    after.tongue.loads.push_back(load);
    const Frequency before = pitch_of(reed, model).pitch;
    const Frequency pitch = pitch_of(after, model).pitch;
    return {load, interval_between(before, pitch), pitch, true};
}

LoadEffect find_load(const Reed& reed, Length at, Interval wanted, Model model) {
    if (wanted.value() >= 0.0)
        throw InputError(fmt::format("a load only lowers the pitch; {:+.2f} cents are wanted", wanted.value()),
                         "take metal from the tip instead");
    if (at > reed.tongue.length() || at.value() < 0.0)
        throw InputError(
            fmt::format("a load at {} is not on the tongue, 0 mm to {}", to_text(at), to_text(reed.tongue.length())));
    const Frequency before = pitch_of(reed, model).pitch;
    const auto miss = [&](double mass_kg) {
        Reed after = reed;
        after.tongue.loads.push_back({at, Mass::from_value(mass_kg)});
        return interval_between(before, pitch_of(after, model).pitch).value() - wanted.value();
    };
    const double most_kg = reed.tongue.mass().value();
    const double miss_at_most = miss(most_kg);
    if (miss_at_most > 0.0) {
        LoadEffect most = effect_of_load(reed, {at, Mass::from_value(most_kg)}, model);
        most.reachable = false;
        return most;
    }
    std::uintmax_t iterations = 60;
    const auto close_enough = [&](double a, double b) { return std::abs(b - a) < 1e-9 * most_kg; };
    const auto bracket =
        boost::math::tools::toms748_solve(miss, 0.0, most_kg, -wanted.value(), miss_at_most, close_enough, iterations);
    return effect_of_load(reed, {at, Mass::from_value(0.5 * (bracket.first + bracket.second))}, model);
}

double trial_ratio(const Reed& reed, Length at, Mass trial, Interval read_shift, Model model) {
    constexpr double least_fall_cents = 2.0;
    if (read_shift.value() > -least_fall_cents)
        throw InputError(
            fmt::format("the trial weight moved the reading by {:+.1f} cents, too little to weigh the tongue",
                        read_shift.value()),
            "use a heavier trial weight");
    return (find_load(reed, at, read_shift, model).load.mass / trial).value();
}

}  // namespace reedwright
