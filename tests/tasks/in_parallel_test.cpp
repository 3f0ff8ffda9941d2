// Tasks are done once each, on however many threads there are, and their exceptions reach the caller.
#include "core/tasks/in_parallel.hpp"

#include <gtest/gtest.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>
#include <array>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <mutex>
#include <stdexcept>
#include <string>
#include <system_error>
#include <thread>
#include <vector>

namespace reedwright {
namespace {

std::vector<int> times_done(std::size_t count, unsigned threads) {
    std::vector<int> times(count, 0);
    in_parallel(
        count, [&](std::size_t i) { ++times[i]; }, threads);
    return times;
}

TEST(InParallel, EveryTaskIsDoneOnce) {
    for (const unsigned threads : {0U, 1U, 2U, 7U})
        for (const std::size_t count : {0U, 1U, 2U, 1000U})
            EXPECT_EQ(times_done(count, threads), std::vector<int>(count, 1)) << threads << ", " << count;
}

TEST(InParallel, AsManyAtOnceAsThreadsAreSaid) {
    std::mutex mutex;
    std::condition_variable changed;
    int there = 0;
    std::atomic<int> met{0};
    // Each waits for the two others: one thread fewer, and they wait in vain.
    in_parallel(
        3,
        [&](std::size_t) {
            std::unique_lock lock(mutex);
            ++there;
            changed.notify_all();
            if (changed.wait_for(lock, std::chrono::seconds(60), [&] { return there == 3; })) ++met;
        },
        3);
    EXPECT_EQ(met, 3);
}

TEST(InParallel, TheExceptionOfTheFirstTaskThatThrewReachesTheCallerAfterAllAreDone) {
    for (const unsigned threads : {1U, 4U}) {
        std::atomic<int> done{0};
        std::string caught;
        try {
            in_parallel(
                100,
                [&](std::size_t i) {
                    ++done;
                    if (i % 10 == 7) throw std::runtime_error(std::to_string(i));
                },
                threads);
        } catch (const std::runtime_error& error) {
            caught = error.what();
        }
        EXPECT_EQ(caught, "7");
        EXPECT_EQ(done, 100);
    }
}

// From here on the calling process gets no further thread.
bool no_more_threads() {
    std::array<sock_filter, 5> program{sock_filter{BPF_LD | BPF_W | BPF_ABS, 0, 0, offsetof(seccomp_data, nr)},
                                       sock_filter{BPF_JMP | BPF_JEQ | BPF_K, 2, 0, SYS_clone},
                                       sock_filter{BPF_JMP | BPF_JEQ | BPF_K, 1, 0, SYS_clone3},
                                       sock_filter{BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ALLOW},
                                       sock_filter{BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ERRNO | EAGAIN}};
    const sock_fprog filter{program.size(), program.data()};
    return ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 && ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0;
}

TEST(InParallel, WhereNoThreadCanBeHadTheCallerDoesTheWork) {
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
        if (!no_more_threads()) ::_exit(77);
        try {
            std::thread([] {}).join();
            ::_exit(77);
        } catch (const std::system_error&) {
            ::_exit(times_done(1000, 4) == std::vector<int>(1000, 1) ? 0 : 1);
        }
    }
    int status = 0;
    ASSERT_EQ(::waitpid(child, &status, 0), child);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 77) GTEST_SKIP() << "threads cannot be refused here";
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << status;
}

}  // namespace
}  // namespace reedwright
