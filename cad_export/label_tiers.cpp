#include "cad_export/label_tiers.hpp"

#include <algorithm>
#include <numeric>
#include <stdexcept>

namespace reedwright::drawing {

namespace {

// Rounding of sums of a few hundred sizes.
constexpr double rounding_mm = 1e-9;

// Non-decreasing values nearest to given ones: neighbours that are out of order share their mean.
std::vector<double> in_order(const std::vector<double>& values) {
    struct Pool {
        double sum;
        std::size_t count;
        double mean() const { return sum / static_cast<double>(count); }
    };
    std::vector<Pool> pools;
    for (const double value : values) {
        pools.push_back({value, 1});
        while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
            const Pool last = pools.back();
            pools.pop_back();
            pools.back().sum += last.sum;
            pools.back().count += last.count;
        }
    }
    std::vector<double> result;
    for (const Pool& pool : pools) result.insert(result.end(), pool.count, pool.mean());
    return result;
}

// The room that labels need where every tiers-th stands in the nearest tier and leaders pass between.
double room_of_nearest_tier_mm(std::size_t count, std::size_t tiers, double label_mm, double leader_mm) {
    const std::size_t here = (count + tiers - 1) / tiers;
    return static_cast<double>(here) * label_mm + static_cast<double>(count - here) * leader_mm;
}

}  // namespace

std::vector<double> spread_apart(const std::vector<double>& wanted_mm, const std::vector<double>& sizes_mm,
                                 double low_mm, double high_mm) {
    const double total_mm = std::accumulate(sizes_mm.begin(), sizes_mm.end(), 0.0);
    if (total_mm > high_mm - low_mm + rounding_mm) throw std::invalid_argument("labels do not fit their room");
    if (!std::is_sorted(wanted_mm.begin(), wanted_mm.end())) throw std::invalid_argument("labels are out of order");
    // Less the sizes before it, each thing may stand where the one before does.
    std::vector<double> before_mm;
    double sum_mm = 0.0;
    for (const double size_mm : sizes_mm) {
        before_mm.push_back(sum_mm + 0.5 * size_mm);
        sum_mm += size_mm;
    }
    std::vector<double> free_mm;
    for (std::size_t i = 0; i < wanted_mm.size(); ++i) free_mm.push_back(wanted_mm[i] - before_mm[i]);
    std::vector<double> result = in_order(free_mm);
    const double last_mm = std::max(low_mm, high_mm - total_mm);
    for (std::size_t i = 0; i < result.size(); ++i) result[i] = std::clamp(result[i], low_mm, last_mm) + before_mm[i];
    return result;
}

std::vector<TieredLabel> in_tiers(const std::vector<double>& wanted_mm, double label_mm, double leader_mm,
                                  double low_mm, double high_mm) {
    const std::size_t count = wanted_mm.size();
    std::size_t tiers = 1;
    while (tiers < count && room_of_nearest_tier_mm(count, tiers, label_mm, leader_mm) > high_mm - low_mm) ++tiers;
    std::vector<TieredLabel> result(count);
    std::vector<std::size_t> left(count);
    std::iota(left.begin(), left.end(), std::size_t{0});
    std::vector<double> places_mm = wanted_mm;
    for (std::size_t tier = 0; tier < tiers && !left.empty(); ++tier) {
        std::vector<double> sizes_mm;
        for (const std::size_t i : left) sizes_mm.push_back(i % tiers == tier ? label_mm : leader_mm);
        const std::vector<double> stops_mm = spread_apart(places_mm, sizes_mm, low_mm, high_mm);
        std::vector<std::size_t> farther;
        std::vector<double> farther_mm;
        for (std::size_t k = 0; k < left.size(); ++k) {
            result[left[k]].stops_mm.push_back(stops_mm[k]);
            if (left[k] % tiers == tier) continue;
            farther.push_back(left[k]);
            farther_mm.push_back(stops_mm[k]);
        }
        left = std::move(farther);
        places_mm = std::move(farther_mm);
    }
    return result;
}

}  // namespace reedwright::drawing
