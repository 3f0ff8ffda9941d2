// The shop command on whole designs, as a process.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs/";

class ShopDesign : public testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        if (!fs::exists(fs::path(REEDWRIGHT_PROGRAM).parent_path() / "libreedwright_cad.so"))
            GTEST_SKIP() << "the CAD module is not part of this build";
        std::string name = GetParam();
        for (char& c : name)
            if (c == '/') c = '_';
        folder_ = fs::temp_directory_path() / ("reedwright_" + name);
        fs::remove_all(folder_);
    }
    void TearDown() override { fs::remove_all(folder_); }
    fs::path folder_;
};

TEST_P(ShopDesign, Writes_every_file_that_its_list_names_and_no_other) {
    const Outcome outcome = run_program({"shop", designs + GetParam(), "--out", folder_.string(), "--json"});
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json contents = json::parse(outcome.out);
    std::set<std::string> named{"contents.json"};
    for (const json& one : contents["files"]) {
        const std::string name = one["name"];
        EXPECT_TRUE(named.insert(name).second) << name << " stands twice";
        EXPECT_EQ(fs::file_size(folder_ / name), one["bytes"].get<std::uintmax_t>()) << name;
        EXPECT_EQ(one["sha256"].get<std::string>().size(), 64U);
    }
    std::set<std::string> there;
    for (const auto& entry : fs::directory_iterator(folder_)) there.insert(entry.path().filename().string());
    EXPECT_EQ(there, named);
    for (const char* due : {"assembly.step", "assembly.glb", "drawings.pdf", "sheet_01.svg", "design.yaml"})
        EXPECT_TRUE(there.contains(due)) << due;
    const Outcome again = run_program({"shop", designs + GetParam(), "--out", folder_.string()});
    EXPECT_EQ(again.code, 1);
    EXPECT_THAT(again.err, HasSubstr("--replace"));
}

INSTANTIATE_TEST_SUITE_P(Examples, ShopDesign,
                         testing::Values("03_ten_hole_brass/equal.yaml", "04_tremolo_bronze/design.yaml",
                                         "05_steel_block/design.yaml"));

TEST(ShopDesignRefusals, A_design_that_fails_its_check_is_refused_and_nothing_is_written) {
    const fs::path file = fs::temp_directory_path() / "reedwright_misfit.yaml";
    std::ifstream stream(designs + "03_ten_hole_brass/equal.yaml");
    std::string text{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    const std::string width = "cell_width: 5.5 mm";
    text.replace(text.find(width), width.size(), "cell_width: 6.8 mm");
    std::ofstream(file) << text;
    const fs::path folder = fs::temp_directory_path() / "reedwright_misfit";
    const Outcome outcome = run_program({"shop", file.string(), "--out", folder.string()});
    EXPECT_EQ(outcome.code, 1);
    EXPECT_THAT(outcome.err, HasSubstr("comb wall"));
    EXPECT_FALSE(fs::exists(folder));
    fs::remove(file);
}

}  // namespace
}  // namespace reedwright
