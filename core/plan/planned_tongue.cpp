#include "core/plan/planned_tongue.hpp"

#include "core/tasks/in_parallel.hpp"
#include "core/vibration/cut_effect.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace reedwright {

namespace {

constexpr double solved_cents = 0.001;
constexpr int most_steps = 30;
constexpr double seconds_per_hour = 3600.0;
const Length thickest_strip = 1.5 * millimetre;
const Length rounding = 1e-9 * metre;

std::string mm_text(Length length) {
    return fmt::format("{:.3g} mm", in(length, millimetre));
}

Reed with_thickness(const Reed& reed, const Profile& thickness) {
    Reed result = reed;
    result.tongue.thickness = thickness;
    result.seat.root_thickness = thickness.at_root();
    return result;
}

Profile scaled(const Profile& profile, double factor) {
    std::vector<Station> stations = profile.stations();
    for (Station& station : stations) station.value *= factor;
    return Profile(std::move(stations));
}

// Stations that are set to one thickness: of a heavy tip the root, the thin stretch, the tip.
std::vector<std::vector<std::size_t>> groups_of(const Profile& profile) {
    std::vector<std::vector<std::size_t>> groups;
    const auto& stations = profile.stations();
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const bool same = i > 0 && std::abs((stations[i].value - stations[i - 1].value).value()) < rounding.value();
        if (!same) groups.emplace_back();
        groups.back().push_back(i);
    }
    return groups;
}

class Planner {
public:
    Planner(const Design& design, Model model) : design_(design), model_(model) {}

    // The tongue, and the reed as the shop would make it.
    std::pair<PlannedTongue, Reed> plan(std::size_t index) const {
        const InstrumentReed& one = design_.instrument.reeds[index];
        PlannedTongue planned{index,       bench_target(design_.instrument, one, design_.instrument.tuning),
                              {},          one.reed.tongue.thickness,
                              0.0 * hertz, 0.0 * cent,
                              0.0 * hertz, 0.0 * cent,
                              {},          {},
                              {},          0.0 * cent,
                              0.0 * cent,  {}};
        Reed made = one.reed;
        const auto& shape = design_.reeds[index].shape;
        if (shape) {
            planned.family = design_.rules.profiles[*shape].family;
            const Reed solved = solve(one.reed, planned);
            planned.solved_thickness = solved.tongue.thickness;
            planned.solved_pitch = pitch_of(solved, model_).pitch;
            made = planned.in_reach() ? rounded(solved, planned) : solved;
        }
        const Vibration vibration = vibration_of(made, model_);
        planned.pitch = pitch_of(made, vibration).pitch;
        planned.rounded_error = interval_between(planned.target, planned.pitch);
        if (!shape) planned.solved_pitch = planned.pitch;
        planned.error = interval_between(planned.target, planned.solved_pitch);
        planned.stiffness = vibration.stiffness();
        planned.life = life_of(made, vibration, one.swing_share * made.tongue.length());
        judge(made, planned);
        return {std::move(planned), std::move(made)};
    }

private:
    double miss_cents(const Reed& reed, const Profile& shape, double factor, Frequency target) const {
        return interval_between(target, pitch_of(with_thickness(reed, scaled(shape, factor)), model_).pitch).value();
    }

    Reed solve(const Reed& reed, PlannedTongue& planned) const {
        const Profile& shape = reed.tongue.thickness;
        const Length strip = design_.rules.gauges.empty() ? thickest_strip : design_.rules.gauges.back();
        // Thicker than wide it would swing sideways first.
        const Length narrowest = reed.tongue.width.smallest();
        const bool by_width = narrowest < strip;
        const Length thickest = by_width ? narrowest : strip;
        const double least = (design_.rules.thinnest / shape.smallest()).value();
        const double most = (thickest / shape.largest()).value();
        // In logarithms the pitch follows the thickness with a slope a little below 1200 cents per octave.
        double x = 0.0;
        double slope = 1200.0;
        double miss = miss_cents(reed, shape, 1.0, planned.target);
        for (int step = 0; step < most_steps && std::abs(miss) > solved_cents; ++step) {
            const double next = x - std::clamp(miss / slope, -1.0, 1.0);
            const double next_miss = miss_cents(reed, shape, std::exp2(next), planned.target);
            const double new_slope = (next_miss - miss) / (next - x);
            if (new_slope > 300.0 && new_slope < 2400.0) slope = new_slope;
            x = next;
            miss = next_miss;
        }
        const double factor = std::exp2(x);
        if (least > most * (1.0 + 1e-9)) {
            planned.limits.push_back(
                {by_width ? "width" : "gauge",
                 fmt::format("{}, {}, leaves {} at its thinnest place, below {}",
                             by_width ? "a tongue no thicker than wide" : "the thickest strip", mm_text(thickest),
                             mm_text(most * shape.smallest()), mm_text(design_.rules.thinnest)),
                 by_width ? "a wider tongue, or a profile less deep" : "a thicker strip, or a profile less deep",
                 true});
            return with_thickness(reed, scaled(shape, most));
        }
        if (factor < least) {
            planned.limits.push_back(
                {"thinnest",
                 fmt::format("would be {} thin, less than {}", mm_text(factor * shape.smallest()),
                             mm_text(design_.rules.thinnest)),
                 fmt::format(
                     "a tongue of about {} instead of {}, or a profile that is thinned less or carries a heavier "
                     "tip",
                     mm_text(reed.tongue.length() * std::sqrt(least / factor)), mm_text(reed.tongue.length())),
                 true});
            return with_thickness(reed, scaled(shape, least));
        }
        if (factor > most) {
            planned.limits.push_back(
                {by_width ? "width" : "gauge",
                 fmt::format("would be {} thick, more than {}, {}", mm_text(factor * shape.largest()),
                             by_width ? "it is wide" : "the thickest strip", mm_text(thickest)),
                 fmt::format("a tongue of about {} instead of {}, a {}, or a stiffer alloy",
                             mm_text(reed.tongue.length() * std::sqrt(most / factor)), mm_text(reed.tongue.length()),
                             by_width ? "wider one" : "thicker strip"),
                 true});
            return with_thickness(reed, scaled(shape, most));
        }
        return with_thickness(reed, scaled(shape, factor));
    }

    // Each group of stations on a multiple of the shop's step near its solved thickness, missing the target least.
    Reed rounded(const Reed& solved, const PlannedTongue& planned) const {
        const Length step = design_.rules.steps.thickness;
        const auto groups = groups_of(solved.tongue.thickness);
        const Vibration vibration = vibration_of(solved, model_);
        const Sensitivities by = vibration.sensitivities();
        const double start_cents = interval_between(planned.target, pitch_of(solved, vibration).pitch).value();
        const auto& stations = solved.tongue.thickness.stations();
        std::vector<double> per_step;
        std::vector<double> solved_steps;
        for (const auto& group : groups) {
            IntervalPerLength sum = 0.0 * cent / metre;
            for (const std::size_t i : group) sum += by.by_thickness[i];
            if (group.front() == 0) sum += 2.0 * by.by_seat / stations.front().value;
            per_step.push_back((sum * step).value());
            solved_steps.push_back((stations[group.front()].value / step).value());
        }
        // Within a step and a half of each solved thickness; a little is given away to stay near the shape.
        constexpr int choices = 3;
        constexpr double cents_per_step_off = 0.05;
        int combinations = 1;
        for (std::size_t k = 0; k < groups.size(); ++k) combinations *= choices;
        std::vector<double> best;
        double best_cost = std::numeric_limits<double>::infinity();
        for (int c = 0; c < combinations; ++c) {
            std::vector<double> steps;
            double cents = start_cents;
            double off = 0.0;
            int digits = c;
            for (std::size_t k = 0; k < groups.size(); ++k) {
                steps.push_back(std::max(1.0, std::round(solved_steps[k]) + digits % choices - 1));
                digits /= choices;
                cents += (steps[k] - solved_steps[k]) * per_step[k];
                off += std::abs(steps[k] - solved_steps[k]);
            }
            const double cost = std::abs(cents) + cents_per_step_off * off;
            if (cost < best_cost) {
                best_cost = cost;
                best = steps;
            }
        }
        std::vector<Station> set = stations;
        for (std::size_t k = 0; k < groups.size(); ++k)
            for (const std::size_t i : groups[k]) set[i].value = best[k] * step;
        return with_thickness(solved, Profile(std::move(set)));
    }

    void judge(const Reed& made, PlannedTongue& planned) const {
        const TongueRules& rules = design_.rules;
        const Length thickest_place = made.tongue.thickness.largest();
        const auto gauge = std::find_if(rules.gauges.begin(), rules.gauges.end(),
                                        [&](Length strip) { return strip >= thickest_place - rounding; });
        if (gauge != rules.gauges.end()) planned.gauge = *gauge;
        const auto overstep = [&](const std::string& name, const std::string& text, const std::string& remedy) {
            planned.limits.push_back({name, text, remedy, false});
        };
        const bool known = !planned.in_reach();
        if (!known && !rules.gauges.empty() && gauge == rules.gauges.end())
            overstep("gauge", fmt::format("{} thick, more than any strip in stock", mm_text(thickest_place)),
                     "a thicker strip");
        if (!known && planned.family && made.tongue.thickness.smallest() < rules.thinnest - rounding)
            overstep("thinnest",
                     fmt::format("{} at its thinnest place, below {}", mm_text(made.tongue.thickness.smallest()),
                                 mm_text(rules.thinnest)),
                     "a longer tongue");
        judge_strength(made, planned, overstep);
        judge_stiffness(made, planned, overstep);
        judge_room(made, planned, overstep);
    }

    template <class Overstep>
    void judge_strength(const Reed& made, const PlannedTongue& planned, const Overstep& overstep) const {
        const Life& life = planned.life;
        const double swing_percent = 100.0 * (life.swing / made.tongue.length()).value();
        const double most = design_.rules.most_proof_share;
        if (life.proof_share.value_or(0.0) > most)
            overstep("stress",
                     fmt::format("{:.0f} MPa at a swing of {:.1f} %, {:.0f} % of the proof strength, above {:.0f} %",
                                 in(life.stress, megapascal), swing_percent, 100.0 * *life.proof_share, 100.0 * most),
                     fmt::format("a swing of about {:.2g} %, a shorter tongue, or a stronger alloy",
                                 swing_percent * most / *life.proof_share));
        const double least_hours = design_.instrument.least_life.value() / seconds_per_hour;
        if (!life.hours || *life.hours >= least_hours) return;
        const auto line = stress_life(made.tongue.material);
        const double cycles = least_hours * seconds_per_hour * planned.pitch.value();
        overstep("life",
                 fmt::format("an estimate of {:.2g} hours at a swing of {:.1f} %, below {:.4g}", *life.hours,
                             swing_percent, least_hours),
                 fmt::format("a swing of about {:.2g} %, a shorter tongue, or a stronger alloy",
                             swing_percent * (line->amplitude(cycles) / life.stress).value()));
    }

    template <class Overstep>
    void judge_stiffness(const Reed& made, const PlannedTongue& planned, const Overstep& overstep) const {
        // At one pitch and shape the thickness goes with the square of the length, the stiffness with its cube.
        const auto judged = [&](const std::string& name, const std::optional<Stiffness>& limit, bool low) {
            if (!limit || (low ? planned.stiffness >= *limit : planned.stiffness <= *limit)) return;
            const double ratio = limit->value() / planned.stiffness.value();
            overstep(name,
                     fmt::format("{:.3g} N/m of the first mode, {} {:.3g} N/m", planned.stiffness.value(),
                                 low ? "below" : "above", limit->value()),
                     fmt::format("a tongue of about {} instead of {}, or one of {} the width",
                                 mm_text(made.tongue.length() * std::cbrt(ratio)), mm_text(made.tongue.length()),
                                 fmt::format("{:.2g} times", ratio)));
        };
        judged("least stiffness", design_.rules.least_stiffness, true);
        judged("most stiffness", design_.rules.most_stiffness, false);
    }

    template <class Overstep>
    void judge_room(const Reed& made, PlannedTongue& planned, const Overstep& overstep) const {
        const SafeDepth safe;
        const auto reach = [&](const char* zone) {
            Cut cut;
            cut.zone = parse_zone(zone, made.tongue.length());
            cut.depth = deepest_cut(made.tongue, cut, safe.least_thickness, safe.least_share);
            if (cut.depth.value() <= 0.0) return 0.0 * cent;
            Reed after = made;
            after.tongue = after_cut(made.tongue, cut);
            return interval_between(planned.pitch, pitch_of(after, model_).pitch);
        };
        planned.room_up = reach("tip");
        planned.room_down = reach("root");
        const TongueRules& rules = design_.rules;
        if (planned.room_up < rules.room_up)
            overstep("room up",
                     fmt::format("a safe cut at the tip raises it by {:.0f} cents, less than {:.0f}",
                                 planned.room_up.value(), rules.room_up.value()),
                     "a thicker tip");
        if (-planned.room_down < rules.room_down)
            overstep("room down",
                     fmt::format("a safe cut at the root lowers it by {:.0f} cents, less than {:.0f}",
                                 -planned.room_down.value(), rules.room_down.value()),
                     "a thicker root");
    }

    const Design& design_;
    Model model_;
};

}  // namespace

bool PlannedTongue::in_reach() const {
    return std::none_of(limits.begin(), limits.end(), [](const PlanLimit& limit) { return limit.out_of_reach; });
}

std::vector<PlateReed> plate_reeds(const Instrument& instrument) {
    std::vector<PlateReed> result;
    result.reserve(instrument.reeds.size());
    for (const InstrumentReed& one : instrument.reeds)
        result.push_back({one.cell, one.row, one.reed, one.swing_share * one.reed.tongue.length()});
    return result;
}

std::vector<PlannedTongue> plan_tongues(Design& design, Model model) {
    const std::size_t count = design.instrument.reeds.size();
    const Planner planner(design, model);
    std::vector<std::optional<std::pair<PlannedTongue, Reed>>> results(count);
    in_parallel(count, [&](std::size_t i) { results[i] = planner.plan(i); });
    std::vector<PlannedTongue> planned;
    planned.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        design.instrument.reeds[i].reed = std::move(results[i]->second);
        planned.push_back(std::move(results[i]->first));
    }
    return planned;
}

}  // namespace reedwright
