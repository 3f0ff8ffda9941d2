#include "cad_export/palette.hpp"

#include <gtest/gtest.h>
#include <array>
#include <cmath>

namespace reedwright {
namespace {

TEST(Palette, knows_the_alloys_of_the_trade_by_symbol_number_and_word) {
    EXPECT_EQ(alloy_class("CuZn37, R630 (spring hard, cold rolled)"), AlloyClass::brass);
    EXPECT_EQ(alloy_class("cuzn39pb2-plate"), AlloyClass::brass);
    EXPECT_EQ(alloy_class("CuSn8"), AlloyClass::bronze);
    EXPECT_EQ(alloy_class("CuNi18Zn27"), AlloyClass::nickel_silver);
    EXPECT_EQ(alloy_class("CuBe2, aged"), AlloyClass::beryllium_copper);
    EXPECT_EQ(alloy_class("1.4310, hard, as rolled"), AlloyClass::steel);
    EXPECT_EQ(alloy_class("C100S"), AlloyClass::steel);
    EXPECT_EQ(alloy_class("X10CrNi18-8"), AlloyClass::steel);
    EXPECT_EQ(alloy_class("EN AW-5754"), AlloyClass::aluminium);
    EXPECT_EQ(alloy_class("unnamed alloy"), AlloyClass::other);
    EXPECT_EQ(alloy_class(""), AlloyClass::other);
}

TEST(Palette, tells_any_two_alloys_apart_in_grey) {
    constexpr std::array all{AlloyClass::aluminium, AlloyClass::nickel_silver,    AlloyClass::brass, AlloyClass::bronze,
                             AlloyClass::steel,     AlloyClass::beryllium_copper, AlloyClass::other};
    for (const AlloyClass one : all)
        for (const AlloyClass other : all) {
            if (one == other) continue;
            // A tenth of the way from black to white is plainly seen side by side; 0.09 leaves room
            // for seven classes between 0.28 and 0.91.
            EXPECT_GT(std::abs(colour_of(one).grey() - colour_of(other).grey()), 0.09)
                << static_cast<int>(one) << " and " << static_cast<int>(other);
        }
}

}  // namespace
}  // namespace reedwright
