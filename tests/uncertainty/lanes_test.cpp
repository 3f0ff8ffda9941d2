// Every instruction set gives the bits of the portable one.
#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/pitch_scatter.hpp"
#include "core/uncertainty/random.hpp"
#include "core/uncertainty/reduced_pitch.hpp"
#include "tests/uncertainty/random_reeds.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <vector>

namespace reedwright {

namespace {

using kernel::Lanes;
using kernel::lanes_here;

// A remainder for every register's width.
constexpr std::size_t count = 10007;

std::vector<std::uint64_t> bits_of(const std::vector<double>& values) {
    std::vector<std::uint64_t> bits;
    for (const double value : values) bits.push_back(std::bit_cast<std::uint64_t>(value));
    return bits;
}

TEST(Lanes, Are_what_the_machine_has_and_the_portable_ones_in_any_case) {
    ASSERT_FALSE(lanes_here().empty());
    EXPECT_EQ(lanes_here().front(), &kernel::portable_lanes);
    EXPECT_EQ(lanes_here().back(), &kernel::widest_lanes());
    for (std::size_t i = 1; i < lanes_here().size(); ++i)
        EXPECT_GT(lanes_here()[i]->side_by_side, lanes_here()[i - 1]->side_by_side);
    std::string names;
    for (const Lanes* lanes : lanes_here()) names += std::string(names.empty() ? "" : ", ") + lanes->instructions;
    RecordProperty("compared", names);
    if (lanes_here().size() == 1) GTEST_SKIP() << "this machine has no wide registers: nothing is compared";
}

TEST(Lanes, Draw_the_same_bits) {
    // Across the carry into the upper half of the sample's number.
    constexpr std::uint64_t first = 0xFFFFFFFFU - 5000;
    const auto drawn = [&](const Lanes& lanes, bool normal) {
        std::vector<double> one(count), other(count);
        const RandomSamples random(0x123456789ABCDEFU, lanes);
        if (normal)
            random.normal(first, 3, one, other);
        else
            random.rectangular(first, 3, one, other);
        one.insert(one.end(), other.begin(), other.end());
        return bits_of(one);
    };
    for (const bool normal : {false, true})
        for (const Lanes* lanes : lanes_here())
            EXPECT_TRUE(drawn(kernel::portable_lanes, normal) == drawn(*lanes, normal)) << lanes->instructions;
}

TEST(Lanes, Solve_60_random_tongues_to_the_same_bits) {
    std::mt19937_64 random(11);
    std::array<std::vector<double>, 8> z;
    for (auto& column : z) column.resize(count);
    for (std::size_t pair = 0; pair < 4; ++pair)
        RandomSamples(1).normal(0, static_cast<std::uint32_t>(pair), z[2 * pair], z[2 * pair + 1]);
    DeviationColumns columns;
    for (std::size_t i = 0; i < input_count; ++i) columns[i] = z[i];
    for (int tongue = 0; tongue < 60; ++tongue) {
        const Reed reed = test::random_reed(random);
        const Model model = tongue % 4 == 3 ? test::beam : Model{};
        if (!ReducedPitch::can_stand_for(reed, model)) continue;
        const auto solved = [&](const Lanes& lanes) {
            std::vector<double> cents(count);
            ReducedPitch(reed, model, lanes).cents(columns, cents);
            return bits_of(cents);
        };
        const auto portable = solved(kernel::portable_lanes);
        for (const Lanes* lanes : lanes_here())
            EXPECT_TRUE(portable == solved(*lanes)) << lanes->instructions << ", tongue " << tongue;
    }
}

TEST(Lanes, Scatter_the_same_bits) {
    std::mt19937_64 random(4);
    const Reed reed = test::random_reed(random);
    const auto scatter = [&](const Lanes& lanes) {
        ScatterRequest request;
        request.samples = 100003;
        request.lanes = &lanes;
        const PitchScatter result = pitch_scatter(reed, Model{}, request);
        EXPECT_TRUE(result.reduced);
        return bits_of({result.mean.value(), result.standard.value(), result.low95.value(), result.high95.value(),
                        result.greatest_error.value()});
    };
    const auto portable = scatter(kernel::portable_lanes);
    for (const Lanes* lanes : lanes_here()) EXPECT_EQ(portable, scatter(*lanes)) << lanes->instructions;
}

}  // namespace

}  // namespace reedwright
