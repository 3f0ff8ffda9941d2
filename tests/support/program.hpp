// The program run as a whole process, and a folder to let it write into.
#pragma once

#include <sys/wait.h>
#include <unistd.h>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <stdexcept>
#include <string>
#include <system_error>
#include <vector>

namespace reedwright {

/// A new folder under the system's temporary one that goes with the object.
class Scratch {
public:
    Scratch() {
        std::string pattern = (std::filesystem::temp_directory_path() / "reedwright-test-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr) throw std::system_error(errno, std::generic_category(), pattern);
        path_ = pattern;
    }
    ~Scratch() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

/// Such a program reserves more addresses than any limit leaves, and takes its time.
#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool addresses_are_checked = true;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
inline constexpr bool addresses_are_checked = true;
#else
inline constexpr bool addresses_are_checked = false;
#endif
#else
inline constexpr bool addresses_are_checked = false;
#endif

struct Outcome {
    int code = -1;
    std::string out;
    std::string err;
};

inline bool program_is_built() {
    return std::filesystem::exists(REEDWRIGHT_PROGRAM);
}

/// Starts the program with arguments in the current folder, with the alloys of the source tree and its streams going
/// to files. What is to happen in the new process before the program starts (another standard output, a limit, lost
/// rights) may be given. Throws std::runtime_error if it cannot start.
inline pid_t start_program(const std::vector<std::string>& arguments, const std::filesystem::path& out,
                           const std::filesystem::path& err, const std::function<void()>& before = {},
                           const std::string& program = REEDWRIGHT_PROGRAM) {
    std::vector<std::string> words{program};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("the program cannot be started");
    if (child > 0) return child;
    ::setenv("REEDWRIGHT_MATERIALS", REEDWRIGHT_SOURCE_DIR "/materials", 1);
    if (std::freopen(out.c_str(), "w", stdout) == nullptr || std::freopen(err.c_str(), "w", stderr) == nullptr)
        ::_exit(127);
    if (before) before();
    ::execv(words.front().c_str(), pointers.data());
    ::_exit(127);
}

/// Runs the program to its end. The code is that of its exit, or 128 plus the signal that ended it.
inline Outcome run_program(const std::vector<std::string>& arguments, const std::function<void()>& before = {},
                           const std::string& program = REEDWRIGHT_PROGRAM) {
    const Scratch scratch;
    const auto out = scratch.path() / "out";
    const auto err = scratch.path() / "err";
    const pid_t child = start_program(arguments, out, err, before, program);
    int status = 0;
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    const auto content = [](const std::filesystem::path& file) {
        std::ifstream stream(file, std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
    };
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), content(out), content(err)};
}

}  // namespace reedwright
