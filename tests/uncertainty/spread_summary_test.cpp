#include "core/uncertainty/monte_carlo.hpp"
#include "core/uncertainty/random.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace reedwright {

namespace {

// A skew output, so that the interval is not symmetric about the mean.
void skew(std::uint64_t first, std::span<double> values) {
    std::vector<double> a(values.size()), b(values.size());
    RandomSamples(11).normal(first, 0, a, b);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = 1000.0 + a[i] + 0.3 * b[i] * b[i];
}

TEST(SpreadSummary, Agrees_with_the_sorted_samples_within_its_resolution) {
    // 20 * k samples make 0.95 M whole and M - q odd or even; the others exercise the rounding.
    for (const std::size_t count : {2UL, 39UL, 4095UL, 4096UL, 4097UL, 20000UL, 123457UL}) {
        std::vector<double> values(count);
        for (std::size_t from = 0; from < count; from += 999)
            skew(from, std::span(values).subspan(from, std::min<std::size_t>(999, count - from)));
        const SpreadSummary summary = monte_carlo(skew, {count, 2, {}});

        double mean = 0.0;
        for (const double value : values) mean += value / static_cast<double>(count);
        double squares = 0.0;
        for (const double value : values) squares += (value - mean) * (value - mean);
        std::sort(values.begin(), values.end());
        const auto inside = static_cast<std::size_t>(std::floor(0.95 * static_cast<double>(count) + 0.5));
        const std::size_t lower = (count - inside + 1) / 2;
        EXPECT_EQ(summary.samples, count);
        // Rounding of the plain sums here: count times 1e-16 of 1000.
        EXPECT_NEAR(summary.mean, mean, 1e-9);
        EXPECT_NEAR(summary.standard_deviation, std::sqrt(squares / static_cast<double>(count - 1)), 1e-9);
        // Of two samples the interval is the whole range.
        EXPECT_NEAR(summary.low95, values[std::max<std::size_t>(lower, 1) - 1], summary.resolution * 1.0001);
        EXPECT_NEAR(summary.high95, values[lower + inside - 1], summary.resolution * 1.0001);
        if (count > 4000) {
            EXPECT_LT(summary.resolution, 4e-4 * summary.standard_deviation);
        }
    }
}

TEST(SpreadSummary, Is_the_same_bits_for_any_number_of_threads) {
    const SpreadSummary alone = monte_carlo(skew, {100001, 1, {}});
    for (const unsigned threads : {2U, 3U, 7U, 0U}) {
        const SpreadSummary together = monte_carlo(skew, {100001, threads, {}});
        EXPECT_EQ(alone.mean, together.mean);
        EXPECT_EQ(alone.standard_deviation, together.standard_deviation);
        EXPECT_EQ(alone.low95, together.low95);
        EXPECT_EQ(alone.high95, together.high95);
    }
}

TEST(SpreadSummary, Samples_all_alike_have_no_spread) {
    const SpreadSummary summary =
        monte_carlo([](std::uint64_t, std::span<double> values) { std::fill(values.begin(), values.end(), -3.25); },
                    {10000, 2, {}});
    EXPECT_EQ(summary.mean, -3.25);
    EXPECT_EQ(summary.standard_deviation, 0.0);
    EXPECT_EQ(summary.low95, -3.25);
    EXPECT_EQ(summary.high95, -3.25);
}

TEST(SpreadSummary, Samples_outside_the_bins_still_count) {
    // The pilot, the first 4096 samples, sees none of the spread that comes later.
    const auto late = [](std::uint64_t first, std::span<double> values) {
        for (std::size_t i = 0; i < values.size(); ++i)
            values[i] = first + i < 4096 ? 0.0 : (first + i) % 2 == 0 ? -1.0 : 1.0;
    };
    const SpreadSummary summary = monte_carlo(late, {40960, 2, {}});
    EXPECT_NEAR(summary.mean, 0.0, 1e-12);
    // Nine tenths of the samples at +-1.
    EXPECT_NEAR(summary.standard_deviation, std::sqrt(0.9 * 40960.0 / 40959.0), 1e-12);
    EXPECT_LT(summary.low95, -0.9);
    EXPECT_GT(summary.high95, 0.9);
}

TEST(SpreadSummary, A_failing_sample_is_told_and_not_counted) {
    const auto broken = [](std::uint64_t first, std::span<double> values) {
        std::fill(values.begin(), values.end(), 0.0);
        if (first <= 50000 && first + values.size() > 50000) values[50000 - first] = std::nan("");
    };
    for (const unsigned threads : {1U, 2U}) EXPECT_THROW(monte_carlo(broken, {100000, threads, {}}), std::domain_error);
    EXPECT_THROW(monte_carlo(skew, {1, 1, {}}), std::invalid_argument);
}

TEST(SpreadSummary, Progress_rises_to_the_whole) {
    std::vector<double> shares;
    monte_carlo(skew, {100000, 1, [&](double share) { shares.push_back(share); }});
    ASSERT_FALSE(shares.empty());
    EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
    EXPECT_EQ(shares.back(), 1.0);
}

}  // namespace

}  // namespace reedwright
