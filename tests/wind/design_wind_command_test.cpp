// The commands that ask the wind of a whole design, as processes: leak, and plan and retune under a pressure.
#include "core/plan/breath.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

namespace reedwright {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

const std::string club = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/instrument.yaml";
const Pressure half_kilopascal = 500.0 * pascal;

Design club_design() {
    static const MaterialLibrary library(REEDWRIGHT_SOURCE_DIR "/materials");
    Design design = read_design_file(club, library);
    (void)plan_tongues(design);
    return design;
}

class UnderCommands : public testing::Test {
protected:
    void SetUp() override {
        if (!program_is_built()) GTEST_SKIP() << "the program is not part of this build";
    }
};

TEST_F(UnderCommands, Plan_sets_each_reed_by_its_own_allowance) {
    const std::string equal = REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml";
    const Outcome outcome = run_program({"plan", equal, "--under", "500Pa", "--json"});
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json plan = json::parse(outcome.out);
    EXPECT_EQ(plan["under_pa"], 500.0);
    EXPECT_TRUE(plan["allowance_cents"].is_null());
    bool differ = false;
    for (const json& one : plan["tongues"]) {
        const double allowance = one["allowance_cents"];
        EXPECT_NEAR(1200.0 * std::log2(one["target_hz"].get<double>() / one["sounding_hz"].get<double>()), allowance,
                    1e-6);
        if (one["breath_cents"].is_null())  // speaks at no pressure: the design's
            EXPECT_EQ(allowance, 2.0);
        else
            EXPECT_NEAR(one["breath_cents"].get<double>() + one["warmth_cents"].get<double>(), allowance, 1e-9);
        EXPECT_LT(std::abs(one["error_cents"].get<double>()), 0.1);
        differ = differ || std::abs(allowance - plan["tongues"][0]["allowance_cents"].get<double>()) > 1.0;
    }
    EXPECT_TRUE(differ);
    const Outcome words = run_program({"plan", equal, "--under", "500Pa"});
    EXPECT_THAT(words.out, HasSubstr("in place of the design's 2 cents"));
    EXPECT_THAT(words.out, HasSubstr("8 blow, E6 does not speak there: allowed for at "));
}

TEST_F(UnderCommands, Retune_takes_blown_readings_as_read_at_that_pressure) {
    const Scratch scratch;
    const auto readings = (scratch.path() / "readings.csv").string();
    // The same reed read plucked, and blown at 500 Pa on the bench as its model says.
    const Design design = club_design();
    const double blown = breaths(design, half_kilopascal, design.instrument.bench.temperature)[0].blown.value();
    const auto wanted = [&](const std::string& line) {
        std::ofstream(readings) << "cell,row,reading,temperature,how\n" << line << '\n';
        const Outcome outcome = run_program({"retune", club, readings, "--under", "500Pa", "--json"});
        EXPECT_EQ(outcome.code, 0) << outcome.err;
        const json all = json::parse(outcome.out);
        for (const json& one : all["work"])
            if (one["cell"] == 1 && one["row"] == "blow") return one;
        return json();
    };
    const json plucked = wanted("1,blow,-6.5c,,plucked");
    const json read = wanted("1,blow," + std::to_string(-6.5 + blown) + "c,,blown");
    EXPECT_NEAR(read["wanted_cents"].get<double>(), plucked["wanted_cents"].get<double>(), 1e-3);
    EXPECT_NEAR(plucked["wanted_cents"].get<double>(), 6.5 + plucked["allowance_cents"].get<double>(), 1e-6);
    EXPECT_EQ(plucked["speaks_under"], true);
}

TEST_F(UnderCommands, Pressures_that_are_none_are_refused) {
    for (const char* command : {"plan", "retune"}) {
        std::vector<std::string> words{command, club};
        if (words[0] == "retune") words.emplace_back(REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/readings.csv");
        words.insert(words.end(), {"--under", "9kPa"});
        const Outcome outcome = run_program(words);
        EXPECT_EQ(outcome.code, 1);
        EXPECT_EQ(outcome.out, "");
        EXPECT_EQ(
            outcome.err,
            "--under: a pressure of 9000 Pa is beyond the model, which holds to 5000 Pa: faster jets compress the "
            "air; a breath has 100 Pa to 1500 Pa, a bellows up to 3000 Pa\n");
    }
}

TEST_F(UnderCommands, Leak_tells_every_part_and_refuses_what_does_not_blow) {
    const std::string equal = REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml";
    const Outcome outcome = run_program({"leak", equal, "--json"});
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json leak = json::parse(outcome.out);
    EXPECT_EQ(leak["pressure_pa"], 500.0);
    ASSERT_EQ(leak["notes"].size(), 20U);
    double lost = 0.0;
    for (const json& note : leak["notes"]) {
        double parts = 0.0;
        for (const json& part : note["parts"]) parts += part["flow_ml_s"].get<double>();
        if (note["speaks"])
            EXPECT_NEAR(note["lost_share"].get<double>(), parts / note["own_flow_ml_s"].get<double>(), 1e-9);
        else
            EXPECT_TRUE(note["lost_share"].is_null() && note["joint_share"].is_null() &&
                        note["own_flow_ml_s"].is_null());
        lost += parts;
        double last = 1e9;
        for (const json& mend : note["mends"]) {
            EXPECT_LE(mend["saved_ml_s"].get<double>(), last);
            last = mend["saved_ml_s"];
        }
    }
    EXPECT_NEAR(leak["lost_ml_s"].get<double>(), lost, 1e-9 * lost);
    EXPECT_LT(leak["joints"]["with_screws_ml_s"], leak["joints"]["with_pins_ml_s"]);
    const Outcome words = run_program({"leak", equal, "--pressure", "300Pa"});
    EXPECT_THAT(words.out, HasSubstr("at 300 Pa, metal and air at 30 degC"));
    EXPECT_THAT(words.out,
                HasSubstr(" notes are silent or barely speak at this pressure in the model and have no share"));
    EXPECT_THAT(words.out, Not(HasSubstr("lower bound")));
    // Where valves lie over all reeds no mend saves anything that the digits show.
    const Scratch scratch;
    const auto valved = (scratch.path() / "valved.yaml").string();
    std::filesystem::copy_file(equal, valved);
    std::ofstream(valved, std::ios::app) << "\nvalves: {gap: 5 um}\n";
    const Outcome sealed = run_program({"leak", valved});
    EXPECT_EQ(sealed.code, 0) << sealed.err;
    EXPECT_THAT(sealed.out, HasSubstr("1 draw, D4"));
    EXPECT_THAT(sealed.out, Not(HasSubstr(": 0.0 less")));
    const Outcome none = run_program({"leak", equal, "--pressure", "0Pa"});
    EXPECT_EQ(none.code, 1);
    EXPECT_EQ(none.err, "--pressure: a pressure of 0 Pa does not blow; a breath has 100 Pa to 1500 Pa\n");
}

}  // namespace
}  // namespace reedwright
