// Disks that are full, limited, read-only or closed to the user: a clear error, the old files kept, nothing left
// behind.
#include "tests/support/program.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <linux/capability.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <map>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using Words = std::vector<std::string>;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs";
const std::string brass = designs + "/01_three_tongues/brass_a4.yaml";

struct Writer {
    std::string name;
    Words command;
    std::string target;
};

// Every command that writes, with the name of what it writes last.
std::vector<Writer> writers() {
    const std::string club = designs + "/02_club_mouth_organ/";
    return {{"picture", {"where", brass, "--replace", "--svg"}, "a.svg"},
            {"shop", {"shop", brass, "--replace", "--out"}, "shop"},
            {"plates", {"shop", designs + "/03_ten_hole_brass/equal.yaml", "--replace", "--out"}, "plates"},
            {"lot", {"calibrate", designs + "/01_three_tongues/measured_brass.yaml", "--replace", "--out"}, "lot.yaml"},
            {"page", {"retune", club + "instrument.yaml", club + "readings.csv", "--replace", "--html"}, "page.html"},
            {"sound", {"blow", brass, "--pressure", "500Pa", "--replace", "--wav"}, "a.wav"},
            {"log", {"cut", brass, "--read", "-9c", "--want", "A4", "--zone", "tip", "--log"}, "a4.log"}};
}

const std::string first_pass = "- {reading: 436.964 Hz, want: 440 Hz, from: 12 mm, to: 15 mm, proposed: 1.9 um}\n";

// What stands in the folder before: a log of one pass, a picture of somebody's.
void fill(const fs::path& folder) {
    std::ofstream(folder / "a4.log") << first_pass;
    std::ofstream(folder / "a.svg") << "an older picture";
}

std::map<std::string, std::string> files_under(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        std::ifstream stream(entry.path(), std::ios::binary);
        files[entry.path().string()] = {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    }
    return files;
}

// What is wrong after each of the commands failed to write into the folder; empty when all is as it should be.
std::string wrong_after_failures(const fs::path& folder, const std::string& reason,
                                 const std::function<void()>& before = {}) {
    std::string wrong;
    const auto old_files = files_under(folder);
    for (const Writer& writer : writers()) {
        Words command = writer.command;
        command.push_back((folder / writer.target).string());
        const Outcome outcome = run_program(command, before);
        if (outcome.code != 1 || outcome.err.find("cannot be written: " + reason) == std::string::npos ||
            outcome.err.find(writer.target) == std::string::npos)
            wrong += fmt::format("{}: exit {}, {}", writer.name, outcome.code, outcome.err);
        if (files_under(folder) != old_files) wrong += writer.name + ": the folder is not as it was\n";
    }
    return wrong;
}

TEST(LimitOnTheSizeOfFiles, is_told_and_leaves_everything_as_it_was) {
    const Scratch scratch;
    fill(scratch.path());
    const rlimit limit{100, 100};
    // What the program tells goes through pipes of its own, so the limit holds for its files alone.
    const std::string wrong = [&] {
        std::string all;
        const auto old_files = files_under(scratch.path());
        for (const Writer& writer : writers()) {
            Words command = writer.command;
            command.push_back((scratch.path() / writer.target).string());
            int ends[2];
            if (::pipe(ends) != 0) return std::string("no pipe");
            const Outcome outcome = run_program(command, [&] {
                ::dup2(ends[1], STDERR_FILENO);
                ::dup2(::open("/dev/null", O_WRONLY), STDOUT_FILENO);
                ::setrlimit(RLIMIT_FSIZE, &limit);
            });
            ::close(ends[1]);
            std::string told(4096, '\0');
            told.resize(static_cast<std::size_t>(std::max<ssize_t>(0, ::read(ends[0], told.data(), told.size()))));
            ::close(ends[0]);
            if (outcome.code != 1 || told.find("cannot be written: File too large") == std::string::npos)
                all += fmt::format("{}: exit {}, {}", writer.name, outcome.code, told);
            if (files_under(scratch.path()) != old_files) all += writer.name + ": the folder is not as it was\n";
        }
        return all;
    }();
    EXPECT_EQ(wrong, "");
}

// Mounts belong to a process and its children here, so that nobody else sees them. Runs work in such a process; what it
// returns comes back, or "skip: " with the reason why there can be no mounts.
std::string with_own_mounts(const std::function<std::string()>& work) {
    int ends[2];
    if (::pipe(ends) != 0) return "skip: no pipe";
    const pid_t child = ::fork();
    if (child == 0) {
        std::string answer;
        if (::unshare(CLONE_NEWNS) != 0 || ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0)
            answer = fmt::format("skip: mounts of its own are not permitted here ({})",
                                 std::error_code(errno, std::generic_category()).message());
        else
            answer = work();
        const ssize_t ignored = ::write(ends[1], answer.data(), answer.size());
        ::_exit(ignored < 0 ? 1 : 0);
    }
    ::close(ends[1]);
    std::string answer;
    char bytes[4096];
    for (ssize_t count = 0; (count = ::read(ends[0], bytes, sizeof bytes)) > 0;)
        answer.append(bytes, static_cast<std::size_t>(count));
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    return answer + (status == 0 ? "" : "the process of its own ended badly\n");
}

TEST(FullDisk, is_told_and_leaves_everything_as_it_was) {
    const Scratch scratch;
    const std::string answer = with_own_mounts([&]() -> std::string {
        if (::mount("tmpfs", scratch.path().c_str(), "tmpfs", 0, "size=64k") != 0)
            return "skip: no tmpfs may be mounted";
        fill(scratch.path());
        {
            // A last page with room would take another line although the disk is full.
            constexpr std::size_t page = 4096;
            std::ofstream log(scratch.path() / "a4.log", std::ios::app);
            log << '#' << std::string(page - first_pass.size() - 2, '-') << '\n';
        }
        {
            std::ofstream filler(scratch.path() / "filler");
            while (filler << 'x' << std::flush) {
            }
        }
        return wrong_after_failures(scratch.path(), "No space left on device");
    });
    if (answer.starts_with("skip: ")) GTEST_SKIP() << answer;
    EXPECT_EQ(answer, "");
}

TEST(ReadOnlyDisk, is_told_and_leaves_everything_as_it_was) {
    const Scratch scratch;
    fill(scratch.path());
    const std::string answer = with_own_mounts([&]() -> std::string {
        const char* const folder = scratch.path().c_str();
        if (::mount(folder, folder, nullptr, MS_BIND, nullptr) != 0 ||
            ::mount(nullptr, folder, nullptr, MS_REMOUNT | MS_BIND | MS_RDONLY, nullptr) != 0)
            return "skip: no folder may be mounted";
        return wrong_after_failures(scratch.path(), "Read-only file system");
    });
    if (answer.starts_with("skip: ")) GTEST_SKIP() << answer;
    EXPECT_EQ(answer, "");
}

// Root passes over permissions; without these two rights it is bound by them like everybody.
void lose_rights() {
    ::prctl(PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, 0, 0, 0);
    ::prctl(PR_CAPBSET_DROP, CAP_DAC_READ_SEARCH, 0, 0, 0);
}

TEST(FolderOfOthers, is_told_and_leaves_everything_as_it_was) {
    const Scratch scratch;
    fill(scratch.path());
    ASSERT_EQ(::chmod((scratch.path() / "a4.log").c_str(), 0444), 0);
    ASSERT_EQ(::chmod(scratch.path().c_str(), 0555), 0);
    EXPECT_EQ(wrong_after_failures(scratch.path(), "Permission denied", lose_rights), "");
    ASSERT_EQ(::chmod(scratch.path().c_str(), 0755), 0);
}

TEST(UnreadableFile, is_told) {
    const Scratch scratch;
    const std::string file = (scratch.path() / "secret").string();
    std::ofstream(file) << "tongue:\n";
    ASSERT_EQ(::chmod(file.c_str(), 0), 0);
    const std::string instrument = designs + "/02_club_mouth_organ/instrument.yaml";
    for (const Words& command :
         {Words{"pitch", file}, Words{"plan", file}, Words{"calibrate", file}, Words{"retune", instrument, file},
          Words{"cut", brass, "--read", "-9c", "--want", "A4", "--zone", "tip", "--log", file}}) {
        const Outcome outcome = run_program(command, lose_rights);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_EQ(outcome.err, file + ": cannot be opened for reading\n");
        EXPECT_EQ(outcome.out, "");
    }
    const Outcome sound = run_program({"listen", file}, lose_rights);
    EXPECT_EQ(sound.code, 1);
    EXPECT_THAT(sound.err, HasSubstr(file + ": cannot be "));
}

}  // namespace
}  // namespace reedwright
