// Profiles along the tongue, against values worked out by hand.
#include "core/tongue/profile.hpp"

#include <gtest/gtest.h>
#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

namespace reedwright {
namespace {

Station station(double at_mm, double value_mm) {
    return {at_mm * millimetre, value_mm * millimetre};
}

double mm(Length length) {
    return in(length, millimetre);
}

// A handful of roundings of numbers of the size of a millimetre.
constexpr double roundings_mm = 1e-12;

// 0.2 mm at the root, down to 0.1 mm at 4 mm, there a step up to 0.3 mm, level to the tip at 10 mm.
Profile stepped() {
    return Profile({station(0, 0.2), station(4, 0.1), station(4, 0.3), station(10, 0.3)});
}

TEST(Profile, AtAStepBeforeIsTheRootsSideAndBeyondTheTips) {
    const Profile profile = stepped();
    EXPECT_NEAR(mm(profile.before(4.0 * millimetre)), 0.1, roundings_mm);
    EXPECT_NEAR(mm(profile.beyond(4.0 * millimetre)), 0.3, roundings_mm);
}

TEST(Profile, BetweenStationsBothSidesAreOnTheLine) {
    const Profile profile = stepped();
    for (const double at : {0.5, 1.0, 3.9}) {
        EXPECT_NEAR(mm(profile.before(at * millimetre)), 0.2 - 0.025 * at, roundings_mm);
        EXPECT_NEAR(mm(profile.beyond(at * millimetre)), 0.2 - 0.025 * at, roundings_mm);
    }
}

TEST(Profile, AtTheEndsAndOutsideTheyGiveTheEnds) {
    const Profile profile = stepped();
    for (const double at : {-1.0, 0.0}) {
        EXPECT_NEAR(mm(profile.before(at * millimetre)), 0.2, roundings_mm);
        EXPECT_NEAR(mm(profile.beyond(at * millimetre)), 0.2, roundings_mm);
    }
    for (const double at : {10.0, 11.0}) {
        EXPECT_NEAR(mm(profile.before(at * millimetre)), 0.3, roundings_mm);
        EXPECT_NEAR(mm(profile.beyond(at * millimetre)), 0.3, roundings_mm);
    }
}

TEST(Profile, ExtremesAndAreaFollowTheStations) {
    const Profile profile = stepped();
    EXPECT_NEAR(mm(profile.smallest()), 0.1, roundings_mm);
    EXPECT_NEAR(mm(profile.largest()), 0.3, roundings_mm);
    // A trapezium of 4 mm times 0.15 mm and a rectangle of 6 mm times 0.3 mm.
    EXPECT_NEAR(in(profile.area(), millimetre * millimetre), 0.6 + 1.8, roundings_mm);
}

TEST(Profile, ASumIsTheSumEverywhereAndKeepsTheStepsOfBoth) {
    const Profile profile = stepped();
    const Profile other({station(0, 0.0), station(7, 0.0), station(7, 0.05), station(10, 0.02)});
    const Profile sum = profile.plus(other, -1.0);
    for (double at = 0.05; at < 10.0; at += 0.1) {
        const Length there = at * millimetre;
        EXPECT_NEAR(mm(sum.beyond(there)), mm(profile.beyond(there)) - mm(other.beyond(there)), roundings_mm) << at;
        EXPECT_NEAR(mm(sum.before(there)), mm(profile.before(there)) - mm(other.before(there)), roundings_mm) << at;
    }
    EXPECT_NEAR(mm(sum.before(4.0 * millimetre)), 0.1, roundings_mm);
    EXPECT_NEAR(mm(sum.beyond(4.0 * millimetre)), 0.3, roundings_mm);
    EXPECT_NEAR(mm(sum.before(7.0 * millimetre)), 0.3, roundings_mm);
    EXPECT_NEAR(mm(sum.beyond(7.0 * millimetre)), 0.25, roundings_mm);
    EXPECT_EQ(sum.stations().size(), 6U);
}

TEST(Profile, StepsThatCancelLeaveAStraightLine) {
    const Profile up({station(0, 1.0), station(5, 1.0), station(5, 2.0), station(10, 2.0)});
    const Profile down({station(0, 1.0), station(5, 1.0), station(5, 0.0), station(10, 0.0)});
    const Profile sum = up.plus(down);
    ASSERT_EQ(sum.stations().size(), 2U);
    EXPECT_NEAR(mm(sum.at_root()), 2.0, roundings_mm);
    EXPECT_NEAR(mm(sum.at_tip()), 2.0, roundings_mm);
}

TEST(Profile, TakingAwayWhatWasAddedGivesTheSameAreaBack) {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> value(0.05, 0.3);
    std::uniform_real_distribution<double> gap(0.1, 2.0);
    for (int i = 0; i < 200; ++i) {
        std::vector<Station> stations{station(0, value(random))};
        for (double at = gap(random); at < 9.9; at += gap(random)) {
            stations.push_back(station(at, value(random)));
            if (value(random) > 0.2) stations.push_back(station(at, value(random)));
        }
        stations.push_back(station(10, value(random)));
        const Profile other(stations);
        const Profile back = stepped().plus(other).plus(other, -1.0);
        EXPECT_NEAR(in(back.area(), millimetre * millimetre), 2.4, 1e-10) << "roundings of some dozens of stations";
        EXPECT_NEAR(in(stepped().plus(other).area(), millimetre * millimetre),
                    2.4 + in(other.area(), millimetre * millimetre), 1e-10);
    }
}

TEST(Profile, SimplifyingDropsWhatLiesOnTheLineAndNothingElse) {
    const Profile profile(
        {station(0, 0.2), station(2, 0.15), station(4, 0.1), station(4, 0.3), station(7, 0.3), station(10, 0.3)});
    const Profile simple = profile.simplified();
    ASSERT_EQ(simple.stations().size(), 4U);
    for (double at = 0.0; at <= 10.0; at += 0.25) {
        EXPECT_NEAR(mm(simple.before(at * millimetre)), mm(profile.before(at * millimetre)), roundings_mm) << at;
        EXPECT_NEAR(mm(simple.beyond(at * millimetre)), mm(profile.beyond(at * millimetre)), roundings_mm) << at;
    }
    const Profile bent({station(0, 0.2), station(5, 0.1501), station(10, 0.1)});
    EXPECT_EQ(bent.simplified().stations().size(), 3U);
}

TEST(Profile, TheIntegralOfAProductIsExactForStraightLines) {
    const Length ten = 10.0 * millimetre;
    const Volume cubic_millimetre = millimetre * millimetre * millimetre;
    // x times (1 - x) over the length, in tenths: 10 * 1/6.
    EXPECT_NEAR(integral_of_product(Profile::taper(ten, 0.0 * millimetre, 1.0 * millimetre),
                                    Profile::taper(ten, 1.0 * millimetre, 0.0 * millimetre)) /
                    cubic_millimetre,
                10.0 / 6.0, roundings_mm);
    // The square of a taper: 10 * 1/3.
    EXPECT_NEAR(integral_of_product(Profile::taper(ten, 0.0 * millimetre, 1.0 * millimetre),
                                    Profile::taper(ten, 0.0 * millimetre, 1.0 * millimetre)) /
                    cubic_millimetre,
                10.0 / 3.0, roundings_mm);
    // With a constant width, the area times it.
    EXPECT_NEAR(integral_of_product(stepped(), Profile::constant(ten, 2.0 * millimetre)) / cubic_millimetre, 4.8,
                roundings_mm);
    // Both step, at different places: 0.15 * 4 * 1 + 0.3 * 2 * 1 + 0.3 * 4 * 3.
    const Profile width({station(0, 1.0), station(6, 1.0), station(6, 3.0), station(10, 3.0)});
    EXPECT_NEAR(integral_of_product(stepped(), width) / cubic_millimetre, 0.6 + 0.6 + 3.6, roundings_mm);
    EXPECT_NEAR(integral_of_product(width, stepped()) / cubic_millimetre, 4.8, roundings_mm);
}

TEST(Profile, StationsThatBreakTheRulesAreRefused) {
    EXPECT_THROW(Profile({station(0, 0.1)}), std::invalid_argument);
    EXPECT_THROW(Profile({station(1, 0.1), station(10, 0.1)}), std::invalid_argument);
    EXPECT_THROW(Profile({station(0, 0.1), station(0, 0.1)}), std::invalid_argument);
    EXPECT_THROW(Profile({station(0, 0.1), station(6, 0.1), station(4, 0.1), station(10, 0.1)}), std::invalid_argument);
}

}  // namespace
}  // namespace reedwright
