// One file per mistake, and beside it the exact text that the user is told. A new pair is picked up by itself.
#include "core/input/diagnostic.hpp"
#include "core/tongue/reed_file.hpp"
#include "tests/support/program.hpp"

#include <gtest/gtest.h>
#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <vector>

namespace reedwright {
namespace {

namespace fs = std::filesystem;

// Fewer would mean that the folder was not found or that pairs were lost.
constexpr std::size_t least_pairs = 40;

const fs::path& folder() {
    static const fs::path path = fs::path(REEDWRIGHT_SOURCE_DIR) / "tests" / "bad_inputs";
    return path;
}

std::vector<std::string> mistakes() {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder()))
        if (entry.path().extension() == ".yaml") names.push_back(entry.path().stem().string());
    std::sort(names.begin(), names.end());
    return names;
}

std::string content_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file << " cannot be read";
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

// Names relative to the folder of the mistakes are the same on every machine.
class InFolder {
public:
    InFolder() : before_(fs::current_path()) { fs::current_path(folder()); }
    ~InFolder() {
        std::error_code ignored;
        fs::current_path(before_, ignored);
    }
    InFolder(const InFolder&) = delete;
    InFolder& operator=(const InFolder&) = delete;

private:
    fs::path before_;
};

std::set<fs::path> everything_under(const fs::path& top) {
    std::set<fs::path> found;
    for (const auto& entry : fs::recursive_directory_iterator(top)) found.insert(entry.path());
    return found;
}

class BadInput : public testing::TestWithParam<std::string> {};

TEST_P(BadInput, IsRefusedWithItsExactMessage) {
    const InFolder here;
    const MaterialLibrary library(fs::path(REEDWRIGHT_SOURCE_DIR) / "materials");
    const std::string expected = content_of(GetParam() + ".txt");
    try {
        (void)read_reed_file(GetParam() + ".yaml", library);
        FAIL() << GetParam() << ".yaml was read without a word";
    } catch (const InputError& error) {
        EXPECT_EQ(error.what() + std::string("\n"), expected);
    }
}

INSTANTIATE_TEST_SUITE_P(Folder, BadInput, testing::ValuesIn(mistakes()), [](const auto& tested) {
    std::string name = tested.param;
    std::replace_if(
        name.begin(), name.end(), [](unsigned char c) { return std::isalnum(c) == 0; }, '_');
    return name;
});

TEST(BadInputs, EveryMistakeHasItsMessageAndEveryMessageItsMistake) {
    std::size_t pairs = 0;
    for (const auto& entry : fs::directory_iterator(folder())) {
        const fs::path& file = entry.path();
        if (file.extension() == ".yaml") {
            EXPECT_TRUE(fs::exists(fs::path(file).replace_extension(".txt")))
                << file << " has no .txt with its message";
            ++pairs;
        }
        if (file.extension() == ".txt") {
            EXPECT_TRUE(fs::exists(fs::path(file).replace_extension(".yaml")))
                << file << " has no .yaml with its mistake";
        }
    }
    EXPECT_GE(pairs, least_pairs);
}

// Also runs over pairs that came after this binary was listed by CTest.
TEST(BadInputs, TheProgramTellsEachOnStandardErrorAloneExitsWithOneAndWritesNothing) {
    if (!program_is_built()) GTEST_SKIP() << "the program is not part of this build";
    const InFolder here;
    const Scratch scratch;
    const fs::path picture = scratch.path() / "picture.svg";
    const auto before = everything_under(folder());
    for (const std::string& mistake : mistakes()) {
        SCOPED_TRACE(mistake);
        const Outcome outcome = run_program({"pitch", mistake + ".yaml", "--svg", picture.string(), "--json"});
        EXPECT_EQ(outcome.code, 1);
        EXPECT_EQ(outcome.out, "");
        EXPECT_EQ(outcome.err, content_of(mistake + ".txt"));
        EXPECT_TRUE(fs::is_empty(scratch.path())) << "something was written";
    }
    EXPECT_EQ(everything_under(folder()), before);
}

TEST(BadInputs, NoCommandTakesABadTongue) {
    if (!program_is_built()) GTEST_SKIP() << "the program is not part of this build";
    const InFolder here;
    const Scratch scratch;
    const std::string file = mistakes().front() + ".yaml";
    const std::string expected = content_of(mistakes().front() + ".txt");
    const std::string made = (scratch.path() / "made").string();
    const std::vector<std::vector<std::string>> commands{
        {"where", file, "--svg", made},
        {"cut", file, "--zone", "tip", "--depth", "5um"},
        {"cut", file, "--zone", "tip", "--read", "438Hz", "--want", "A4"},
        {"load", file, "--read", "442Hz", "--want", "A4"},
        {"shop", file, "--out", made},
    };
    for (const auto& command : commands) {
        SCOPED_TRACE(command.front());
        const Outcome outcome = run_program(command);
        EXPECT_EQ(outcome.code, 1);
        EXPECT_EQ(outcome.out, "");
        EXPECT_EQ(outcome.err, expected);
        EXPECT_TRUE(fs::is_empty(scratch.path())) << "something was written";
    }
}

}  // namespace
}  // namespace reedwright
