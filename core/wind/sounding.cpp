#include "core/wind/sounding.hpp"

#include "core/wind/blown_kernel.hpp"
#include "core/wind/cycles.hpp"

#include <cmath>
#include <complex>
#include <numbers>
#include <unsupported/Eigen/FFT>

namespace reedwright {

namespace {

using kernel::BlownSystem;
using State = BlownSystem::State;
using Follower = kernel::CycleFollower<BlownSystem, State>;
using Cycles = std::vector<kernel::Cycle<State>>;

constexpr double pluck_share = 0.05;
constexpr double hard_pluck_share = 0.2;
constexpr double rest_share = 1e-6;
constexpr double steps_per_cycle = 20.0;
constexpr std::size_t wave_points = 512;
constexpr std::size_t partial_count = 24;

double cycle_s(const BlownReed& reed) {
    return 1.0 / reed.natural().value();
}

State scales_of(const BlownSystem& system, const BlownReed& reed, double pressure_pa) {
    // Sizes of a swing of a hundredth of the length.
    const double height_m = 0.01 * reed.opening.tongue_length().value();
    const double omega = system.tongue().omega_1_s;
    const double flow_m3_s = system.steady_flow_m3_s(pressure_pa);
    State scales;
    scales[BlownSystem::height] = height_m;
    scales[BlownSystem::speed] = height_m * omega;
    scales[BlownSystem::flow] = flow_m3_s;
    scales[BlownSystem::upstream] = pressure_pa;
    // The integrals only look on; they are held less tightly.
    scales[BlownSystem::volume] = flow_m3_s * cycle_s(reed);
    scales[BlownSystem::work_in] = pressure_pa * flow_m3_s * cycle_s(reed);
    scales[BlownSystem::work_lost] = scales[BlownSystem::work_in];
    return scales;
}

kernel::CycleRules cycle_rules(const BlownReed& reed, double tolerance, double cycles) {
    const double longest_s = cycle_s(reed) / steps_per_cycle;
    // More than a cycle takes on average; a bound against a system that turns stiff, about half a second of work.
    constexpr double most_steps_per_cycle = 500.0;
    return {tolerance, longest_s, static_cast<std::uint64_t>(cycles * most_steps_per_cycle), 10.0 * cycle_s(reed)};
}

// The last cycle again, at even times.
std::vector<CyclePoint> wave_of(const BlownSystem& system, const State& scales, const State& from, double lasts_s,
                                const kernel::CycleRules& rules) {
    Follower follower(system, from, scales, BlownSystem::height, BlownSystem::speed, rules);
    std::vector<CyclePoint> wave;
    for (std::size_t i = 0; i < wave_points; ++i) {
        const double time_s = lasts_s * static_cast<double>(i) / static_cast<double>(wave_points);
        State state = from;
        if (i > 0 && !follower.advance_to(time_s, state)) break;
        wave.push_back({Time::from_value(time_s), Length::from_value(state[BlownSystem::height]),
                        VolumeFlow::from_value(state[BlownSystem::flow]),
                        Pressure::from_value(system.jet_pressure_pa(state))});
    }
    return wave;
}

std::vector<Partial> partials_of(const std::vector<CyclePoint>& wave, Frequency pitch) {
    std::vector<double> flow_m3_s;
    for (const CyclePoint& point : wave) flow_m3_s.push_back(point.flow.value());
    std::vector<std::complex<double>> spectrum;
    Eigen::FFT<double> transform;
    transform.fwd(spectrum, flow_m3_s);
    std::vector<Partial> partials;
    double strongest = 0.0;
    for (std::size_t n = 1; n <= partial_count && n < spectrum.size() / 2; ++n) {
        // The change in time of the n-th partial is n times as strong.
        const double amplitude = static_cast<double>(n) * std::abs(spectrum[n]);
        strongest = std::max(strongest, amplitude);
        partials.push_back({static_cast<double>(n) * pitch, amplitude});
    }
    for (Partial& partial : partials) partial.amplitude /= strongest > 0.0 ? strongest : 1.0;
    return partials;
}

State started(const BlownSystem& system, double pressure_pa, double off_m) {
    State state = system.steady(pressure_pa);
    state[BlownSystem::height] += off_m;
    return state;
}

// How fast a swing of a given size grows, once the air has followed it.
double growth_of_swing(const BlownReed& reed, double pressure_pa, double swing_m) {
    constexpr std::size_t run_in = 8, measured = 8;
    const BlownSystem system(reed, {pressure_pa, pressure_pa});
    const auto rules = cycle_rules(reed, 1e-7, run_in + measured + 2.0);
    Follower follower(system, started(system, pressure_pa, swing_m), scales_of(system, reed, pressure_pa),
                      BlownSystem::height, BlownSystem::speed, rules);
    kernel::Cycle<State> first{}, last{};
    for (std::size_t i = 0; i < run_in; ++i)
        if (follower.next(first) != kernel::Turn::turned) return -1.0;
    for (std::size_t i = 0; i < measured; ++i)
        if (follower.next(last) != kernel::Turn::turned) return -1.0;
    return std::log(last.swing() / first.swing()) / (last.ends_s - first.ends_s);
}

bool some_swing_grows(const BlownReed& reed, double pressure_pa) {
    const double length_m = reed.opening.tongue_length().value();
    for (int size = 0; size < 13; ++size)
        if (growth_of_swing(reed, pressure_pa, 0.002 * std::pow(1.5, size) * length_m) > 0.0) return true;
    return false;
}

// From a deflection off the steady place.
Sounding sound_from(const BlownReed& reed, double pressure_pa, double off_share, const SoundingRules& rules) {
    const BlownSystem system(reed, {pressure_pa, pressure_pa});
    const State scales = scales_of(system, reed, pressure_pa);
    const double length_m = reed.opening.tongue_length().value();
    const State start = started(system, pressure_pa, off_share * length_m);
    const auto cycle_limits = cycle_rules(reed, rules.tolerance, static_cast<double>(rules.most_cycles));
    Follower follower(system, start, scales, BlownSystem::height, BlownSystem::speed, cycle_limits);
    Cycles cycles;
    kernel::SettleRules settle_rules{};
    settle_rules.most_cycles = rules.most_cycles;
    settle_rules.silent_swing_m = (rules.start == Start::plucked ? 1e-4 : 1e-7) * length_m;
    const kernel::Settled settled = kernel::settle(follower, cycles, settle_rules);

    Sounding result{};
    result.cycles = cycles.size();
    result.outcome = settled == kernel::Settled::steady   ? Outcome::sounds
                     : settled == kernel::Settled::silent ? Outcome::silent
                                                          : Outcome::unsteady;
    if (cycles.empty()) return result;
    const State& end = cycles.back().state;
    const double change_j = system.energy_j(end) - system.energy_j(start);
    result.energy_error = std::abs(change_j - end[BlownSystem::work_in] + end[BlownSystem::work_lost]) /
                          std::max(std::abs(end[BlownSystem::work_in]), 1e-300);
    if (result.outcome != Outcome::sounds) return result;

    const std::size_t span = 2 * settle_rules.window;
    const auto& first = cycles[cycles.size() - 1 - span];
    const auto& last = cycles.back();
    const double lasts_s = last.ends_s - first.ends_s;
    result.pitch = Frequency::from_value(static_cast<double>(span) / lasts_s);
    result.mean_flow =
        VolumeFlow::from_value((last.state[BlownSystem::volume] - first.state[BlownSystem::volume]) / lasts_s);
    result.swing = Length::from_value(last.swing());
    result.highest = Length::from_value(last.highest);
    result.lowest = Length::from_value(last.lowest);
    result.wave = wave_of(system, scales, last.state, 1.0 / result.pitch.value(), cycle_limits);
    result.partials = partials_of(result.wave, result.pitch);
    return result;
}

}  // namespace

Sounding sound(const BlownReed& reed, Pressure pressure, const SoundingRules& rules) {
    check_pressure(pressure);
    if (rules.start == Start::from_rest) return sound_from(reed, pressure.value(), rest_share, rules);
    const Sounding plucked = sound_from(reed, pressure.value(), pluck_share, rules);
    return plucked.outcome == Outcome::silent ? sound_from(reed, pressure.value(), hard_pluck_share, rules) : plucked;
}

std::optional<Interval> sounding_offset(const BlownReed& reed, Pressure pressure) {
    const Sounding sounding = sound(reed, pressure);
    if (sounding.outcome != Outcome::sounds) return std::nullopt;
    return interval_between(reed.natural(), sounding.pitch);
}

std::optional<Interval> sounding_offset(const Reed& reed, const Vibration& vibration, Pressure pressure) {
    return sounding_offset(blown_reed(reed, vibration), pressure);
}

Pressure pressure_kept_to(const BlownReed& reed, Pressure speaks_at) {
    double low_pa = speaks_at.value(), high_pa = highest_pressure.value();
    if (some_swing_grows(reed, high_pa)) return highest_pressure;
    while (high_pa / low_pa > 1.01) {
        const double middle_pa = std::sqrt(low_pa * high_pa);
        (some_swing_grows(reed, middle_pa) ? low_pa : high_pa) = middle_pa;
    }
    return Pressure::from_value(low_pa);
}

Pressure offset_pressure(const BlownReed& reed, Pressure threshold) {
    // Whether a swing grows over a few cycles is quick to tell, but may miss one that first shrinks; so the answer is
    // held against a pluck followed to its end, and sought with that where they differ.
    const auto grows = [&](double pressure_pa) { return some_swing_grows(reed, pressure_pa); };
    const auto stays = [&](double pressure_pa) {
        SoundingRules rules;
        rules.tolerance = 1e-7;
        rules.most_cycles = 1500;
        return sound(reed, Pressure::from_value(pressure_pa), rules).outcome == Outcome::sounds;
    };
    const auto lowest = [&](const auto& keeps, double known_pa) {
        double low_pa = 0.02 * threshold.value(), high_pa = known_pa;
        while (high_pa / low_pa > 1.005) {
            const double middle_pa = std::sqrt(low_pa * high_pa);
            (keeps(middle_pa) ? high_pa : low_pa) = middle_pa;
        }
        return high_pa;
    };
    constexpr double a_little_less = 0.97;
    double offset_pa = threshold.value();
    if (grows(a_little_less * offset_pa)) offset_pa = lowest(grows, a_little_less * offset_pa);
    if (stays(a_little_less * offset_pa)) offset_pa = lowest(stays, a_little_less * offset_pa);
    return Pressure::from_value(offset_pa);
}

}  // namespace reedwright
