// The donors command as a whole process.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

namespace reedwright {
namespace {

using nlohmann::json;
using testing::HasSubstr;

const std::string club = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/";

std::vector<std::string> donors(const std::string& cell, const std::string& row,
                                const std::string& stock = club + "stock.yaml") {
    return {"donors", club + "instrument.yaml", stock, "--cell", cell, "--row", row};
}

TEST(DonorsCommand, Json_tells_every_tongue_of_the_stock_and_the_least_work_first) {
    auto arguments = donors("4", "draw");
    arguments.emplace_back("--json");
    const Outcome outcome = run_program(arguments);
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json all = json::parse(outcome.out);
    ASSERT_EQ(all["donors"].size(), 9U);
    const json& best = all["donors"][0];
    EXPECT_EQ(best["name"], "tin 1 no 4");
    EXPECT_EQ(best["do"], "cut");
    EXPECT_NEAR(best["shift_cents"].get<double>(), best["wanted_cents"].get<double>(), 0.02);
    const json& worst = all["donors"][8];
    EXPECT_EQ(worst["fits"], false);
    EXPECT_THAT(worst["why_not"], HasSubstr("below its target"));
}

TEST(DonorsCommand, A_place_that_the_design_has_not_is_named_with_those_it_has) {
    const Outcome cell = run_program(donors("11", "draw"));
    EXPECT_EQ(cell.code, 1);
    EXPECT_EQ(cell.err, "--cell: the design has no cell 11; cells are 1 to 10\n");
    const Outcome row = run_program(donors("4", "drow"));
    EXPECT_EQ(row.code, 1);
    EXPECT_EQ(row.err, "--row: the design has no reed in cell 4 drow; the rows of that cell: blow, draw\n");
    EXPECT_EQ(run_program(donors("four", "draw")).err, "--cell: 'four' is not the number of a cell; write --cell 4\n");
}

// A stock list with its mistake, and what is said of it.
void refused(const std::string& yaml, const std::string& words) {
    const auto file = std::filesystem::temp_directory_path() / "reedwright_bad_stock.yaml";
    std::ofstream(file) << yaml;
    const Outcome outcome = run_program(donors("4", "draw", file.string()));
    EXPECT_EQ(outcome.code, 1);
    EXPECT_EQ(outcome.out, "");
    EXPECT_THAT(outcome.err, HasSubstr(file.string() + words));
    std::filesystem::remove(file);
}

TEST(DonorsCommand, Mistakes_of_a_stock_list_are_told_at_their_place) {
    const std::string tongue = "length: 13.5 mm, width: 2 mm, thickness: 0.15 mm";
    refused("tongues: []\n", ":1:10: tongues: must be a list of loose tongues, and it is empty");
    refused("tongues:\n  - {" + tongue + "}\n", ":2:5: tongues[1].material: is missing");
    refused("material: cuzn37-r630\ntongues:\n  - {" + tongue + ", reading: -12c}\n",
            ":3:65: tongues[1].reading: '-12c' stands against no note");
    refused("material: cuzn37-r630\ntongues:\n  - {name: a, " + tongue + "}\n  - {name: a, " + tongue + "}\n",
            ":4:5: tongues[2].name: 'a' stands twice");
    refused("material: cuzn37-r630\ntongues:\n  - {" + tongue + ", colour: red}\n",
            ":3:56: unknown key 'tongues[1].colour'");
    refused("material: cuzn37-r630\ntongues:\n  - {" + tongue + ", reading: 440}\n", ":3:65: tongues[1].reading:");
    refused("material: cuzn37-r630\ntongues:\n  - {" + tongue + ", reading: 4 Hz}\n",
            ":3:65: tongues[1].reading: 4 Hz is outside 10 Hz to 20000 Hz");
    refused("material: cuzn37-r630\ntongues:\n  - {" + tongue + ", reading: A4-9000c}\n",
            ":3:65: tongues[1].reading: 2.43068 Hz is outside 10 Hz to 20000 Hz");
}

}  // namespace
}  // namespace reedwright
