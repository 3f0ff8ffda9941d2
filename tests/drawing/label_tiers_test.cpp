// Labels spread apart and in tiers.
#include "cad_export/label_tiers.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>
#include <algorithm>
#include <stdexcept>

namespace reedwright::drawing {
namespace {

using ::testing::DoubleNear;
using ::testing::ElementsAre;

constexpr double rounding = 1e-9;

auto near(double value) {
    return DoubleNear(value, rounding);
}

TEST(SpreadApart, Labels_with_room_stay_where_they_are_wanted) {
    EXPECT_THAT(spread_apart({1, 5, 9}, {2, 2, 2}, 0, 10), ElementsAre(near(1), near(5), near(9)));
}

TEST(SpreadApart, Labels_wanted_at_one_place_stand_around_it) {
    EXPECT_THAT(spread_apart({5, 5, 5}, {2, 2, 2}, 0, 10), ElementsAre(near(3), near(5), near(7)));
}

TEST(SpreadApart, Labels_at_the_end_of_the_room_are_pushed_back) {
    EXPECT_THAT(spread_apart({9.5, 9.8}, {2, 2}, 0, 10), ElementsAre(near(7), near(9)));
}

TEST(SpreadApart, More_than_the_room_holds_is_refused) {
    EXPECT_THROW(spread_apart({1, 2, 3}, {2, 2, 2}, 0, 5.9), std::invalid_argument);
    EXPECT_THROW(spread_apart({2, 1}, {1, 1}, 0, 5), std::invalid_argument);
}

TEST(InTiers, A_second_tier_begins_where_one_is_too_short) {
    const auto one = in_tiers({1, 2, 3}, 2, 0.5, 0, 6);
    EXPECT_EQ(std::max_element(one.begin(), one.end(), [](auto& a, auto& b) { return a.tier() < b.tier(); })->tier(),
              0U);
    const auto two = in_tiers({1, 2, 3}, 2, 0.5, 0, 5);
    EXPECT_THAT((std::vector<std::size_t>{two[0].tier(), two[1].tier(), two[2].tier()}), ElementsAre(0U, 1U, 0U));
    EXPECT_THROW(in_tiers({1, 2, 3}, 2, 0.5, 0, 1.2), std::invalid_argument);
}

RC_GTEST_PROP(TierLaw, No_label_or_leader_touches_another_and_none_changes_places, ()) {
    std::vector<double> wanted;
    for (const int at : *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 1000))) wanted.push_back(at * 0.1);
    std::sort(wanted.begin(), wanted.end());
    constexpr double label = 3.3;
    constexpr double leader = 1.0;
    const double high = *rc::gen::inRange(100, 200);
    const auto labels = in_tiers(wanted, label, leader, 0.0, high);
    RC_ASSERT(labels.size() == wanted.size());
    std::size_t tiers = 0;
    for (const TieredLabel& one : labels) tiers = std::max(tiers, one.stops_mm.size());
    for (std::size_t tier = 0; tier < tiers; ++tier) {
        double end = 0.0;
        for (const TieredLabel& one : labels) {
            if (one.stops_mm.size() <= tier) continue;
            const double half = 0.5 * (one.tier() == tier ? label : leader);
            RC_ASSERT(one.stops_mm[tier] - half >= end - rounding);
            end = one.stops_mm[tier] + half;
        }
        RC_ASSERT(end <= high + rounding);
    }
}

}  // namespace
}  // namespace reedwright::drawing
