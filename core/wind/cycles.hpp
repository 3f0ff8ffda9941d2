// Following an oscillation in time until its cycles repeat.
//
// The method is a library's: Dormand and Prince's fifth-order steps with their error held under a tolerance and values
// in between (Boost.Odeint). What is added here are the turning points, found where the speed passes zero, and when to
// stop. A step is never longer than a fraction of a cycle, so that no turning point and no edge of the slot is stepped
// over, and their number is bounded.
#pragma once

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint/integrate/max_step_checker.hpp>
#include <boost/numeric/odeint/stepper/generation.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <cstdint>
#include <vector>

namespace reedwright::kernel {

/// One cycle ends at a highest point; the state is the one there.
template <class State>
struct Cycle {
    double ends_s;
    double highest;
    double lowest;
    State state;

    double swing() const { return 0.5 * (highest - lowest); }
};

struct CycleRules {
    /// Of a step, relative to a value and to its scale.
    double tolerance;
    double longest_step_s;
    /// Stops at the latest after so many steps.
    std::uint64_t most_steps;
    /// Without a turning point for so long the motion counts as stalled: it creeps to its place without swinging.
    double longest_cycle_s;
};

/// A cycle that takes more than this is too stiff to be followed.
inline constexpr std::uint64_t most_steps_to_a_turn = 20000;

enum class Turn { turned, stalled, exhausted };

/// Follows the component `height` of a system through its turning points, `speed` being its derivative.
template <class System, class State>
class CycleFollower {
public:
    /// scales: the size of each component, against which its error is held.
    CycleFollower(const System& system, const State& start, const State& scales, std::size_t height, std::size_t speed,
                  const CycleRules& rules)
        : system_(system),
          scales_(scales),
          height_(height),
          speed_(speed),
          rules_(rules),
          stepper_(boost::numeric::odeint::make_dense_output(rules.tolerance, rules.tolerance, rules.longest_step_s,
                                                             boost::numeric::odeint::runge_kutta_dopri5<State>())) {
        for (std::size_t i = 0; i < scales.size(); ++i) inverse_scales_[i] = 1.0 / scales[i];
        stepper_.initialize(scaled(start), 0.0, 0.1 * rules.longest_step_s);
        last_speed_ = start[speed_];
        lowest_ = start[height_];
    }

    /// Goes on to the next highest point. Exhausted when the steps are used up or the state is no longer finite.
    Turn next(Cycle<State>& cycle) {
        const std::uint64_t patience = std::min(rules_.most_steps, steps_ + most_steps_to_a_turn);
        while (steps_ < patience) {
            if (!step()) return Turn::exhausted;
            const double from_s = stepper_.previous_time(), to_s = stepper_.current_time();
            const double now_speed = stepper_.current_state()[speed_] * scales_[speed_];
            const bool top = last_speed_ > 0.0 && now_speed <= 0.0;
            const bool bottom = last_speed_ < 0.0 && now_speed >= 0.0;
            const double before = last_speed_;
            last_speed_ = now_speed;
            if (!top && !bottom) {
                if (to_s - last_turn_s_ > rules_.longest_cycle_s) return Turn::stalled;
                continue;
            }
            const double turn_s = turning_time(from_s, to_s, before, now_speed);
            last_turn_s_ = turn_s;
            const State state = at(turn_s);
            if (bottom) {
                lowest_ = std::min(lowest_, state[height_]);
                continue;
            }
            cycle = {turn_s, state[height_], lowest_, state};
            lowest_ = state[height_];
            return Turn::turned;
        }
        return Turn::exhausted;
    }

    /// Goes on to a time and gives the state there; times must not decrease by more than a step.
    bool advance_to(double time_s, State& state) {
        while (stepper_.current_time() < time_s)
            if (steps_ >= rules_.most_steps || !step()) return false;
        last_speed_ = stepper_.current_state()[speed_] * scales_[speed_];
        state = at(time_s);
        return true;
    }

    std::uint64_t steps() const { return steps_; }

private:
    State scaled(const State& x) const {
        State result;
        for (std::size_t i = 0; i < x.size(); ++i) result[i] = x[i] / scales_[i];
        return result;
    }
    State at(double time_s) const {
        State x;
        stepper_.calc_state(time_s, x);
        for (std::size_t i = 0; i < x.size(); ++i) x[i] *= scales_[i];
        return x;
    }
    bool step() {
        const auto scaled_system = [this](const State& x, State& dxdt, double time_s) {
            State unscaled;
            for (std::size_t i = 0; i < x.size(); ++i) unscaled[i] = x[i] * scales_[i];
            system_(unscaled, dxdt, time_s);
            for (std::size_t i = 0; i < x.size(); ++i) dxdt[i] /= scales_[i];
        };
        try {
            stepper_.do_step(scaled_system);
        } catch (const boost::numeric::odeint::step_adjustment_error&) {
            return false;
        }
        ++steps_;
        return std::isfinite(stepper_.current_state()[height_]);
    }
    double turning_time(double from_s, double to_s, double before, double after) const {
        if (after == 0.0) return to_s;
        std::uintmax_t tries = 40;
        const auto speed = [this](double time_s) { return at(time_s)[speed_]; };
        const auto near = [this](double a, double b) { return std::abs(b - a) < 1e-11 * rules_.longest_step_s; };
        const auto [low, high] = boost::math::tools::toms748_solve(speed, from_s, to_s, before, after, near, tries);
        return 0.5 * (low + high);
    }

    using Stepper = typename boost::numeric::odeint::result_of::make_dense_output<
        boost::numeric::odeint::runge_kutta_dopri5<State>>::type;

    const System& system_;
    State scales_;
    State inverse_scales_;
    std::size_t height_;
    std::size_t speed_;
    CycleRules rules_;
    mutable Stepper stepper_;
    double last_speed_;
    double lowest_;
    double last_turn_s_ = 0.0;
    std::uint64_t steps_ = 0;
};

/// How an oscillation ended up.
enum class Settled { steady, silent, never };

struct SettleRules {
    /// Cycles compared with each other: as many again as the window.
    std::size_t window = 16;
    std::size_t most_cycles = 6000;
    /// Change from one window to the next, and still to come, relative to the swing.
    double steady_change = 1e-5;
    /// A swing below this that still shrinks is silence.
    double silent_swing_m;
};

/// Follows cycles until their swing no longer changes: what is still to come is judged as if the changes went on to
/// shrink by the same factor from window to window.
template <class Follower, class State>
Settled settle(Follower& follower, std::vector<Cycle<State>>& cycles, const SettleRules& rules) {
    double older = 0.0, old = 0.0;
    std::size_t windows = 0;
    while (cycles.size() < rules.most_cycles) {
        double sum = 0.0, most = 0.0, least = 1e30;
        for (std::size_t i = 0; i < rules.window; ++i) {
            Cycle<State> cycle;
            const Turn turn = follower.next(cycle);
            if (turn == Turn::stalled) return Settled::silent;
            if (turn == Turn::exhausted) return Settled::never;
            cycles.push_back(cycle);
            sum += cycle.swing();
            most = std::max(most, cycle.swing());
            least = std::min(least, cycle.swing());
        }
        const double now = sum / static_cast<double>(rules.window);
        ++windows;
        if (windows > 2) {
            const double change = now - old, before = old - older;
            const double factor = before != 0.0 ? change / before : 0.0;
            const bool shrinks = factor > -1.0 && factor < 1.0;
            const double to_come = shrinks ? std::abs(change * factor / (1.0 - factor)) : std::abs(change);
            const bool shrinks_on = now < old && factor <= 1.0;
            if (most < rules.silent_swing_m && (shrinks_on || most < 0.01 * rules.silent_swing_m))
                return Settled::silent;
            const double limit = rules.steady_change * now;
            const bool still = std::abs(change) < limit && most - least < 4.0 * limit;
            if (now > rules.silent_swing_m && still && (to_come < limit || std::abs(change) < 1e-3 * limit))
                return Settled::steady;
        }
        older = old;
        old = now;
    }
    return Settled::never;
}

}  // namespace reedwright::kernel
