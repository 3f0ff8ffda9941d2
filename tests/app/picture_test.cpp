// Pictures: the parts that do not need eyes.
#include "app/picture/axes.hpp"
#include "app/picture/svg.hpp"
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace reedwright::app {
namespace {

std::string content_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

TEST(Pictures, Scales_end_at_round_values_that_hold_the_data) {
    const Scale scale = rounded_scale(-3.1, 2.4, "");
    EXPECT_DOUBLE_EQ(scale.low, -4.0);
    EXPECT_DOUBLE_EQ(scale.high, 4.0);
    EXPECT_THAT(ticks(0.0, 1.0, 5),
                testing::ElementsAre(0.0, testing::DoubleNear(0.2, 1e-12), testing::DoubleNear(0.4, 1e-12),
                                     testing::DoubleNear(0.6, 1e-12), testing::DoubleNear(0.8, 1e-12),
                                     testing::DoubleNear(1.0, 1e-12)));
    EXPECT_LT(rounded_scale(2.0, 2.0, "").low, rounded_scale(2.0, 2.0, "").high);
}

TEST(Pictures, Text_is_escaped_and_coordinates_have_no_negative_zero) {
    Svg page(10.0, 10.0, "a < b", "\"quoted\" & more");
    page.text({-0.0001, 1.0}, "5 < 6 & 7", 3.0);
    const std::string svg = page.finish();
    EXPECT_THAT(svg, testing::HasSubstr("5 &lt; 6 &amp; 7"));
    EXPECT_THAT(svg, testing::Not(testing::HasSubstr("\"-0\"")));
}

TEST(Pictures, The_same_tongue_gives_the_same_picture_and_the_one_in_the_scenario_is_current) {
    Scratch scratch;
    const std::string file = (scratch.path() / "a4.svg").string();
    const std::string tongue = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml";
    ASSERT_EQ(run_program({"where", tongue, "--svg", file}).code, 0);
    // Regression, no validation: the picture that the README shows is what the program draws now.
    EXPECT_EQ(content_of(file), content_of(REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.svg"));
}

TEST(Pictures, Say_what_raises_and_lowers_and_that_frequencies_are_in_vacuo) {
    Scratch scratch;
    const std::string where = (scratch.path() / "where.svg").string();
    const std::string modes = (scratch.path() / "modes.svg").string();
    for (const char* tongue : {"brass_a4", "bronze_g3", "steel_e5"}) {
        const std::string file = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/" + std::string(tongue) + ".yaml";
        ASSERT_EQ(run_program({"where", file, "--svg", where, "--replace"}).code, 0);
        ASSERT_EQ(run_program({"pitch", file, "--svg", modes, "--replace"}).code, 0);
        for (const char* words : {">raises<", ">lowers<", "metal taken here raises the pitch",
                                  "metal taken here lowers the pitch", "in vacuo"})
            EXPECT_THAT(content_of(where), testing::HasSubstr(words)) << tongue;
        EXPECT_THAT(content_of(modes), testing::HasSubstr("modes in vacuo")) << tongue;
    }
}

}  // namespace
}  // namespace reedwright::app
