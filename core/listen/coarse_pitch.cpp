#include "core/listen/coarse_pitch.hpp"

#include "core/listen/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace reedwright::kernel {

namespace {

constexpr double longest_piece_s = 0.3;
constexpr std::size_t most_pieces = 40;
constexpr std::size_t finer = 4;
// Of the highest maximum of the autocorrelation: a multiple of the period reaches it but for the noise.
constexpr double near_highest = 0.85;
// A line stands so far above the lower quartile of its surroundings: by chance one in 1e6 does.
constexpr double line_above_floor_db = 17.0;
constexpr double line_below_strongest_db = 60.0;
// Share of the lines, by their height above the floor, that the multiples of a pitch must carry.
constexpr double carried_share = 0.93;

struct Line {
    double frequency_hz;
    double weight;
};

struct Averages {
    std::vector<double> plain_power;
    std::vector<double> windowed_power;
    // Of the two stretches that overlap at each whole lag, summed.
    std::vector<double> overlap_energy;
    std::size_t piece = 0;
};

Averages average_pieces(std::span<const double> samples, double rate_hz, std::size_t longest_lag) {
    Averages averages;
    averages.piece = std::min(samples.size(), static_cast<std::size_t>(longest_piece_s * rate_hz));
    const std::size_t size = power_of_two_from(2 * averages.piece);
    averages.plain_power.assign(size / 2 + 1, 0.0);
    averages.windowed_power.assign(size / 2 + 1, 0.0);
    averages.overlap_energy.assign(longest_lag + 2, 0.0);
    const std::size_t room = samples.size() - averages.piece;
    const std::size_t pieces = std::min(most_pieces, 1 + 2 * room / averages.piece);
    std::vector<double> piece(averages.piece);
    for (std::size_t p = 0; p < pieces; ++p) {
        const std::size_t first = pieces > 1 ? room * p / (pieces - 1) : 0;
        double mean = 0.0;
        for (std::size_t i = 0; i < averages.piece; ++i) mean += samples[first + i];
        mean /= static_cast<double>(averages.piece);
        double energy = 0.0;
        for (std::size_t i = 0; i < averages.piece; ++i) {
            piece[i] = samples[first + i] - mean;
            energy += piece[i] * piece[i];
        }
        const auto plain = power_spectrum(piece, size, Window::none);
        const auto windowed = power_spectrum(piece, size, Window::blackman_harris);
        for (std::size_t i = 0; i < plain.size(); ++i) {
            averages.plain_power[i] += plain[i];
            averages.windowed_power[i] += windowed[i];
        }
        double overlap = 2.0 * energy;
        for (std::size_t lag = 0; lag < averages.overlap_energy.size(); ++lag) {
            averages.overlap_energy[lag] += overlap;
            const double head = piece[lag];
            const double tail = piece[averages.piece - 1 - lag];
            overlap -= head * head + tail * tail;
        }
    }
    return averages;
}

// Maxima of a parabola through three neighbours: place in steps from the middle one, and height.
struct Vertex {
    double place;
    double height;
};
Vertex vertex(double before, double here, double after) {
    const double curve = before - 2.0 * here + after;
    if (curve >= 0.0) return {0.0, here};
    const double place = 0.5 * (before - after) / curve;
    return {place, here - 0.25 * (before - after) * place};
}

// The lines that stand out of the noise, with their heights above its floor in decibels.
std::vector<Line> lines_of(const Averages& averages, double rate_hz) {
    const std::vector<double>& power = averages.windowed_power;
    const double step_hz = rate_hz / (2.0 * static_cast<double>(power.size() - 1));
    const double strongest = *std::max_element(power.begin(), power.end());
    // The floor is the lower quartile around: wide enough to hold some harmonics and what lies between.
    constexpr double reach_hz = 250.0;
    const auto reach = static_cast<std::size_t>(reach_hz / step_hz);
    const std::size_t stride = std::max<std::size_t>(1, reach / 4);
    std::vector<double> floors;
    std::vector<double> around;
    for (std::size_t centre = 0; centre < power.size(); centre += stride) {
        const std::size_t from = centre > reach ? centre - reach : 0;
        const std::size_t to = std::min(power.size(), centre + reach + 1);
        around.assign(power.begin() + static_cast<std::ptrdiff_t>(from),
                      power.begin() + static_cast<std::ptrdiff_t>(to));
        const auto quartile = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 4);
        std::nth_element(around.begin(), quartile, around.end());
        floors.push_back(*quartile);
    }
    const double least = strongest * std::pow(10.0, -line_below_strongest_db / 10.0);
    const auto lobe = static_cast<std::size_t>(2.0 * rate_hz / static_cast<double>(averages.piece) / step_hz);
    std::vector<Line> lines;
    for (std::size_t i = 1; i + 1 < power.size(); ++i) {
        if (power[i] < least || power[i] <= power[i - 1] || power[i] < power[i + 1]) continue;
        // Noise notches a line's lobe: of its maxima the highest alone is the line.
        const std::size_t lobe_from = i > lobe ? i - lobe : 0;
        const std::size_t lobe_to = std::min(power.size(), i + lobe + 1);
        const auto lobe_top = std::max_element(power.begin() + static_cast<std::ptrdiff_t>(lobe_from),
                                               power.begin() + static_cast<std::ptrdiff_t>(lobe_to));
        if (*lobe_top > power[i]) continue;
        const double floor = std::max(floors[i / stride], 1e-3 * least);
        const double above_db = 10.0 * std::log10(power[i] / floor);
        if (above_db < line_above_floor_db) continue;
        const Vertex top = vertex(std::log(power[i - 1]), std::log(power[i]), std::log(power[i + 1]));
        lines.push_back({(static_cast<double>(i) + top.place) * step_hz, above_db - line_above_floor_db + 3.0});
    }
    return lines;
}

// A pitch brought onto the lines, from the lowest up: each is near enough to a multiple of what the lower ones say to
// be numbered, and then says more itself.
double brought_onto(const std::vector<Line>& lines, double pitch_hz, double resolution_hz) {
    double above = 0.0;
    double below = 0.0;
    double refined_hz = pitch_hz;
    for (const Line& line : lines) {
        const double number = std::round(line.frequency_hz / refined_hz);
        if (number < 1.0) continue;
        const double allowed_hz =
            std::min(resolution_hz + (below > 0.0 ? 0.001 : 0.01) * line.frequency_hz, 0.3 * refined_hz);
        if (std::abs(line.frequency_hz - number * refined_hz) > allowed_hz) continue;
        above += line.weight * number * line.frequency_hz;
        below += line.weight * number * number;
        refined_hz = above / below;
    }
    return std::abs(refined_hz - pitch_hz) < 0.02 * pitch_hz ? refined_hz : pitch_hz;
}

// The number of the harmonic that a line is of a pitch; 0 for none. The slack for a pitch that drifts grows with it.
std::size_t number_of(const Line& line, double pitch_hz, double resolution_hz) {
    const double number = std::round(line.frequency_hz / pitch_hz);
    const double allowed_hz = std::min(0.75 * resolution_hz + 2e-3 * line.frequency_hz, 0.3 * pitch_hz);
    const bool near = number >= 1.0 && std::abs(line.frequency_hz - number * pitch_hz) <= allowed_hz;
    return near ? static_cast<std::size_t>(number) : 0;
}

double share_carried(const std::vector<Line>& lines, double pitch_hz, double resolution_hz) {
    double all = 0.0;
    double carried = 0.0;
    for (const Line& line : lines) {
        all += line.weight;
        if (number_of(line, pitch_hz, resolution_hz) > 0) carried += line.weight;
    }
    return all > 0.0 ? carried / all : 1.0;
}

// Whether lines speak for a pitch below another: two that it carries and the other does not, or one low harmonic. A
// single line higher up may be near one of many multiples by chance.
bool is_deeper(const std::vector<Line>& lines, double pitch_hz, double other_hz, double resolution_hz) {
    std::size_t more = 0;
    for (const Line& line : lines) {
        const std::size_t number = number_of(line, pitch_hz, resolution_hz);
        if (number == 0 || number_of(line, other_hz, resolution_hz) > 0) continue;
        more += number <= 3 ? 2 : 1;
    }
    return more >= 2;
}

}  // namespace

CoarsePitch coarse_pitch(std::span<const double> samples, double rate_hz, double lowest_hz, double highest_hz) {
    const auto longest_lag = static_cast<std::size_t>(std::ceil(rate_hz / lowest_hz));
    if (samples.size() < 3 * longest_lag) return {};
    const Averages averages = average_pieces(samples, rate_hz, longest_lag);
    const auto correlation = autocorrelation(averages.plain_power, finer, finer * (longest_lag + 1));
    const auto likeness = [&](std::size_t i) {
        const std::size_t whole = i / finer;
        const double part = static_cast<double>(i % finer) / static_cast<double>(finer);
        const double energy = (1.0 - part) * averages.overlap_energy[whole] + part * averages.overlap_energy[whole + 1];
        return energy > 0.0 ? 2.0 * correlation[i] / energy : 0.0;
    };

    std::vector<CoarsePitch> proposed;
    const auto first = static_cast<std::size_t>(rate_hz / highest_hz * static_cast<double>(finer));
    double before = likeness(first);
    double here = likeness(first + 1);
    for (std::size_t i = first + 1; i + 1 < correlation.size(); ++i) {
        const double after = likeness(i + 1);
        if (here > before && here >= after && here > 0.0) {
            const Vertex top = vertex(before, here, after);
            proposed.push_back(
                {rate_hz * static_cast<double>(finer) / (static_cast<double>(i) + top.place), top.height});
        }
        before = here;
        here = after;
    }
    if (proposed.empty()) return {};
    double highest = 0.0;
    for (const CoarsePitch& one : proposed) highest = std::max(highest, one.periodicity);
    std::erase_if(proposed, [&](const CoarsePitch& one) { return one.periodicity < near_highest * highest; });

    const std::vector<Line> lines = lines_of(averages, rate_hz);
    const double resolution_hz = rate_hz / static_cast<double>(averages.piece);
    // The first period that repeats well: what is heard where nothing carries the lines (a plucked tongue's second
    // mode, a second sound).
    const CoarsePitch plain = *std::find_if(proposed.begin(), proposed.end(),
                                            [&](const CoarsePitch& one) { return one.periodicity >= 0.95 * highest; });
    for (const CoarsePitch& one : proposed) {
        const double pitch_hz = brought_onto(lines, one.frequency_hz, resolution_hz);
        if (share_carried(lines, pitch_hz, resolution_hz) < carried_share) continue;
        if (pitch_hz > 0.9 * plain.frequency_hz || is_deeper(lines, pitch_hz, plain.frequency_hz, resolution_hz))
            return {pitch_hz, one.periodicity};
    }
    return plain;
}

}  // namespace reedwright::kernel
