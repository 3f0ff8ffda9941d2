// One table of readings or one design per mistake, and beside it the exact text that the user is told. A new pair is
// picked up by itself. Tables are held against in_order.yaml.
#include "core/input/diagnostic.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/retune/readings_file.hpp"

#include <gtest/gtest.h>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace reedwright {
namespace {

namespace fs = std::filesystem;

// Fewer would mean that the folder was not found or that pairs were lost.
constexpr std::size_t least_pairs = 70;

const fs::path& folder() {
    static const fs::path path = fs::path(REEDWRIGHT_SOURCE_DIR) / "tests" / "bad_readings";
    return path;
}

std::vector<std::string> mistakes() {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder())) {
        const std::string extension = entry.path().extension().string();
        if ((extension == ".csv" || extension == ".yaml") && entry.path().stem() != "in_order")
            names.push_back(entry.path().filename().string());
    }
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

class BadReadings : public testing::TestWithParam<std::string> {};

TEST_P(BadReadings, AreRefusedWithTheirExactMessage) {
    const InFolder here;
    const MaterialLibrary library("../../materials");
    const fs::path file = GetParam();
    const std::string expected = content_of(file.stem().string() + ".txt");
    try {
        if (file.extension() == ".yaml")
            (void)read_instrument_file(file, library);
        else
            (void)read_readings_file(file, read_instrument_file("in_order.yaml", library));
        FAIL() << file << " was read without a word";
    } catch (const InputError& error) {
        EXPECT_EQ(error.what() + std::string("\n"), expected);
    }
}

INSTANTIATE_TEST_SUITE_P(Folder, BadReadings, testing::ValuesIn(mistakes()), [](const auto& tested) {
    std::string name = fs::path(tested.param).stem().string();
    std::replace_if(
        name.begin(), name.end(), [](unsigned char c) { return std::isalnum(c) == 0; }, '_');
    return name;
});

TEST(BadReadings, All_pairs_are_found_and_what_is_in_order_is_read) {
    const InFolder here;
    EXPECT_GE(mistakes().size(), least_pairs);
    EXPECT_EQ(read_instrument_file("in_order.yaml", MaterialLibrary("../../materials")).reeds.size(), 4U);
}

}  // namespace
}  // namespace reedwright
