// Every input that the fuzzers start from or have ever stumbled over, run once by the compiler that ships.
#include "tests/fuzz/targets.hpp"

#include <gtest/gtest.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace reedwright::fuzz {
namespace {

namespace fs = std::filesystem;

struct Target {
    const char* name;
    void (*run)(std::string_view text);
    /// Fewer inputs would mean that gathering them has failed.
    std::size_t least_inputs;
};

void PrintTo(const Target& target, std::ostream* out) {
    *out << target.name;
}

class Replayed : public testing::TestWithParam<Target> {};

TEST_P(Replayed, Inputs_keep_every_promise) {
    std::size_t inputs = 0;
    for (const auto& entry : fs::directory_iterator(fs::path(REEDWRIGHT_FUZZ_SEEDS) / GetParam().name)) {
        SCOPED_TRACE(entry.path().string());
        std::ifstream stream(entry.path(), std::ios::binary);
        const std::string text{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
        ASSERT_TRUE(stream) << "cannot be read";
        EXPECT_NO_THROW(GetParam().run(text));
        ++inputs;
    }
    EXPECT_GE(inputs, GetParam().least_inputs);
}

INSTANTIATE_TEST_SUITE_P(Fuzz, Replayed,
                         testing::Values(Target{"tongue_file", tongue_file, 100},
                                         Target{"design_file", design_file, 40},
                                         Target{"readings_table", readings_table, 37}, Target{"pass_log", pass_log, 3},
                                         Target{"stock_list", stock_list, 1},
                                         Target{"measured_table", measured_table, 1},
                                         Target{"calibration_file", calibration_file, 1}, Target{"words", words, 1}),
                         [](const auto& tested) { return std::string(tested.param.name); });

#ifdef REEDWRIGHT_FUZZ_PAGE
INSTANTIATE_TEST_SUITE_P(FuzzProgram, Replayed, testing::Values(Target{"page_question", page_question, 9}),
                         [](const auto& tested) { return std::string(tested.param.name); });
#endif

TEST(Promises, Broken_ones_are_noticed) {
    EXPECT_THROW(demand_in_order(InputError(std::vector<Diagnostic>{}), ""), BrokenPromise);
    const auto at = [](int line, int column) {
        return InputError({Diagnostic{Place{source_name(), line, column}, "wrong", {}, {}}});
    };
    EXPECT_NO_THROW(demand_in_order(at(2, 4), "a\nbcd"));
    EXPECT_THROW(demand_in_order(at(2, 5), "a\nbcd"), BrokenPromise);
    EXPECT_THROW(demand_in_order(at(3, 1), "a\nbcd"), BrokenPromise);
    EXPECT_THROW(demand_in_order(at(1, 0), "a\nbcd"), BrokenPromise);
    EXPECT_THROW(demand_positive(0.0, "a pitch"), BrokenPromise);
    EXPECT_THROW(demand_finite(1.0 / 0.0, "a pitch"), BrokenPromise);
}

}  // namespace
}  // namespace reedwright::fuzz
