#include "core/wind/reed_pair.hpp"

#include "core/wind/cycles.hpp"
#include "core/wind/pair_kernel.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

using kernel::PairSystem;
using State = PairSystem::State;
using Matrix = Eigen::Matrix<double, PairSystem::size, PairSystem::size>;

Matrix jacobian(const PairSystem& system) {
    const State& steady = system.steady();
    const double jet_m_s = system.jet_m_s(steady[PairSystem::cell]);
    const auto closing = system.closing().opening.at(steady[PairSystem::closing_height]);
    const auto opening = system.opening().opening.at(steady[PairSystem::opening_height]);
    Matrix matrix = Matrix::Zero();
    const auto reed = [&](const kernel::TongueInWind& tongue, const kernel::OpeningAt& gap, Eigen::Index height) {
        const auto speed = height + 1;
        matrix(height, speed) = 1.0;
        matrix(speed, height) = -tongue.stiffness_n_m / tongue.mass_kg;
        matrix(speed, speed) = -tongue.damping_kg_s / tongue.mass_kg;
        matrix(speed, PairSystem::cell) = tongue.sign * tongue.swept_m2 / tongue.mass_kg;
        matrix(PairSystem::cell, height) = -tongue.contraction * gap.slope_m * jet_m_s / system.cell_compliance();
        matrix(PairSystem::cell, speed) = -tongue.sign * tongue.swept_m2 / system.cell_compliance();
        matrix(PairSystem::cell, PairSystem::cell) -=
            tongue.contraction * gap.area_m2 / (system.air_kg_m3() * jet_m_s) / system.cell_compliance();
    };
    reed(system.closing(), closing, PairSystem::closing_height);
    reed(system.opening(), opening, PairSystem::opening_height);
    matrix(PairSystem::cell, PairSystem::flow) = 1.0 / system.cell_compliance();
    matrix(PairSystem::flow, PairSystem::cell) = -1.0 / system.inertance();
    matrix(PairSystem::flow, PairSystem::flow) = -system.resistance() / system.inertance();
    matrix(PairSystem::flow, PairSystem::tract) = 1.0 / system.inertance();
    matrix(PairSystem::tract, PairSystem::flow) = -1.0 / system.tract_compliance();
    return matrix;
}

// Roots of energies, in which an eigenvector tells whose its mode is.
Eigen::Matrix<double, PairSystem::size, 1> energy_scale(const PairSystem& system) {
    Eigen::Matrix<double, PairSystem::size, 1> scale;
    scale << std::sqrt(system.closing().stiffness_n_m), std::sqrt(system.closing().mass_kg),
        std::sqrt(system.opening().stiffness_n_m), std::sqrt(system.opening().mass_kg),
        std::sqrt(system.cell_compliance()), std::sqrt(system.inertance()), std::sqrt(system.tract_compliance());
    return scale;
}

struct Swings {
    double closing_m;
    double opening_m;
};

// Of both reeds over one more cycle.
Swings swings_over(const PairSystem& system, const State& from, const State& scales, double lasts_s,
                   const kernel::CycleRules& rules) {
    constexpr int looks = 256;
    kernel::CycleFollower<PairSystem, State> follower(system, from, scales, PairSystem::closing_height,
                                                      PairSystem::closing_speed, rules);
    State high = from, low = from;
    for (int i = 1; i <= looks; ++i) {
        State state;
        if (!follower.advance_to(lasts_s * i / looks, state)) break;
        for (std::size_t k = 0; k < state.size(); ++k) {
            high[k] = std::max(high[k], state[k]);
            low[k] = std::min(low[k], state[k]);
        }
    }
    const auto swing = [&](std::size_t k) { return 0.5 * (high[k] - low[k]); };
    return {swing(PairSystem::closing_height), swing(PairSystem::opening_height)};
}

}  // namespace

Frequency ReedPair::tract_resonance() const {
    const double per_length_2 = tract.section.value() / (tract.volume.value() * tract.length.value());
    return Frequency::from_value(closing.sound_speed.value() * std::sqrt(per_length_2) / (2.0 * std::numbers::pi));
}

PairModes pair_modes(const ReedPair& pair, Pressure pressure) {
    check_pressure(pressure);
    const PairSystem system(pair, pressure.value());
    const auto scale = energy_scale(system);
    const Matrix matrix = scale.asDiagonal() * jacobian(system) * scale.cwiseInverse().asDiagonal();
    const Eigen::EigenSolver<Matrix> solver(matrix);
    struct Candidate {
        WindMode mode;
        double closing;
        double opening;
    };
    std::vector<Candidate> candidates;
    for (Eigen::Index i = 0; i < matrix.rows(); ++i) {
        const auto value = solver.eigenvalues()(i);
        if (value.imag() <= 0.0) continue;
        const Eigen::Matrix<double, PairSystem::size, 1> energy = solver.eigenvectors().col(i).cwiseAbs2();
        const double all = energy.sum();
        const double closing = energy.segment<2>(PairSystem::closing_height).sum() / all;
        const double opening = energy.segment<2>(PairSystem::opening_height).sum() / all;
        candidates.push_back({{Rate::from_value(value.real()),
                               Frequency::from_value(value.imag() / (2.0 * std::numbers::pi)), closing + opening},
                              closing,
                              opening});
    }
    // The two that are most the reeds', and of these each to the reed that has the greater part in it.
    std::partial_sort(candidates.begin(), candidates.begin() + 2, candidates.end(),
                      [](const Candidate& a, const Candidate& b) { return a.mode.reed_share > b.mode.reed_share; });
    const Candidate &one = candidates[0], &other = candidates[1];
    const bool one_closes = one.closing * other.opening >= other.closing * one.opening;
    return one_closes ? PairModes{one.mode, other.mode} : PairModes{other.mode, one.mode};
}

PairSounding sound_pair(const ReedPair& pair, Pressure pressure, const SoundingRules& rules) {
    check_pressure(pressure);
    constexpr double pluck_share = 0.01, rest_share = 1e-5, steps_per_cycle = 20.0, most_steps_per_cycle = 1000.0;
    const PairSystem system(pair, pressure.value());
    const double length_m =
        std::min(pair.closing.opening.tongue_length().value(), pair.opening.opening.tongue_length().value());
    const double omega = std::max(system.closing().omega_1_s, system.opening().omega_1_s);
    State scales = system.steady();
    scales[PairSystem::closing_height] = scales[PairSystem::opening_height] = 0.01 * length_m;
    scales[PairSystem::closing_speed] = scales[PairSystem::opening_speed] = 0.01 * length_m * omega;
    State start = system.steady();
    const double off_m = (rules.start == Start::plucked ? pluck_share : rest_share) * length_m;
    start[PairSystem::closing_height] += off_m;
    start[PairSystem::opening_height] += off_m;
    const double cycle_s = 2.0 * std::numbers::pi / omega;
    const kernel::CycleRules cycle_rules{
        rules.tolerance, cycle_s / steps_per_cycle,
        static_cast<std::uint64_t>(most_steps_per_cycle * static_cast<double>(rules.most_cycles)), 10.0 * cycle_s};
    kernel::SettleRules settle_rules{};
    settle_rules.most_cycles = rules.most_cycles;
    settle_rules.silent_swing_m = 1e-2 * off_m;

    // The reed whose mode grows faster is followed; the other swings along.
    const PairModes modes = pair_modes(pair, pressure);
    PairSounding result{};
    result.speaker = modes.closing.growth > modes.opening.growth ? Speaker::closing : Speaker::opening;
    const bool closes = result.speaker == Speaker::closing;
    kernel::CycleFollower<PairSystem, State> follower(
        system, start, scales, closes ? PairSystem::closing_height : PairSystem::opening_height,
        closes ? PairSystem::closing_speed : PairSystem::opening_speed, cycle_rules);
    std::vector<kernel::Cycle<State>> cycles;
    const kernel::Settled settled = kernel::settle(follower, cycles, settle_rules);
    result.cycles = cycles.size();
    result.outcome = settled == kernel::Settled::steady   ? Outcome::sounds
                     : settled == kernel::Settled::silent ? Outcome::silent
                                                          : Outcome::unsteady;
    if (result.outcome != Outcome::sounds) return result;
    const std::size_t span = 2 * settle_rules.window;
    const auto &first = cycles[cycles.size() - 1 - span], &last = cycles.back();
    const double lasts_s = (last.ends_s - first.ends_s) / static_cast<double>(span);
    result.pitch = Frequency::from_value(1.0 / lasts_s);
    const Swings swings = swings_over(system, last.state, scales, lasts_s, cycle_rules);
    result.closing_swing = Length::from_value(swings.closing_m);
    result.opening_swing = Length::from_value(swings.opening_m);
    result.speaker = swings.closing_m > swings.opening_m ? Speaker::closing : Speaker::opening;
    return result;
}

}  // namespace reedwright
