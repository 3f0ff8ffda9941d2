// Killed at any moment, the program leaves the old or the new, whole; the next run works and clears away the rest.
#include "tests/support/program.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <chrono>
#include <csignal>
#include <map>
#include <random>
#include <thread>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;
// Every file under a folder, by its path from there.
using Files = std::map<std::string, std::string>;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs";
const std::string brass = designs + "/01_three_tongues/brass_a4.yaml";
const std::string bronze = designs + "/01_three_tongues/bronze_g3.yaml";

std::string content_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

Files files_under(const fs::path& folder) {
    Files files;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) files[fs::relative(entry.path(), folder).string()] = content_of(entry.path());
    return files;
}

bool part_stands(const fs::path& folder) {
    std::error_code gone;
    for (fs::directory_iterator at(folder, gone), end; !gone && at != end; at.increment(gone))
        if (at->path().extension() == ".part") return true;
    return false;
}

// Runs the program and kills it: after a time or, when told so, a time after a part of a file stands in the folder.
// Tells whether it was killed before it ended by itself.
bool kill_while_running(const Words& arguments, std::chrono::microseconds after, const fs::path& watched) {
    const pid_t child = start_program(arguments, "/dev/null", "/dev/null");
    int status = 0;
    bool ended = false;
    if (!watched.empty())
        while (!ended && !part_stands(watched)) ended = ::waitpid(child, &status, WNOHANG) == child;
    if (!ended) {
        std::this_thread::sleep_for(after);
        ::kill(child, SIGKILL);
        while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
        }
    }
    return WIFSIGNALED(status);
}

// One of the commands that write, with what it is to write over: the same command for another reed or design.
struct Writer {
    std::string name;
    Words old_command;
    Words new_command;
    /// Of the file or folder that is written; it stands last in both commands.
    std::string target;
};

void PrintTo(const Writer& writer, std::ostream* out) {
    *out << writer.name;
}

class KilledWhileWriting : public testing::TestWithParam<Writer> {};

TEST_P(KilledWhileWriting, leaves_the_old_or_the_new_and_the_next_run_clears_up) {
    const Writer& writer = GetParam();
    const Scratch scratch;
    const fs::path folder = scratch.path() / "out";
    fs::create_directory(folder);
    const auto with_target = [&](Words words) {
        words.push_back((folder / writer.target).string());
        words.emplace_back("--replace");
        return words;
    };
    const Words old_command = with_target(writer.old_command);
    const Words new_command = with_target(writer.new_command);
    const auto start = std::chrono::steady_clock::now();
    ASSERT_EQ(run_program(new_command).code, 0);
    const auto whole = std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
    const Files new_files = files_under(folder);
    ASSERT_EQ(run_program(old_command).code, 0);
    const Files old_files = files_under(folder);
    ASSERT_NE(old_files, new_files);

    std::mt19937 random(1);
    int killed = 0;
    for (int round = 0; round < 24; ++round) {
        // Half of them at any moment of the run, half while the files are on their way to the disk.
        const bool on_the_way = round % 2 == 0;
        const auto latest = on_the_way ? std::chrono::microseconds(4000) : whole;
        std::uniform_int_distribution<std::chrono::microseconds::rep> moment(0, latest.count());
        const auto after = std::chrono::microseconds(moment(random));
        killed += kill_while_running(new_command, after, on_the_way ? folder : fs::path{}) ? 1 : 0;
        Files found = files_under(folder);
        std::erase_if(found, [](const auto& file) { return file.first.starts_with("."); });
        ASSERT_TRUE(found == old_files || found == new_files)
            << "round " << round << ", killed after " << after.count() << " us";
        if (found == new_files) {
            ASSERT_EQ(run_program(old_command).code, 0);
        }
    }
    // Otherwise nothing was tried.
    EXPECT_GE(killed, 6);
    ASSERT_EQ(run_program(new_command).code, 0);
    EXPECT_EQ(files_under(folder), new_files);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder), fs::directory_iterator()), 1);
}

std::vector<Writer> writers() {
    const std::string club = designs + "/02_club_mouth_organ/";
    const std::string measured = designs + "/01_three_tongues/measured_brass.yaml";
    // The same lot with its last tongue left out.
    static const Scratch scratch;
    const std::string fewer = (scratch.path() / "fewer.yaml").string();
    const std::string all = content_of(measured);
    std::ofstream(fewer) << all.substr(0, all.rfind("\n  - ") + 1);
    return {{"where_svg", {"where", brass, "--svg"}, {"where", bronze, "--svg"}, "a.svg"},
            {"shop_of_a_tongue", {"shop", brass, "--out"}, {"shop", bronze, "--out"}, "shop"},
            {"shop_of_a_design",
             {"shop", designs + "/03_ten_hole_brass/equal.yaml", "--out"},
             {"shop", designs + "/03_ten_hole_brass/just.yaml", "--out"},
             "shop"},
            {"sheet_of_a_tongue", {"sheet", brass, "--out"}, {"sheet", bronze, "--out"}, "reed.html"},
            {"calibrate_out", {"calibrate", fewer, "--out"}, {"calibrate", measured, "--out"}, "lot.yaml"},
            {"retune_html",
             {"retune", club + "instrument.yaml", club + "readings.csv", "--html"},
             {"retune", club + "instrument.yaml", club + "readings.csv", "--a4", "443Hz", "--html"},
             "sheet.html"}};
}

INSTANTIATE_TEST_SUITE_P(Faults, KilledWhileWriting, testing::ValuesIn(writers()),
                         [](const auto& one) { return one.param.name; });

TEST(KilledWhileLogging, keeps_every_earlier_pass_and_the_next_run_reads_the_log) {
    const Scratch scratch;
    const fs::path log = scratch.path() / "a4.log";
    const auto command = [&](int pass) {
        // Each pass reads a little nearer to the target, and says that metal was taken.
        return Words{"cut",    brass,        "--read", fmt::format("{}c", -12.0 + 0.2 * pass),
                     "--want", "A4",         "--zone", "tip",
                     "--log",  log.string(), "--again"};
    };
    const auto start = std::chrono::steady_clock::now();
    ASSERT_EQ(run_program(command(0)).code, 0);
    const auto whole = std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
    std::mt19937 random(2);
    std::uniform_int_distribution<std::chrono::microseconds::rep> moment(0, whole.count());
    int killed = 0;
    for (int pass = 1; pass <= 30; ++pass) {
        const std::string before = content_of(log);
        killed += kill_while_running(command(pass), std::chrono::microseconds(moment(random)), {}) ? 1 : 0;
        const std::string after = content_of(log);
        ASSERT_TRUE(after.starts_with(before)) << after;
        const std::string added = after.substr(before.size());
        ASSERT_TRUE(added.empty() || (std::count(added.begin(), added.end(), '\n') == 1 && added.ends_with("}\n")))
            << added;
    }
    EXPECT_GE(killed, 8);
    const Outcome next = run_program(command(31));
    EXPECT_EQ(next.code, 0) << next.err;
    EXPECT_EQ(std::distance(fs::directory_iterator(scratch.path()), fs::directory_iterator()), 1);
}

}  // namespace
}  // namespace reedwright
