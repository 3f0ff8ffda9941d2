#include "core/listen/beating.hpp"

#include "core/listen/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace reedwright::kernel {

namespace {

constexpr double longest_s = 4.0;
constexpr std::size_t most_harmonics = 12;
constexpr double farthest_share = 0.0595;  // 100 cents
constexpr double least_ratio = 0.1;
constexpr double fewest_bins_apart = 3.0;

struct Peak {
    double frequency_hz;
    double power;
};

// A pair of lines at one harmonic, brought down to the fundamental.
struct Pair {
    Beating beating;
    double tolerance_hz;
    double power;
};

class LineSearch {
public:
    LineSearch(std::span<const double> samples, double rate_hz) {
        const auto longest = static_cast<std::size_t>(longest_s * rate_hz);
        if (samples.size() > longest) samples = samples.subspan((samples.size() - longest) / 2, longest);
        const std::size_t size = power_of_two_from(4 * samples.size());
        power_ = power_spectrum(samples, size, Window::hann);
        step_hz_ = rate_hz / static_cast<double>(size);
        bin_hz_ = rate_hz / static_cast<double>(samples.size());
    }

    double bin_hz() const { return bin_hz_; }

    // The maxima between two frequencies, the highest first.
    std::vector<Peak> peaks(double from_hz, double to_hz) const {
        std::vector<Peak> result;
        const std::size_t from = std::max<std::size_t>(1, index(from_hz));
        const std::size_t to = std::min(power_.size() - 1, index(to_hz));
        for (std::size_t i = from; i < to; ++i)
            if (power_[i] > power_[i - 1] && power_[i] >= power_[i + 1])
                result.push_back({static_cast<double>(i) * step_hz_, power_[i]});
        std::sort(result.begin(), result.end(), [](const Peak& a, const Peak& b) { return a.power > b.power; });
        return result;
    }

    double total(double from_hz, double to_hz) const {
        double sum = 0.0;
        for (std::size_t i = index(from_hz); i < std::min(power_.size(), index(to_hz)); ++i) sum += power_[i];
        return sum;
    }

    double median(double from_hz, double to_hz) const {
        std::vector<double> values(power_.begin() + static_cast<std::ptrdiff_t>(index(from_hz)),
                                   power_.begin() + static_cast<std::ptrdiff_t>(std::min(power_.size(), index(to_hz))));
        if (values.empty()) return 0.0;
        const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
        std::nth_element(values.begin(), middle, values.end());
        return *middle;
    }

private:
    std::size_t index(double frequency_hz) const {
        return static_cast<std::size_t>(std::max(0.0, frequency_hz / step_hz_));
    }

    std::vector<double> power_;
    double step_hz_ = 0.0;
    double bin_hz_ = 0.0;
};

// The pair at one harmonic; empty when one line, a symmetric set, or a smear stands there.
std::optional<Pair> pair_at(const LineSearch& search, double pitch_hz, std::size_t number) {
    const auto k = static_cast<double>(number);
    const double reach_hz = std::min(0.45 * pitch_hz, k * farthest_share * pitch_hz);
    const double centre_hz = k * pitch_hz;
    const double lobe_hz = 2.0 * search.bin_hz();
    if (reach_hz < 2.0 * lobe_hz) return std::nullopt;
    const auto peaks = search.peaks(centre_hz - reach_hz, centre_hz + reach_hz);
    if (peaks.size() < 2) return std::nullopt;
    const Peak& strong = peaks[0];
    // Side lobes of the strongest lie within its skirts and below -31 dB; other maxima this near are the same line.
    const auto apart = [&](const Peak& peak, const Peak& other) {
        return std::abs(peak.frequency_hz - other.frequency_hz) >= fewest_bins_apart * search.bin_hz();
    };
    const auto weak = std::find_if(peaks.begin() + 1, peaks.end(), [&](const Peak& p) { return apart(p, strong); });
    if (weak == peaks.end() || weak->power < least_ratio * least_ratio * strong.power) return std::nullopt;
    const double floor = search.median(centre_hz - 0.45 * pitch_hz, centre_hz + 0.45 * pitch_hz);
    if (weak->power < 40.0 * floor) return std::nullopt;
    const auto third =
        std::find_if(weak + 1, peaks.end(), [&](const Peak& p) { return apart(p, strong) && apart(p, *weak); });
    if (third != peaks.end() && third->power > 0.25 * weak->power) return std::nullopt;
    const double lobes = search.total(strong.frequency_hz - lobe_hz, strong.frequency_hz + lobe_hz) +
                         search.total(weak->frequency_hz - lobe_hz, weak->frequency_hz + lobe_hz);
    if (lobes < 0.9 * search.total(centre_hz - reach_hz, centre_hz + reach_hz)) return std::nullopt;
    return Pair{{strong.frequency_hz / k, weak->frequency_hz / k, std::sqrt(weak->power / strong.power)},
                0.5 * search.bin_hz() / k + 1e-4 * pitch_hz,
                strong.power};
}

}  // namespace

std::optional<Beating> find_beating(std::span<const double> samples, double rate_hz, double pitch_hz) {
    const LineSearch search(samples, rate_hz);
    std::vector<Pair> pairs;
    std::size_t clear = 0;
    for (std::size_t k = 1; k <= most_harmonics && static_cast<double>(k + 1) * pitch_hz < 0.5 * rate_hz; ++k) {
        const auto centre_hz = static_cast<double>(k) * pitch_hz;
        const double reach_hz = 0.45 * pitch_hz;
        const auto peaks = search.peaks(centre_hz - reach_hz, centre_hz + reach_hz);
        if (peaks.empty() || peaks[0].power < 1e3 * search.median(centre_hz - reach_hz, centre_hz + reach_hz)) continue;
        ++clear;
        if (const auto pair = pair_at(search, pitch_hz, k)) pairs.push_back(*pair);
    }
    // The pair that most others agree with, whichever of the two is the stronger there.
    const auto agree = [](const Pair& a, const Pair& b) {
        const double tolerance = a.tolerance_hz + b.tolerance_hz;
        const auto [a_low, a_high] = std::minmax(a.beating.strong_hz, a.beating.weak_hz);
        const auto [b_low, b_high] = std::minmax(b.beating.strong_hz, b.beating.weak_hz);
        return std::abs(a_low - b_low) <= tolerance && std::abs(a_high - b_high) <= tolerance;
    };
    std::size_t most = 0;
    const Pair* best = nullptr;
    for (const Pair& pair : pairs) {
        const auto votes = static_cast<std::size_t>(
            std::count_if(pairs.begin(), pairs.end(), [&](const Pair& p) { return agree(pair, p); }));
        if (votes > most || (votes == most && best != nullptr && pair.power > best->power)) {
            most = votes;
            best = &pair;
        }
    }
    // One pair alone convinces only where there is no other harmonic to ask.
    if (best == nullptr || most < std::min<std::size_t>(2, clear)) return std::nullopt;
    return best->beating;
}

}  // namespace reedwright::kernel
