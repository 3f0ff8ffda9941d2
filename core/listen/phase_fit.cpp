#include "core/listen/phase_fit.hpp"

#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>
#include <numeric>
#include <span>

namespace reedwright::kernel {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double cents_per_share = 1200.0 / std::numbers::ln2;
// A harmonic is clear of the noise when its mean power is so many times that.
constexpr double clear_of_noise = 10.0;
constexpr std::size_t fewest_blocks = 6;
constexpr double steady_cents = 10.0;
// The arithmetic's own error (rounded samples, leakage between harmonics) is below this.
constexpr double least_uncertainty_cents = 0.001;
// Noise assumed at least, as a share of the sound's power: keeps a noiseless harmonic from an endless weight.
constexpr double least_noise_share = 1e-9;

double wrapped(double phase) {
    return phase - turn * std::round(phase / turn);
}

double student(std::size_t degrees) {
    return boost::math::quantile(boost::math::students_t(static_cast<double>(degrees)), 0.975);
}

// One harmonic clear of the noise: phases unwrapped, and weights |a|^2 / noise = 1 / (2 variance).
struct Track {
    std::size_t number;
    std::vector<double> phase;
    std::vector<double> weight;
    bool used = true;
};

double mean_power(std::span<const std::complex<double>> amplitudes) {
    double sum = 0.0;
    for (const auto& a : amplitudes) sum += std::norm(a);
    return sum / static_cast<double>(amplitudes.size());
}

std::vector<Track> clear_tracks(const HarmonicBlocks& blocks) {
    double all_power = 0.0;
    for (const auto& amplitudes : blocks.amplitude) all_power += mean_power(amplitudes);
    std::vector<Track> tracks;
    for (std::size_t k = 0; k < blocks.harmonics(); ++k) {
        const double noise = blocks.noise_power[k] + least_noise_share * all_power;
        if (mean_power(blocks.amplitude[k]) < (1.0 + clear_of_noise) * noise) continue;
        Track track{k + 1, {}, {}};
        for (const auto& a : blocks.amplitude[k]) {
            track.phase.push_back(std::arg(a));
            track.weight.push_back(std::norm(a) / noise);
        }
        tracks.push_back(std::move(track));
    }
    return tracks;
}

// The common shift of time, in cycles of the fundamental, and its weight 1 / (2 variance in radians).
struct CommonShift {
    std::vector<double> cycles;
    std::vector<double> weight;
};

// Unwraps harmonic after harmonic from the lowest, each against what the lower ones have said.
CommonShift unwrap(std::vector<Track>& tracks, std::size_t blocks) {
    CommonShift shift{std::vector<double>(blocks, 0.0), std::vector<double>(blocks, 0.0)};
    std::vector<double> sum(blocks, 0.0);
    for (Track& track : tracks) {
        const auto number = static_cast<double>(track.number);
        double last = wrapped(track.phase[0]);
        double mean = 0.0;
        double weights = 0.0;
        std::vector<double> beyond(blocks);
        for (std::size_t m = 0; m < blocks; ++m) {
            const double foreseen = number * turn * shift.cycles[m];
            last += wrapped(track.phase[m] - foreseen - last);
            beyond[m] = last;
            mean += track.weight[m] * last;
            weights += track.weight[m];
        }
        mean /= weights;
        for (std::size_t m = 0; m < blocks; ++m) {
            track.phase[m] = beyond[m] + number * turn * shift.cycles[m];
            sum[m] += track.weight[m] * number * (track.phase[m] - mean);
            shift.weight[m] += track.weight[m] * number * number;
        }
        for (std::size_t m = 0; m < blocks; ++m) shift.cycles[m] = sum[m] / (turn * shift.weight[m]);
    }
    return shift;
}

struct Run {
    std::size_t first = 0;
    std::size_t end = 0;
    std::size_t size() const { return end - first; }
};

// The longest run of blocks between which the pitch stays near its median.
Run steady_run(const CommonShift& shift, double step_cycles) {
    const std::size_t steps = shift.cycles.size() - 1;
    std::vector<double> cents(steps);
    std::vector<double> allowed(steps);
    for (std::size_t m = 0; m < steps; ++m) {
        cents[m] = cents_per_share * (shift.cycles[m + 1] - shift.cycles[m]) / step_cycles;
        const double variance = 0.5 / shift.weight[m] + 0.5 / shift.weight[m + 1];
        allowed[m] = std::max(steady_cents, 4.0 * cents_per_share * std::sqrt(variance) / (turn * step_cycles));
    }
    std::vector<double> sorted = cents;
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(steps / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    Run best;
    Run run;
    for (std::size_t m = 0; m < steps; ++m) {
        if (std::abs(cents[m] - *middle) > allowed[m]) {
            run = {m + 1, m + 1};
            continue;
        }
        run.end = m + 2;
        if (run.size() > best.size()) best = run;
    }
    return best;
}

struct Line {
    double slope;     // shift of the pitch in hertz
    double variance;  // of the slope, where the weights are 1 / (2 variance)
};

// The common slope of all tracks over a run, each with its own constant.
Line common_slope(const std::vector<Track>& tracks, const std::vector<double>& time_s, Run run) {
    double above = 0.0;
    double below = 0.0;
    for (const Track& track : tracks) {
        if (!track.used) continue;
        double weights = 0.0;
        double mean_time = 0.0;
        for (std::size_t m = run.first; m < run.end; ++m) {
            weights += track.weight[m];
            mean_time += track.weight[m] * time_s[m];
        }
        mean_time /= weights;
        const double rate = turn * static_cast<double>(track.number);
        for (std::size_t m = run.first; m < run.end; ++m) {
            const double lever = rate * (time_s[m] - mean_time);
            above += track.weight[m] * lever * track.phase[m];
            below += track.weight[m] * lever * lever;
        }
    }
    return {above / below, 0.5 / below};
}

// What a track leaves after the common slope and its own constant.
std::vector<double> residuals(const Track& track, const std::vector<double>& time_s, Run run, double slope) {
    std::vector<double> left(run.size());
    const double rate = turn * static_cast<double>(track.number) * slope;
    double mean = 0.0;
    double weights = 0.0;
    for (std::size_t i = 0; i < left.size(); ++i) {
        const std::size_t m = run.first + i;
        left[i] = track.phase[m] - rate * time_s[m];
        mean += track.weight[m] * left[i];
        weights += track.weight[m];
    }
    for (double& value : left) value -= mean / weights;
    return left;
}

struct Scatter {
    // Of the blocks' common shift against what the noise alone would leave: a factor on the variances.
    double factor = 0.0;
    // Per block, in radians of the fundamental.
    std::vector<double> common;
};

Scatter scatter_of(const std::vector<Track>& tracks, const std::vector<double>& time_s, Run run, double slope) {
    Scatter scatter{0.0, std::vector<double>(run.size(), 0.0)};
    std::vector<double> weights(run.size(), 0.0);
    for (const Track& track : tracks) {
        if (!track.used) continue;
        const auto number = static_cast<double>(track.number);
        const auto left = residuals(track, time_s, run, slope);
        for (std::size_t i = 0; i < left.size(); ++i) {
            const double weight = track.weight[run.first + i];
            scatter.common[i] += weight * number * left[i];
            weights[i] += weight * number * number;
        }
    }
    for (std::size_t i = 0; i < run.size(); ++i) {
        scatter.common[i] /= weights[i];
        scatter.factor += 2.0 * weights[i] * scatter.common[i] * scatter.common[i];
    }
    scatter.factor /= static_cast<double>(run.size() - 2);
    return scatter;
}

struct Wandering {
    // Highest less lowest slope of the parts.
    double range_hz = 0.0;
    // What the mean is uncertain by, beyond what the scatter within the parts explains.
    double expanded_hz = 0.0;
};

// Thirds or quarters of the run, each fitted alone. Two parts would say too little.
Wandering wandering_of(const std::vector<Track>& tracks, const std::vector<double>& time_s, Run run) {
    const std::size_t parts = run.size() >= 24 ? 4 : run.size() >= 12 ? 3 : 0;
    if (parts == 0) return {};
    const auto count = static_cast<double>(parts);
    std::vector<double> slopes;
    double variances = 0.0;
    double squares = 0.0;
    for (std::size_t p = 0; p < parts; ++p) {
        const Run part{run.first + run.size() * p / parts, run.first + run.size() * (p + 1) / parts};
        const Line line = common_slope(tracks, time_s, part);
        slopes.push_back(line.slope);
        variances += line.variance / count;
        squares += scatter_of(tracks, time_s, part, line.slope).factor * static_cast<double>(part.size() - 2);
    }
    const auto degrees = static_cast<double>(run.size() - 2 * parts);
    const double foreseen = variances * squares / degrees;
    const double mean = std::accumulate(slopes.begin(), slopes.end(), 0.0) / count;
    double variance = 0.0;
    for (const double slope : slopes) variance += (slope - mean) * (slope - mean) / (count - 1.0);
    const auto [lowest, highest] = std::minmax_element(slopes.begin(), slopes.end());
    Wandering wandering{*highest - *lowest, 0.0};
    if (variance > foreseen * boost::math::quantile(boost::math::fisher_f(count - 1.0, degrees), 0.99))
        wandering.expanded_hz = student(parts - 1) * std::sqrt((variance - foreseen) / count);
    return wandering;
}

// A harmonic's own slope beside the common one, its expanded uncertainty from its own scatter.
void fit_own(HarmonicFit& fit, const Track& track, const std::vector<double>& time_s, Run run, double slope,
             const Scatter& scatter, double pitch_hz) {
    auto left = residuals(track, time_s, run, slope);
    const auto number = static_cast<double>(track.number);
    double weights = 0.0;
    double mean_time = 0.0;
    for (std::size_t i = 0; i < left.size(); ++i) {
        left[i] -= number * scatter.common[i];
        weights += track.weight[run.first + i];
        mean_time += track.weight[run.first + i] * time_s[run.first + i];
    }
    mean_time /= weights;
    double above = 0.0;
    double below = 0.0;
    for (std::size_t i = 0; i < left.size(); ++i) {
        const double lever = turn * number * (time_s[run.first + i] - mean_time);
        above += track.weight[run.first + i] * lever * left[i];
        below += track.weight[run.first + i] * lever * lever;
    }
    const double own = above / below;
    double square = 0.0;
    for (std::size_t i = 0; i < left.size(); ++i) {
        const double rest = left[i] - turn * number * own * (time_s[run.first + i] - mean_time);
        square += track.weight[run.first + i] * rest * rest;
    }
    const std::size_t degrees = run.size() - 2;
    const double to_cents = cents_per_share / pitch_hz;
    fit.off_cents = to_cents * own;
    fit.off_uncertainty_cents =
        to_cents * student(degrees) * std::sqrt(square / (static_cast<double>(degrees) * below));
}

}  // namespace

double advanced_pitch(const HarmonicBlocks& blocks, double reach) {
    if (blocks.blocks() < 2 || blocks.harmonics() == 0) return blocks.pitch_hz;
    // Products of neighbouring blocks turn by the advance of the phase; over all harmonics they add up in step only at
    // the true one.
    std::vector<std::complex<double>> advance(blocks.harmonics());
    for (std::size_t k = 0; k < advance.size(); ++k) {
        const double noise = blocks.noise_power[k] + 1e-6 * mean_power(blocks.amplitude[k]) + 1e-300;
        for (std::size_t m = 0; m + 1 < blocks.blocks(); ++m)
            advance[k] += blocks.amplitude[k][m + 1] * std::conj(blocks.amplitude[k][m]);
        advance[k] /= noise;
        advance[k] /= std::sqrt(std::abs(advance[k]) + 1.0);  // no single harmonic decides
    }
    const double reach_hz = reach * blocks.pitch_hz;
    const double step_hz = 0.05 / (static_cast<double>(blocks.harmonics()) * blocks.step_s);
    const auto steps = static_cast<int>(std::ceil(reach_hz / step_hz));
    double best = -1.0;
    double best_hz = 0.0;
    for (int i = -steps; i <= steps; ++i) {
        const double shift_hz = step_hz * i;
        double sum = 0.0;
        for (std::size_t k = 0; k < advance.size(); ++k) {
            const double phase = turn * static_cast<double>(k + 1) * shift_hz * blocks.step_s;
            sum += advance[k].real() * std::cos(phase) + advance[k].imag() * std::sin(phase);
        }
        if (sum > best) {
            best = sum;
            best_hz = shift_hz;
        }
    }
    return blocks.pitch_hz + best_hz;
}

PhaseFit fit_phases(const HarmonicBlocks& blocks) {
    PhaseFit fit;
    fit.pitch_hz = blocks.pitch_hz;
    for (std::size_t k = 0; k < blocks.harmonics(); ++k)
        if (blocks.blocks() > 0) fit.harmonics.push_back({k + 1, std::sqrt(mean_power(blocks.amplitude[k]))});
    if (blocks.blocks() < fewest_blocks) return fit;
    std::vector<Track> tracks = clear_tracks(blocks);
    if (tracks.empty()) return fit;
    const CommonShift shift = unwrap(tracks, blocks.blocks());
    const Run run = steady_run(shift, blocks.step_s * blocks.pitch_hz);
    if (run.size() < fewest_blocks) return fit;
    fit.first = run.first;
    fit.end = run.end;
    for (HarmonicFit& one : fit.harmonics)
        one.amplitude =
            std::sqrt(mean_power(std::span(blocks.amplitude[one.number - 1]).subspan(run.first, run.size())));

    // Twice: once to find the harmonics that go their own way, then without them.
    Line line{};
    Scatter scatter;
    double all_weight = 0.0;
    double agreeing = 0.0;
    double all_power = 0.0;
    double agreeing_power = 0.0;
    for (int pass = 0; pass < 2; ++pass) {
        line = common_slope(tracks, blocks.middle_s, run);
        scatter = scatter_of(tracks, blocks.middle_s, run, line.slope);
        fit.pitch_hz = blocks.pitch_hz + line.slope;
        for (Track& track : tracks) {
            HarmonicFit& own = fit.harmonics[track.number - 1];
            own.heard = true;
            fit_own(own, track, blocks.middle_s, run, line.slope, scatter, fit.pitch_hz);
            if (pass > 0) continue;
            track.used = std::abs(own.off_cents) < std::max(0.3, 2.0 * own.off_uncertainty_cents);
            const auto number = static_cast<double>(track.number);
            const double weight = number * number * std::accumulate(track.weight.begin(), track.weight.end(), 0.0);
            const double power = own.amplitude * own.amplitude;
            all_weight += weight;
            all_power += power;
            if (!track.used) continue;
            agreeing += weight;
            agreeing_power += power;
        }
        if (agreeing == 0.0) break;
    }
    fit.agreeing_share = std::min(agreeing / all_weight, agreeing_power / all_power);
    if (agreeing == 0.0) return fit;
    for (const Track& track : tracks) fit.harmonics[track.number - 1].used = track.used;

    const double to_cents = cents_per_share / fit.pitch_hz;
    const double by_scatter = student(run.size() - 2) * std::sqrt(scatter.factor * line.variance) * to_cents;
    const Wandering wandering = wandering_of(tracks, blocks.middle_s, run);
    fit.wandering_cents = wandering.range_hz * to_cents;
    const double by_wandering = wandering.expanded_hz * to_cents;
    fit.uncertainty_cents = std::max(least_uncertainty_cents, std::hypot(by_scatter, by_wandering));
    return fit;
}

}  // namespace reedwright::kernel
