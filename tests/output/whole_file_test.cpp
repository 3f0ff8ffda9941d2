// Files and folders stand whole, old or new, whatever happens meanwhile.
#include "core/output/whole_file.hpp"

#include "core/input/diagnostic.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/file.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/sysmacros.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>
#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <iterator>
#include <string>
#include <system_error>
#include <thread>
#include <vector>

namespace reedwright {
namespace {

namespace fs = std::filesystem;

class WholeFile : public testing::Test {
protected:
    void SetUp() override {
        std::string pattern = (fs::temp_directory_path() / "reedwright-whole-XXXXXX").string();
        ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
        folder_ = pattern;
    }
    void TearDown() override {
        std::error_code ignored;
        fs::remove_all(folder_, ignored);
    }
    fs::path in_folder(const std::string& name) const { return folder_ / name; }

    static std::string content_of(const fs::path& file) {
        std::ifstream stream(file, std::ios::binary);
        return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    }
    std::vector<std::string> names() const {
        std::vector<std::string> found;
        for (const auto& entry : fs::directory_iterator(folder_)) found.push_back(entry.path().filename().string());
        std::sort(found.begin(), found.end());
        return found;
    }
    static std::string refusal_of(const std::function<void()>& work) {
        try {
            work();
        } catch (const InputError& error) {
            return error.what();
        }
        return "done without a word";
    }

private:
    fs::path folder_;
};

using Names = std::vector<std::string>;

TEST_F(WholeFile, ANewFileHoldsWhatWasGivenAndNothingStandsBesideIt) {
    const std::string content("one\0two\r\n", 9);
    write_whole_file(in_folder("a"), content, Existing::keep);
    EXPECT_EQ(content_of(in_folder("a")), content);
    write_whole_file(in_folder("b"), "", Existing::replace);
    EXPECT_EQ(content_of(in_folder("b")), "");
    EXPECT_EQ(names(), (Names{"a", "b"}));
}

TEST_F(WholeFile, AFileInTheWorkingFolderNeedsNoPath) {
    const fs::path before = fs::current_path();
    fs::current_path(in_folder(""));
    write_whole_file("a", "one", Existing::keep);
    write_whole_file("a", "two", Existing::replace);
    fs::current_path(before);
    EXPECT_EQ(content_of(in_folder("a")), "two");
    EXPECT_EQ(names(), (Names{"a"}));
}

TEST_F(WholeFile, AFileToKeepIsNotTouched) {
    write_whole_file(in_folder("a"), "old", Existing::keep);
    EXPECT_EQ(refusal_of([&] { write_whole_file(in_folder("a"), "new", Existing::keep); }),
              in_folder("a").string() + ": stands already; say --replace to write over it, or choose another name");
    EXPECT_EQ(content_of(in_folder("a")), "old");
    EXPECT_EQ(names(), (Names{"a"}));
}

TEST_F(WholeFile, ALinkToNowhereIsKeptLikeAFile) {
    fs::create_symlink("nowhere", in_folder("a"));
    EXPECT_NE(refusal_of([&] { write_whole_file(in_folder("a"), "new", Existing::keep); }), "done without a word");
    EXPECT_EQ(fs::read_symlink(in_folder("a")), "nowhere");
    EXPECT_FALSE(fs::exists(in_folder("nowhere")));
    EXPECT_EQ(names(), (Names{"a"}));
}

TEST_F(WholeFile, AFileIsReplacedByAnotherOneNotWrittenOver) {
    write_whole_file(in_folder("a"), "the old content", Existing::keep);
    std::ifstream reader(in_folder("a"));
    struct stat old_file {};
    ASSERT_EQ(::stat(in_folder("a").c_str(), &old_file), 0);
    write_whole_file(in_folder("a"), "new", Existing::replace);
    struct stat new_file {};
    ASSERT_EQ(::stat(in_folder("a").c_str(), &new_file), 0);
    EXPECT_NE(old_file.st_ino, new_file.st_ino);
    // Who had it open still reads the old one, whole.
    EXPECT_EQ(std::string(std::istreambuf_iterator<char>(reader), {}), "the old content");
    EXPECT_EQ(content_of(in_folder("a")), "new");
}

TEST_F(WholeFile, AFolderOrAPlaceThatIsNotThereIsRefused) {
    fs::create_directory(in_folder("folder"));
    EXPECT_EQ(refusal_of([&] { write_whole_file(in_folder("folder"), "new", Existing::replace); }),
              in_folder("folder").string() + ": is a folder, not a file");
    const fs::path lost = in_folder("none") / "a";
    EXPECT_EQ(refusal_of([&] { write_whole_file(lost, "new", Existing::keep); }),
              lost.string() + ": there is no folder " + in_folder("none").string() + " to write into");
    EXPECT_EQ(names(), (Names{"folder"}));
}

TEST_F(WholeFile, ADeviceAPipeOrASocketKeepsItsName) {
    // Nodes of the test's own: a file moved into place would take their name away, as root even from a device.
    ASSERT_EQ(::mkfifo(in_folder("pipe").c_str(), 0600), 0);
    struct Node {
        std::string name;
        std::string kind;
    };
    std::vector<Node> nodes{{"pipe", "a pipe"}};
    if (::mknod(in_folder("device").c_str(), S_IFCHR | 0600, makedev(1, 3)) == 0)
        nodes.push_back({"device", "a device"});
    const int socket = ::socket(AF_UNIX, SOCK_STREAM, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    in_folder("socket").string().copy(address.sun_path, sizeof address.sun_path - 1);
    if (::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0)
        nodes.push_back({"socket", "a socket"});
    ::close(socket);
    EXPECT_EQ(nodes.back().name, "socket");
    const Names before = names();
    for (const Node& node : nodes) {
        struct stat old_node {};
        ASSERT_EQ(::lstat(in_folder(node.name).c_str(), &old_node), 0);
        for (const Existing existing : {Existing::replace, Existing::keep}) {
            EXPECT_EQ(refusal_of([&] { write_whole_file(in_folder(node.name), "new", existing); }),
                      in_folder(node.name).string() + ": is " + node.kind + ", not a file");
            EXPECT_EQ(refusal_of([&] {
                          write_whole_folder(in_folder(node.name), {{"marker", "m"}}, existing, "marker");
                      }),
                      in_folder(node.name).string() + ": is " + node.kind + ", not a folder");
        }
        // The same behind a link.
        fs::create_symlink(node.name, in_folder("link"));
        EXPECT_EQ(refusal_of([&] { write_whole_file(in_folder("link"), "new", Existing::replace); }),
                  in_folder("link").string() + ": is " + node.kind + ", not a file");
        fs::remove(in_folder("link"));
        struct stat new_node {};
        ASSERT_EQ(::lstat(in_folder(node.name).c_str(), &new_node), 0);
        EXPECT_EQ(old_node.st_mode, new_node.st_mode);
        EXPECT_EQ(old_node.st_ino, new_node.st_ino);
    }
    EXPECT_EQ(names(), before);
}

TEST_F(WholeFile, ALinkIsFollowedAndStaysALink) {
    fs::create_directory(in_folder("shelf"));
    write_whole_file(in_folder("shelf") / "a", "old", Existing::keep);
    fs::create_symlink("shelf/a", in_folder("link"));
    fs::create_symlink("link", in_folder("link to link"));
    EXPECT_NE(refusal_of([&] { write_whole_file(in_folder("link"), "new", Existing::keep); }).find("stands already"),
              std::string::npos);
    write_whole_file(in_folder("link to link"), "new", Existing::replace);
    EXPECT_EQ(content_of(in_folder("shelf") / "a"), "new");
    EXPECT_EQ(fs::read_symlink(in_folder("link")), "shelf/a");

    write_whole_folder(in_folder("shelf") / "out", {{"marker", "m"}}, Existing::keep, "marker");
    fs::create_symlink("shelf/out", in_folder("out"));
    write_whole_folder(in_folder("out"), {{"marker", "n"}}, Existing::replace, "marker");
    EXPECT_EQ(content_of(in_folder("shelf") / "out" / "marker"), "n");
    EXPECT_EQ(fs::read_symlink(in_folder("out")), "shelf/out");
    EXPECT_EQ(std::distance(fs::directory_iterator(in_folder("shelf")), fs::directory_iterator()), 2);
    EXPECT_EQ(names(), (Names{"link", "link to link", "out", "shelf"}));
}

TEST_F(WholeFile, ALinkToNowhereOrToItselfIsRefused) {
    fs::create_symlink("nowhere", in_folder("a"));
    fs::create_symlink("b", in_folder("b"));
    for (const char* const name : {"a", "b"}) {
        const std::string refusal = refusal_of([&] { write_whole_file(in_folder(name), "new", Existing::replace); });
        EXPECT_EQ(refusal.find(in_folder(name).string() + ": is a link that leads nowhere: "), 0U) << refusal;
        EXPECT_TRUE(fs::is_symlink(in_folder(name)));
    }
    EXPECT_EQ(names(), (Names{"a", "b"}));
}

TEST_F(WholeFile, WhatAKilledRunLeftIsClearedAwayAndWhatALivingOneWritesIsNot) {
    const auto leave = [&](const std::string& name) { std::ofstream(in_folder(name)) << "half"; };
    leave(".a.4194303.part");
    leave(".b.4194303.part");  // of another file
    leave(".a.part");          // not a name that this program gives
    leave(".a.12.part");
    fs::create_directory(in_folder(".out.7.part"));
    std::ofstream(in_folder(".out.7.part") / "marker") << "m";
    const int living = ::open(in_folder(".a.12.part").c_str(), O_RDONLY | O_CLOEXEC);
    ASSERT_EQ(::flock(living, LOCK_EX), 0);
    write_whole_file(in_folder("a"), "one", Existing::keep);
    EXPECT_EQ(names(), (Names{".a.12.part", ".a.part", ".b.4194303.part", ".out.7.part", "a"}));
    ::close(living);
    write_whole_file(in_folder("a"), "two", Existing::replace);
    write_whole_folder(in_folder("out"), {{"marker", "n"}}, Existing::keep, "marker");
    EXPECT_EQ(names(), (Names{".a.part", ".b.4194303.part", "a", "out"}));
}

TEST_F(WholeFile, TheLongestNameOfAllIsTaken) {
    const std::string longest(255, 'x');
    write_whole_file(in_folder(longest), "one", Existing::keep);
    write_whole_file(in_folder(longest), "two", Existing::replace);
    EXPECT_EQ(content_of(in_folder(longest)), "two");
    EXPECT_EQ(names(), (Names{longest}));
}

// Runs work in a child process and returns how that ended. The child leaves without the test's own clean-up.
int in_child(const std::function<int()>& work) {
    const pid_t child = ::fork();
    if (child == 0) ::_exit(work());
    int status = 0;
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST_F(WholeFile, ADiskThatFillsLeavesTheOldFileAndNoPart) {
    write_whole_file(in_folder("a"), "old", Existing::keep);
    const int code = in_child([&] {
        // A limit on the size of files stands for the end of the disk.
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit small{1 << 16, 1 << 16};
        if (::setrlimit(RLIMIT_FSIZE, &small) != 0) return 10;
        try {
            write_whole_file(in_folder("a"), std::string(1 << 20, 'x'), Existing::replace);
        } catch (const InputError&) {
            return 1;
        }
        return 0;
    });
    EXPECT_EQ(code, 1);
    EXPECT_EQ(content_of(in_folder("a")), "old");
    EXPECT_EQ(names(), (Names{"a"}));
}

TEST_F(WholeFile, ANewFolderHoldsItsFiles) {
    // A slash at the end is a way of writing the same folder.
    write_whole_folder(in_folder("out") / "", {{"marker", "m"}, {"a", "one"}}, Existing::keep, "marker");
    EXPECT_EQ(content_of(in_folder("out") / "a"), "one");
    EXPECT_EQ(content_of(in_folder("out") / "marker"), "m");
    EXPECT_EQ(names(), (Names{"out"}));
}

TEST_F(WholeFile, AFolderIsReplacedWholeAndOnlyWithItsMarker) {
    write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", "one"}}, Existing::keep, "marker");
    EXPECT_EQ(refusal_of([&] {
                  write_whole_folder(in_folder("out"), {{"marker", "n"}}, Existing::keep, "marker");
              }),
              in_folder("out").string() + ": stands already; say --replace to write it anew, or choose another name");
    EXPECT_TRUE(fs::exists(in_folder("out") / "a"));
    write_whole_folder(in_folder("out"), {{"marker", "n"}, {"b", "two"}}, Existing::replace, "marker");
    EXPECT_FALSE(fs::exists(in_folder("out") / "a"));
    EXPECT_EQ(content_of(in_folder("out") / "b"), "two");
    EXPECT_EQ(names(), (Names{"out"}));

    fs::remove(in_folder("out") / "marker");
    EXPECT_EQ(
        refusal_of([&] {
            write_whole_folder(in_folder("out"), {{"marker", "o"}}, Existing::replace, "marker");
        }),
        in_folder("out").string() + ": was not written by this program (it holds no marker); choose another name");
    EXPECT_EQ(content_of(in_folder("out") / "b"), "two");
    EXPECT_EQ(names(), (Names{"out"}));
}

TEST_F(WholeFile, AFileWhereTheFolderShouldStandIsKept) {
    write_whole_file(in_folder("out"), "mine", Existing::keep);
    EXPECT_NE(refusal_of([&] {
                  write_whole_folder(in_folder("out"), {{"marker", "m"}}, Existing::replace, "marker");
              }),
              "done without a word");
    EXPECT_EQ(content_of(in_folder("out")), "mine");
    EXPECT_EQ(names(), (Names{"out"}));
}

TEST_F(WholeFile, AFolderThatFailsHalfwayLeavesTheOldOneAndNoPart) {
    write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", "one"}}, Existing::keep, "marker");
    const std::string message = refusal_of([&] {
        write_whole_folder(in_folder("out"), {{"marker", "n"}, {"no/such/place", "x"}}, Existing::replace, "marker");
    });
    // The name in the message is the one that was asked for, not the temporary one.
    EXPECT_EQ(message,
              (in_folder("out") / "no/such/place").string() + ": cannot be written: No such file or directory");
    EXPECT_EQ(content_of(in_folder("out") / "marker"), "m");
    EXPECT_EQ(content_of(in_folder("out") / "a"), "one");
    EXPECT_EQ(names(), (Names{"out"}));
}

mode_t permissions_of(const fs::path& path) {
    struct stat found {};
    return ::stat(path.c_str(), &found) == 0 ? found.st_mode & 07777U : 0;
}

TEST_F(WholeFile, WhatTakesAnothersPlaceTakesOverItsPermissions) {
    const mode_t mask = ::umask(022);
    write_whole_file(in_folder("a"), "old", Existing::keep);
    EXPECT_EQ(permissions_of(in_folder("a")), 0644U);
    for (const mode_t due : {0600U, 0664U, 0444U}) {
        ASSERT_EQ(::chmod(in_folder("a").c_str(), due), 0);
        write_whole_file(in_folder("a"), "new", Existing::replace);
        EXPECT_EQ(permissions_of(in_folder("a")), due);
    }
    write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", "old"}}, Existing::keep, "marker");
    EXPECT_EQ(permissions_of(in_folder("out")), 0755U);
    ASSERT_EQ(::chmod(in_folder("out").c_str(), 0700), 0);
    ASSERT_EQ(::chmod((in_folder("out") / "a").c_str(), 0600), 0);
    write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", "new"}, {"b", "new"}}, Existing::replace, "marker");
    EXPECT_EQ(permissions_of(in_folder("out")), 0700U);
    EXPECT_EQ(permissions_of(in_folder("out") / "a"), 0600U);
    EXPECT_EQ(permissions_of(in_folder("out") / "b"), 0644U);
    ::umask(mask);
}

// From here on the calling process gets `error` for renameat2 with flags, and for hard links EPERM: as on a file system
// that knows neither.
bool only_plain_renames(std::uint32_t error) {
#ifdef SYS_link
    constexpr std::uint32_t plain_link = SYS_link;
#else
    constexpr std::uint32_t plain_link = SYS_linkat;
#endif
    std::array<sock_filter, 6> program{sock_filter{BPF_LD | BPF_W | BPF_ABS, 0, 0, offsetof(seccomp_data, nr)},
                                       sock_filter{BPF_JMP | BPF_JEQ | BPF_K, 2, 0, SYS_renameat2},
                                       sock_filter{BPF_JMP | BPF_JEQ | BPF_K, 2, 0, plain_link},
                                       sock_filter{BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ALLOW},
                                       sock_filter{BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ERRNO | error},
                                       sock_filter{BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ERRNO | EPERM}};
    const sock_fprog filter{program.size(), program.data()};
    return ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 && ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0;
}

TEST_F(WholeFile, WhereOnlyPlainRenamesAreKnownEverythingIsWrittenAllTheSame) {
    for (const int error : {EINVAL, ENOSYS}) {
        const int code = in_child([&] {
            if (!only_plain_renames(static_cast<std::uint32_t>(error))) return 77;
            if (::renameat2(AT_FDCWD, "a", AT_FDCWD, "b", RENAME_EXCHANGE) == 0 || (errno != EINVAL && errno != ENOSYS))
                return 77;
            try {
                write_whole_file(in_folder("a"), "one", Existing::keep);
                write_whole_file(in_folder("a"), "two", Existing::replace);
                write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", "one"}}, Existing::keep, "marker");
                write_whole_folder(in_folder("out"), {{"marker", "m"}, {"b", "two"}}, Existing::replace, "marker");
            } catch (const InputError& refused) {
                std::cerr << refused.what() << '\n';
                return 1;
            }
            return refusal_of([&] { write_whole_file(in_folder("a"), "three", Existing::keep); }) ==
                           "done without a word"
                       ? 2
                       : 0;
        });
        if (code == 77) GTEST_SKIP() << "calls cannot be refused here";
        EXPECT_EQ(code, 0);
        EXPECT_EQ(content_of(in_folder("a")), "two");
        EXPECT_EQ(content_of(in_folder("out") / "b"), "two");
        EXPECT_FALSE(fs::exists(in_folder("out") / "a"));
        EXPECT_EQ(names(), (Names{"a", "out"}));
        fs::remove_all(in_folder("out"));
        fs::remove(in_folder("a"));
    }
}

// Looks for parts that a child is writing, and tries to lock each: what clears litter away must find it locked.
TEST_F(WholeFile, APartIsLockedAsLongAsItIsWritten) {
    for (const bool folder : {false, true}) {
        const pid_t child = ::fork();
        ASSERT_GE(child, 0);
        if (child == 0)
            while (true) {
                const std::string content(8'000'000, 'x');
                if (folder) {
                    // Anew each time: after an exchange the old folder, unlocked, would have the part's name.
                    fs::remove_all(in_folder("out"));
                    write_whole_folder(in_folder("out"), {{"marker", "m"}, {"a", content}}, Existing::keep, "marker");
                } else {
                    write_whole_file(in_folder("a"), content, Existing::replace);
                }
            }
        const fs::path part = in_folder((folder ? ".out." : ".a.") + std::to_string(child) + ".part");
        int locked = 0;
        int free = 0;
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (locked < 20 && free == 0 && std::chrono::steady_clock::now() < end) {
            // Between making a part and locking it there is nothing in it yet.
            std::error_code none;
            if (folder ? !fs::exists(part / "a", none) : fs::file_size(part, none) == 0 || none) continue;
            const int found = ::open(part.c_str(), O_RDONLY | O_CLOEXEC);
            if (found < 0) continue;
            struct stat opened {};
            struct stat named {};
            if (::flock(found, LOCK_EX | LOCK_NB) != 0) ++locked;
            // One that was finished meanwhile has lost its name.
            else if (::fstat(found, &opened) == 0 && ::stat(part.c_str(), &named) == 0 && opened.st_ino == named.st_ino)
                ++free;
            ::close(found);
        }
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        EXPECT_EQ(free, 0) << part;
        EXPECT_GE(locked, 20) << part;
    }
}

// Kills a child that writes on and on, after a time that differs from round to round.
void kill_while(const std::function<void()>& write_once, int round) {
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0)
        while (true) write_once();
    // Writing once takes some tenths of a millisecond, so these times fall all over it.
    std::this_thread::sleep_for(std::chrono::microseconds(2000 + 137 * round));
    ASSERT_EQ(::kill(child, SIGKILL), 0);
    int status = 0;
    ASSERT_EQ(::waitpid(child, &status, 0), child);
    ASSERT_TRUE(WIFSIGNALED(status)) << "the child ended by itself: writing failed";
}

TEST_F(WholeFile, KilledInTheMiddleAFileIsTheOldOrTheNewNeverAMixture) {
    const std::string old_content(300'000, 'o');
    const std::string new_content(200'000, 'n');
    for (int round = 0; round < 60; ++round) {
        write_whole_file(in_folder("a"), old_content, Existing::replace);
        kill_while(
            [&] {
                write_whole_file(in_folder("a"), new_content, Existing::replace);
                write_whole_file(in_folder("a"), old_content, Existing::replace);
            },
            round);
        const std::string found = content_of(in_folder("a"));
        ASSERT_TRUE(found == old_content || found == new_content)
            << "round " << round << ", " << found.size() << " bytes";
    }
    write_whole_file(in_folder("a"), old_content, Existing::replace);
    EXPECT_EQ(names(), (Names{"a"}));
}

TEST_F(WholeFile, KilledInTheMiddleAFolderIsTheOldOrTheNewNeverAMixture) {
    const auto files = [](char letter) {
        return std::vector<FileContent>{
            {"marker", std::string(1, letter)}, {"a", std::string(50'000, letter)}, {"b", std::string(50'000, letter)}};
    };
    const fs::path out = in_folder("out");
    write_whole_folder(out, files('o'), Existing::keep, "marker");
    for (int round = 0; round < 40; ++round) {
        kill_while(
            [&] {
                write_whole_folder(out, files('n'), Existing::replace, "marker");
                write_whole_folder(out, files('o'), Existing::replace, "marker");
            },
            round);
        const std::string marker = content_of(out / "marker");
        ASSERT_TRUE(marker == "o" || marker == "n") << "round " << round;
        for (const char* const name : {"a", "b"})
            ASSERT_EQ(content_of(out / name), std::string(50'000, marker.front())) << "round " << round;
        ASSERT_EQ(std::distance(fs::directory_iterator(out), fs::directory_iterator()), 3);
    }
    write_whole_folder(out, files('o'), Existing::replace, "marker");
    EXPECT_EQ(names(), (Names{"out"}));
}

TEST_F(WholeFile, ReadersNeverSeeAHalfWrittenFile) {
    const std::string one(100'000, '1');
    const std::string two(150'000, '2');
    write_whole_file(in_folder("a"), one, Existing::keep);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0)
        while (true) {
            write_whole_file(in_folder("a"), two, Existing::replace);
            write_whole_file(in_folder("a"), one, Existing::replace);
        }
    int mixtures = 0;
    for (int i = 0; i < 500; ++i) {
        const std::string found = content_of(in_folder("a"));
        if (found != one && found != two) ++mixtures;
    }
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    EXPECT_EQ(mixtures, 0);
}

}  // namespace
}  // namespace reedwright
