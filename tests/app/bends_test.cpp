// The bends command as a whole process.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace reedwright {
namespace {

using nlohmann::json;

// Which reed bends and how far the rule lets it: common practice, no source.
TEST(Bends, Draw_notes_bend_on_cells_1_to_6_and_blow_notes_on_7_to_10) {
    const Outcome outcome =
        run_program({"bends", REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml", "--json"});
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json all = json::parse(outcome.out);
    ASSERT_EQ(all["cells"].size(), 10U);
    const std::vector<double> rule{-100.0, -200.0, -300.0, -100.0, -50.0, -100.0, -50.0, -100.0, -100.0, -200.0};
    for (std::size_t i = 0; i < 10; ++i) {
        const json& cell = all["cells"][i];
        EXPECT_EQ(cell["cell"], i + 1);
        EXPECT_EQ(cell["bends_row"], i < 6 ? "draw" : "blow");
        EXPECT_NEAR(cell["rule_cents"].get<double>(), rule[i], 1e-6);
        // The bent note lies between the two reeds' pitches (Bahnson, Antaki and Beery 1998, J. Acoust. Soc. Am.
        // 103:2134, abstract), an overblown one above the higher; the interval of the reeds is the rule and a semitone.
        if (!cell["floor_cents"].is_null()) {
            EXPECT_LT(cell["floor_cents"].get<double>(), 0.0);
            EXPECT_GT(cell["floor_cents"].get<double>(), rule[i] - 110.0);
        }
        if (!cell["overblow_cents"].is_null()) {
            EXPECT_GT(cell["overblow_cents"].get<double>(), 0.0);
        }
    }
}

TEST(Bends, A_design_whose_reeds_are_alone_says_so) {
    const Outcome outcome = run_program({"bends", REEDWRIGHT_SOURCE_DIR "/designs/05_steel_block/design.yaml"});
    EXPECT_EQ(outcome.code, 1);
    EXPECT_THAT(outcome.err, testing::HasSubstr("no cell of the design has two reeds of different pitch"));
}

}  // namespace
}  // namespace reedwright
