// A calibration beside a whole design: every command that plans its tongues plans them for the lot.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

namespace reedwright::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;

std::string content_of(const std::filesystem::path& file) {
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

class Lot : public testing::Test {
protected:
    void SetUp() override { write("cuzn37-r630"); }
    void write(const std::string& alloy) const {
        std::ofstream(lot_) << "material: " << alloy << '\n'
                            << "speed_factor: {value: 1.01, sigma: 0.004}\n"
                               "give: {value: 0.9, sigma: 0.2}\n"
                               "correlation: 0.9\n";
    }
    static json asked(std::vector<std::string> arguments) {
        arguments.emplace_back("--json");
        const Outcome outcome = run_program(arguments);
        EXPECT_EQ(outcome.code, 0) << outcome.err;
        return json::parse(outcome.out);
    }
    std::string lot() const { return lot_.string(); }

    Scratch scratch_;
    std::filesystem::path lot_ = scratch_.path() / "brass_lot.yaml";
    const std::string design_ = REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml";
    const std::string tongue_ = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml";
};

TEST_F(Lot, A_plan_for_a_lot_takes_the_thickness_that_its_speed_and_its_seats_ask_for) {
    const json plain = asked({"plan", design_});
    const json planned = asked({"plan", design_, "--lot", lot()});
    const auto root_mm = [](const json& one) { return one["solved_stations_mm"][0][1].get<double>(); };
    for (std::size_t i = 0; i < plain["tongues"].size(); ++i) {
        const json& before = plain["tongues"][i];
        const json& after = planned["tongues"][i];
        EXPECT_EQ(before["target_hz"], after["target_hz"]);
        EXPECT_LE(std::abs(after["error_cents"].get<double>()), 0.001);
        // A strip of one thickness goes as thickness x speed / (length + give x thickness)^2; one thicker at its root
        // than beyond feels its seat less.
        const double root = root_mm(before);
        const double length = before["length_mm"];
        const double ratio = root_mm(after) / root;
        EXPECT_GT(ratio, 1.0 / 1.01) << i;
        EXPECT_LT(ratio, std::pow((length + 0.9 * root) / (length + 0.64 * root), 2) / 1.01) << i;
    }
    const json& told = planned["assumed"];
    EXPECT_EQ(told.back(),
              "of cuzn37-r630 the lot and seats of " + lot() + " (speed 1.0100 of the library's, give 0.90)");
    for (const json& one : told) EXPECT_THAT(one.get<std::string>(), testing::Not(testing::StartsWith("seat.give")));
    // A bow is sought with the lot too.
    const json bowed = asked({"plan", design_, "--lot", lot(), "--aim", "stress"});
    EXPECT_EQ(bowed["assumed"].back(), told.back());
    EXPECT_EQ(asked({"check", design_, "--lot", lot()})["passes"], true);
}

TEST_F(Lot, What_the_lot_has_in_common_is_a_smaller_share_of_the_scatter) {
    const json plain = asked({"scatter", design_, "--samples", "2000"});
    const json known = asked({"scatter", design_, "--samples", "2000", "--lot", lot()});
    // A modulus to 0.8 % and a seat to 0.2 that cancel by nine tenths, where it was 3 % and 0.32: less than a sixteenth
    // of the variance, beside the same dimensions.
    EXPECT_LT(known["lot_share"].get<double>(), plain["lot_share"].get<double>() / 4.0);
    for (std::size_t i = 0; i < plain["tongues"].size(); ++i)
        EXPECT_LT(known["tongues"][i]["std_cents"], plain["tongues"][i]["std_cents"]);
}

TEST_F(Lot, The_parts_of_a_pitchs_uncertainty_add_up_with_the_correlation) {
    const json pitch = asked({"pitch", tongue_, "--lot", lot()});
    double variance = 0.0;
    bool correlated = false;
    for (const json& part : pitch["budget"]) {
        const double effect = part["effect_cents"];
        variance += effect * std::abs(effect);
        if (part["input"] == "correlation") {
            correlated = true;
            EXPECT_LT(effect, 0.0);
            EXPECT_EQ(part["standard_deviation"], "modulus with seat, 0.90");
        }
    }
    EXPECT_TRUE(correlated);
    EXPECT_NEAR(2.0 * std::sqrt(variance), pitch["expanded_uncertainty_cents"].get<double>(), 1e-6);
    EXPECT_THAT(run_program({"pitch", tongue_, "--lot", lot()}).out,
                HasSubstr("  correlation     modulus with seat, 0.90"));
    // 100 000 draws hold a standard deviation to 0.2 %, one standard deviation; the rest is the bend of the pitch.
    const json scatter = asked({"scatter", tongue_, "--lot", lot()});
    EXPECT_NEAR(
        scatter["tongues"][0]["std_cents"].get<double>() / scatter["tongues"][0]["first_order_std_cents"].get<double>(),
        1.0, 0.02);
}

TEST_F(Lot, Shop_and_sheet_keep_the_lot_they_were_made_for) {
    const auto page = scratch_.path() / "sheet.html";
    const json plain = asked({"sheet", design_, "--out", page.string()});
    const json sheet = asked({"sheet", design_, "--lot", lot(), "--out", page.string(), "--replace"});
    EXPECT_NE(plain["revision"], sheet["revision"]);
    EXPECT_THAT(content_of(page), HasSubstr("# the lot and its seats, brass_lot.yaml"));
    if (!std::filesystem::exists(std::filesystem::path(REEDWRIGHT_PROGRAM).parent_path() / "libreedwright_cad.so"))
        GTEST_SKIP() << "the CAD module is not part of this build";
    const auto folder = scratch_.path() / "shop";
    const Outcome shop = run_program({"shop", design_, "--lot", lot(), "--out", folder.string(), "--json"});
    ASSERT_EQ(shop.code, 0) << shop.err;
    EXPECT_EQ(json::parse(shop.out)["revision"], sheet["revision"]);
    EXPECT_EQ(content_of(folder / "lot.yaml"), content_of(lot_));
}

TEST_F(Lot, Retuning_takes_the_tongues_as_they_were_planned_for_it) {
    const auto readings = scratch_.path() / "readings.csv";
    std::ofstream(readings) << "cell,row,reading\n1,blow,264Hz\n";
    const json planned = asked({"plan", design_, "--lot", lot()});
    const json retuned = asked({"retune", design_, readings.string(), "--lot", lot()});
    ASSERT_EQ(retuned["work"].size(), 20U);
    for (const json& work : retuned["work"])
        for (const json& tongue : planned["tongues"]) {
            if (work["cell"] != tongue["cell"] || work["row"] != tongue["row"]) continue;
            EXPECT_NEAR(work["model_pitch_hz"].get<double>(), tongue["pitch_hz"].get<double>(), 1e-6);
        }
}

TEST_F(Lot, Of_another_alloy_is_refused) {
    write("cusn6-r620");
    for (const char* command : {"plan", "check", "scatter"}) {
        const Outcome refused = run_program({command, design_, "--lot", lot()});
        EXPECT_EQ(refused.code, 1);
        EXPECT_THAT(refused.err, HasSubstr("is of cusn6-r620, and no tongue of the design is"));
        EXPECT_EQ(refused.out, "");
    }
}

}  // namespace
}  // namespace reedwright::test
