#include "core/listen/heard_pitch.hpp"

#include "core/listen/beating.hpp"
#include "core/listen/coarse_pitch.hpp"
#include "core/listen/phase_fit.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double quietest_rms = 1e-4;
constexpr double least_periodicity = 0.35;
constexpr double shortest_s = 0.02;
constexpr std::size_t most_harmonics = 32;
constexpr double longest_block_s = 0.1;
constexpr double most_blocks_wished = 24.0;
constexpr double search_reach = 0.004;
constexpr double least_agreeing = 0.8;
constexpr double worst_uncertainty_cents = 6.0;

using Samples = std::span<const double>;
using Failure = tl::unexpected<Refusal>;

Failure refuse(NotHeard reason, std::string sentence) {
    return Failure(Refusal{reason, std::move(sentence), std::nullopt, std::nullopt});
}

double root_mean_square(Samples samples) {
    double mean = 0.0;
    for (const double x : samples) mean += x;
    mean /= static_cast<double>(samples.size());
    double square = 0.0;
    for (const double x : samples) square += (x - mean) * (x - mean);
    return std::sqrt(square / static_cast<double>(samples.size()));
}

struct Stretch {
    std::size_t first;
    std::size_t count;
};

// The longest stretch in which no silence (26 dB below the loud parts) lasts longer than a slow beat's.
Stretch sounding_stretch(Samples samples, double rate_hz) {
    const auto frame = std::max<std::size_t>(1, static_cast<std::size_t>(0.01 * rate_hz));
    const std::size_t frames = samples.size() / frame;
    if (frames < 4) return {0, samples.size()};
    std::vector<double> loudness(frames);
    for (std::size_t i = 0; i < frames; ++i) loudness[i] = root_mean_square(samples.subspan(i * frame, frame));
    std::vector<double> sorted = loudness;
    const auto loud = sorted.begin() + static_cast<std::ptrdiff_t>(frames * 9 / 10);
    std::nth_element(sorted.begin(), loud, sorted.end());
    // A short sound in a long silence: its loudest frame counts.
    const double reference = std::max(*loud, 0.5 * *std::max_element(loudness.begin(), loudness.end()));
    constexpr std::size_t longest_gap_frames = 30;
    std::size_t best_first = 0;
    std::size_t best_end = 0;
    std::size_t first = 0;
    std::size_t end = 0;
    for (std::size_t i = 0; i < frames; ++i) {
        if (loudness[i] < 0.05 * reference) continue;
        if (end == 0 || i - end > longest_gap_frames) first = i;
        end = i + 1;
        if (end - first > best_end - best_first) {
            best_first = first;
            best_end = end;
        }
    }
    const bool to_the_end = best_end == frames;
    return {best_first * frame, (to_the_end ? samples.size() : best_end * frame) - best_first * frame};
}

// An even number of periods per block: some 24 blocks, of at least 8 periods (4 in a short sound), at most 0.1 s.
std::size_t periods_per_block(double duration_s, double pitch_hz) {
    const double periods = duration_s * pitch_hz;
    const double wished = std::min(periods / most_blocks_wished, 24.0);
    const double most = std::max(4.0, longest_block_s * pitch_hz);
    const double least = periods >= 80.0 ? 8.0 : 4.0;
    const double taken = std::clamp(wished, least, std::max(least, most));
    return 2 * static_cast<std::size_t>(taken / 2.0);
}

// Power of the harmonics over that of the noise between them, from half the pitch to half above the highest harmonic.
double above_noise_db(const kernel::PhaseFit& fit, const kernel::HarmonicBlocks& blocks) {
    // A Hann window hears a band of 1.5 over its length; each half-way place stands for a band of one pitch.
    const double bands = fit.pitch_hz * blocks.step_s / 1.5;
    double harmonics = 0.0;
    double noise = 0.0;
    for (std::size_t k = 0; k < fit.harmonics.size(); ++k) {
        const double amplitude = fit.harmonics[k].amplitude;
        if (fit.harmonics[k].heard) harmonics += amplitude * amplitude;
        noise += bands * blocks.noise_power[k];
    }
    return 10.0 * std::log10(harmonics / std::max(noise, 1e-10 * harmonics));
}

// Whether the heard harmonics are those of two or three notes in whole-number ratios, which repeat together: all are
// multiples of two or three among them, and many numbers between are missing.
bool is_chord(const std::vector<HeardHarmonic>& table) {
    std::vector<std::size_t> roots;
    std::size_t missing = 0;
    for (const HeardHarmonic& harmonic : table) {
        const bool multiple =
            std::any_of(roots.begin(), roots.end(), [&](std::size_t root) { return harmonic.number % root == 0; });
        if (harmonic.off && !multiple) roots.push_back(harmonic.number);
        if (!harmonic.off && !multiple && !roots.empty()) ++missing;
    }
    return (roots.size() == 2 || roots.size() == 3) && roots.front() > 1 && missing >= 3;
}

std::vector<HeardHarmonic> table_of(const kernel::PhaseFit& fit) {
    double strongest = 0.0;
    std::size_t highest = 0;
    for (std::size_t i = 0; i < fit.harmonics.size(); ++i) {
        if (!fit.harmonics[i].heard) continue;
        strongest = std::max(strongest, fit.harmonics[i].amplitude);
        highest = i + 1;
    }
    std::vector<HeardHarmonic> table;
    for (std::size_t i = 0; i < highest; ++i) {
        const kernel::HarmonicFit& one = fit.harmonics[i];
        HeardHarmonic heard{one.number, 20.0 * std::log10(std::max(one.amplitude / strongest, 1e-9)), {}, {}, one.used};
        if (one.heard) {
            heard.off = one.off_cents * cent;
            heard.off_uncertainty = one.off_uncertainty_cents * cent;
        }
        table.push_back(heard);
    }
    return table;
}

Failure two_reeds(const kernel::Beating& beating) {
    return Failure(
        Refusal{NotHeard::two_reeds,
                fmt::format("two reeds sound together, near {:.2f} and {:.2f} Hz, {:.2f} beats per second; "
                            "mute one and listen to each alone",
                            beating.strong_hz, beating.weak_hz, std::abs(beating.strong_hz - beating.weak_hz)),
                beating.strong_hz * hertz, beating.weak_hz * hertz});
}

}  // namespace

tl::expected<HeardPitch, Refusal> heard_pitch(std::span<const double> samples, Frequency sample_rate) {
    const double rate_hz = sample_rate.value();
    if (!(rate_hz > 0.0)) throw std::invalid_argument("a sample rate must be positive");
    for (const double x : samples)
        if (!std::isfinite(x)) throw std::invalid_argument("a sample is not a number");
    const auto seconds = [&](std::size_t count) { return static_cast<double>(count) / rate_hz; };
    if (seconds(samples.size()) < shortest_s)
        return refuse(NotHeard::too_short, fmt::format("{:.3g} ms are too short to tell a pitch; at least 24 periods "
                                                       "are needed",
                                                       1e3 * seconds(samples.size())));
    if (root_mean_square(samples) < quietest_rms)
        return refuse(NotHeard::too_quiet, "too quiet to tell a pitch, 80 dB or more below full scale");

    const Stretch stretch = sounding_stretch(samples, rate_hz);
    const Samples sound = samples.subspan(stretch.first, stretch.count);
    // A short sound is searched only down to the pitch of which it holds enough.
    const double lowest_hz = std::max(lowest_heard.value(), 6.0 / seconds(sound.size()));
    const double highest_hz = std::min(highest_heard.value(), rate_hz / 6.0);
    if (lowest_hz >= highest_hz)
        return refuse(NotHeard::too_short, "the sound is too short, or sampled too slowly, to tell a pitch");
    const kernel::CoarsePitch coarse = kernel::coarse_pitch(sound, rate_hz, lowest_hz, highest_hz);
    if (coarse.frequency_hz <= 0.0 || coarse.periodicity < least_periodicity)
        return refuse(NotHeard::noise, "no pitch is heard: noise, or nothing that repeats steadily");
    if (const auto beating = kernel::find_beating(sound, rate_hz, coarse.frequency_hz)) return two_reeds(*beating);

    const std::size_t periods = periods_per_block(seconds(sound.size()), coarse.frequency_hz);
    if (seconds(sound.size()) * coarse.frequency_hz < 6.0 * static_cast<double>(periods))
        return refuse(NotHeard::too_short,
                      fmt::format("{:.3g} s are too short for a pitch near {:.0f} Hz; at least {:.2g} s are needed",
                                  seconds(sound.size()), coarse.frequency_hz, 24.5 / coarse.frequency_hz));
    double pitch_hz = coarse.frequency_hz;
    double reach = search_reach;
    kernel::HarmonicBlocks blocks;
    for (int pass = 0; pass < 2; ++pass) {
        blocks = kernel::harmonic_blocks(sound, rate_hz, pitch_hz, periods, most_harmonics);
        pitch_hz = kernel::advanced_pitch(blocks, reach);
        reach *= 0.25;
    }
    blocks = kernel::harmonic_blocks(sound, rate_hz, pitch_hz, periods, most_harmonics);
    const kernel::PhaseFit fit = kernel::fit_phases(blocks);
    if (fit.first == fit.end || 2 * (fit.end - fit.first) < blocks.blocks()) {
        if (coarse.periodicity < 0.6)
            return refuse(NotHeard::noise, "no pitch is heard: noise, or nothing that repeats steadily");
        return refuse(NotHeard::unsteady,
                      fmt::format("no steady pitch: it moves about by more than 10 cents near {:.0f} Hz", pitch_hz));
    }
    if (fit.agreeing_share < least_agreeing)
        return refuse(NotHeard::not_harmonic,
                      fmt::format("the partials near {:.0f} Hz belong to no single pitch: more than one reed, or "
                                  "another sound beside it",
                                  pitch_hz));
    if (fit.uncertainty_cents > worst_uncertainty_cents)
        return refuse(NotHeard::unsteady, fmt::format("no steady pitch: near {:.0f} Hz it is uncertain by {:.0f} cents",
                                                      fit.pitch_hz, fit.uncertainty_cents));
    const std::vector<HeardHarmonic> table = table_of(fit);
    if (is_chord(table))
        return refuse(NotHeard::not_harmonic,
                      fmt::format("the partials are those of several notes that repeat together {:.1f} times a second: "
                                  "more than one reed",
                                  fit.pitch_hz));
    const double from_s = seconds(stretch.first) + blocks.middle_s[fit.first] - 0.5 * blocks.step_s;
    const double to_s = seconds(stretch.first) + blocks.middle_s[fit.end - 1] + 0.5 * blocks.step_s;
    return HeardPitch{fit.pitch_hz * hertz,       fit.uncertainty_cents * cent, from_s * second, to_s * second,
                      fit.wandering_cents * cent, above_noise_db(fit, blocks),  table_of(fit)};
}

}  // namespace reedwright
