// The bends command as a whole process.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <fstream>
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

TEST(Bends, Are_told_above_which_note_and_when_no_player_goes_so_far) {
    const Scratch scratch;
    const auto wide = (scratch.path() / "wide.yaml").string();
    std::ofstream(wide) << "common: {material: cuzn37-r630}\n"
                           "reeds:\n"
                           "  - {cell: 1, row: blow, note: C4, length: 16 mm, width: 2.2 mm, thickness: 0.117 mm}\n"
                           "  - {cell: 1, row: draw, note: G5, length: 12 mm, width: 1.9 mm, thickness: 0.17 mm}\n"
                           "  - {cell: 2, row: blow, note: E4, length: 15 mm, width: 2.2 mm, thickness: 0.13 mm}\n"
                           "  - {cell: 2, row: draw, note: G4, length: 14 mm, width: 2.2 mm, thickness: 0.13 mm}\n";
    const Outcome words = run_program({"bends", wide});
    ASSERT_EQ(words.code, 0) << words.err;
    EXPECT_THAT(words.out,
                testing::HasSubstr("1900 cents below: by the rule 1800 cents, which is beyond what players do;"));
    EXPECT_THAT(words.out, testing::HasSubstr("300 cents below: by the rule 200 cents; "));
    EXPECT_THAT(words.out, testing::ContainsRegex("overblown [0-9]+ cents above G4\n"));
    EXPECT_THAT(words.out, testing::HasSubstr("cell.volume 0.4 cm^3 (our choice, no source: no comb is stated)"));
    const json all = json::parse(run_program({"bends", wide, "--json"}).out);
    EXPECT_EQ(all["cells"][0]["rule_beyond_players"], true);
    EXPECT_EQ(all["cells"][1]["rule_beyond_players"], false);
}

TEST(Bends, A_design_whose_reeds_are_alone_says_so) {
    const Outcome outcome = run_program({"bends", REEDWRIGHT_SOURCE_DIR "/designs/05_steel_block/design.yaml"});
    EXPECT_EQ(outcome.code, 1);
    EXPECT_THAT(outcome.err, testing::HasSubstr("no cell of the design has two reeds of different pitch"));
}

}  // namespace
}  // namespace reedwright
