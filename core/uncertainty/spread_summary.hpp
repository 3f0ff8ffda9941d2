// Mean, standard deviation and interval of very many samples, in memory that does not grow with them.
//
// The order statistics come from integer counts in equal bins, so that they do not depend on who
// counted which sample; sums are kept per block of samples and added in the order of the blocks.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

namespace reedwright {

/// What JCGM 101:2008 asks of a Monte Carlo run: the estimate (7.6, eq. 16), its standard uncertainty
/// (eq. 17) and the probabilistically symmetric interval of 95 % coverage (7.7).
struct SpreadSummary {
    std::uint64_t samples = 0;
    double mean = 0.0;
    double standard_deviation = 0.0;
    double low95 = 0.0;
    double high95 = 0.0;
    /// The ends of the interval lie within this of those of the sorted samples.
    double resolution = 0.0;
};

/// The equal bins that samples are counted in, laid around a first guess of their spread.
struct SpreadScale {
    /// Ten standard deviations either side of the mean of a pilot run, in 2^16 bins: a bin is 0.0003
    /// standard deviations. The ends of a symmetric 95 % interval lie within 6.3 standard deviations of
    /// the mean whatever the distribution (Cantelli: P(X - mean >= k u) <= 1 / (1 + k^2)).
    static SpreadScale around(std::span<const double> pilot);

    static constexpr std::size_t bins = std::size_t{1} << 16;
    double centre = 0.0;
    double half_range = 1.0;
};

/// Sums of one block of samples, about the centre of the scale.
struct BlockSums {
    std::uint64_t samples = 0;
    double first_moment = 0.0;
    double second_moment = 0.0;
};

/// Counts samples; one for each thread, then merged.
class SpreadCounter {
public:
    explicit SpreadCounter(SpreadScale scale);

    /// Counts a block and returns its sums, which depend on its values and their order alone.
    /// Throws std::domain_error when a value is not finite.
    BlockSums count(std::span<const double> values);
    void merge(const SpreadCounter& other);

    /// The summary of everything counted. blocks: the sums of all blocks in their order. Throws
    /// std::invalid_argument with fewer than two samples.
    SpreadSummary summary(std::span<const BlockSums> blocks) const;

private:
    double order_statistic(std::uint64_t rank) const;

    SpreadScale scale_;
    double bins_per_unit_;
    /// The first and the last hold what lies outside.
    std::vector<std::uint64_t> counts_;
    double least_ = std::numeric_limits<double>::infinity();
    double greatest_ = -std::numeric_limits<double>::infinity();
};

}  // namespace reedwright
