// The CAD kernel given what it cannot draw: the program says that the fault is ours and which part, and writes nothing.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs";

// A copy of the program, beside it the module that spoils a plate on its way to the real one.
class SpoiltPart : public testing::Test {
protected:
    void SetUp() override {
        fs::copy_file(REEDWRIGHT_PROGRAM, program());
        fs::copy_file(REEDWRIGHT_SPOILING_MODULE, scratch_.path() / "libreedwright_cad.so");
    }
    fs::path program() const { return scratch_.path() / "reedwright"; }
    fs::path out() const { return scratch_.path() / "out"; }
    void fails_on(const std::string& part, const std::string& input) const {
        const Outcome outcome = run_program({"shop", input, "--out", out().string()}, {}, program().string());
        EXPECT_EQ(outcome.code, 3);
        EXPECT_EQ(outcome.err, "reedwright failed, and the fault is ours: the CAD kernel failed on \"" + part +
                                   "\": its faces cross, touch or do not close\n");
        EXPECT_EQ(outcome.out, "");
        EXPECT_EQ(std::distance(fs::directory_iterator(scratch_.path()), fs::directory_iterator()), 2);
    }

private:
    Scratch scratch_;
};

TEST_F(SpoiltPart, of_a_tongue_is_its_plate) {
    fails_on("plate A4", designs + "/01_three_tongues/brass_a4.yaml");
}

TEST_F(SpoiltPart, of_a_design_is_the_plate_with_the_hole_in_its_slot_and_no_other) {
    fails_on("draw plate", designs + "/03_ten_hole_brass/equal.yaml");
}

TEST(MissingModule, is_our_fault_and_tells_where_it_was_looked_for) {
    const Scratch scratch;
    const std::string program = (scratch.path() / "reedwright").string();
    fs::copy_file(REEDWRIGHT_PROGRAM, program);
    const Outcome outcome = run_program(
        {"shop", designs + "/01_three_tongues/brass_a4.yaml", "--out", (scratch.path() / "out").string()}, {}, program);
    EXPECT_EQ(outcome.code, 3);
    EXPECT_THAT(outcome.err, HasSubstr("no CAD module found; tried\n    " + scratch.path().string()));
    EXPECT_FALSE(fs::exists(scratch.path() / "out"));
}

}  // namespace
}  // namespace reedwright
