#include "core/uncertainty/spread_summary.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double deviations_covered = 10.0;

// Neumaier's sum: what each addition rounds off is kept apart.
class CompensatedSum {
public:
    void add(double value) {
        const double next = sum_ + value;
        lost_ += std::abs(sum_) >= std::abs(value) ? (sum_ - next) + value : (value - next) + sum_;
        sum_ = next;
    }
    double value() const { return sum_ + lost_; }

private:
    double sum_ = 0.0;
    double lost_ = 0.0;
};

}  // namespace

SpreadScale SpreadScale::around(std::span<const double> pilot) {
    const double count = static_cast<double>(pilot.size());
    const double mean = std::accumulate(pilot.begin(), pilot.end(), 0.0) / count;
    double squares = 0.0;
    for (const double value : pilot) squares += (value - mean) * (value - mean);
    const double deviation = std::sqrt(squares / count);
    // Samples that are all alike still need a bin.
    const double least = 1e-12 * std::max(1.0, std::abs(mean));
    return {mean, std::max(deviations_covered * deviation, least)};
}

SpreadCounter::SpreadCounter(SpreadScale scale)
    : scale_(scale),
      bins_per_unit_(static_cast<double>(SpreadScale::bins) / (2.0 * scale.half_range)),
      counts_(SpreadScale::bins + 2) {}

BlockSums SpreadCounter::count(std::span<const double> values) {
    BlockSums sums;
    sums.samples = values.size();
    CompensatedSum first, second;
    for (const double value : values) {
        if (!std::isfinite(value)) throw std::domain_error("a sample is not a finite number");
        const double away = value - scale_.centre;
        first.add(away);
        second.add(away * away);
        const double place = (away + scale_.half_range) * bins_per_unit_;
        const double inside = std::clamp(place + 1.0, 0.0, static_cast<double>(SpreadScale::bins + 1));
        ++counts_[static_cast<std::size_t>(inside)];
        least_ = std::min(least_, value);
        greatest_ = std::max(greatest_, value);
    }
    sums.first_moment = first.value();
    sums.second_moment = second.value();
    return sums;
}

void SpreadCounter::merge(const SpreadCounter& other) {
    for (std::size_t i = 0; i < counts_.size(); ++i) counts_[i] += other.counts_[i];
    least_ = std::min(least_, other.least_);
    greatest_ = std::max(greatest_, other.greatest_);
}

double SpreadCounter::order_statistic(std::uint64_t rank) const {
    const double bin = 1.0 / bins_per_unit_;
    std::uint64_t below = 0;
    std::size_t k = 0;
    while (below + counts_[k] < rank) below += counts_[k++];
    // Samples of a bin stand evenly in it; the open bins reach to the extremes.
    const double from = k == 0 ? least_ : scale_.centre - scale_.half_range + bin * static_cast<double>(k - 1);
    const double to = k == 0 ? scale_.centre - scale_.half_range : k == counts_.size() - 1 ? greatest_ : from + bin;
    const double share = (static_cast<double>(rank - below) - 0.5) / static_cast<double>(counts_[k]);
    return std::clamp(from + share * (to - from), least_, greatest_);
}

SpreadSummary SpreadCounter::summary(std::span<const BlockSums> blocks) const {
    SpreadSummary result;
    CompensatedSum first, second;
    for (const BlockSums& block : blocks) {
        result.samples += block.samples;
        first.add(block.first_moment);
        second.add(block.second_moment);
    }
    if (result.samples < 2) throw std::invalid_argument("a spread needs at least two samples");
    const double count = static_cast<double>(result.samples);
    const double away = first.value() / count;
    result.mean = scale_.centre + away;
    result.standard_deviation = std::sqrt(std::max(0.0, (second.value() - count * away * away) / (count - 1.0)));
    // JCGM 101, 7.7.1 and 7.7.2: q samples inside, the r-th the lower end (of very few samples, the first).
    const std::uint64_t samples = result.samples;
    const std::uint64_t inside = (samples * 95 + 50) / 100;
    const std::uint64_t lower = (samples - inside + 1) / 2;
    result.low95 = order_statistic(std::max<std::uint64_t>(lower, 1));
    result.high95 = order_statistic(lower + inside);
    result.resolution = 1.0 / bins_per_unit_;
    return result;
}

}  // namespace reedwright
