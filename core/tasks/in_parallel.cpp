#include "core/tasks/in_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <system_error>
#include <thread>
#include <vector>

namespace reedwright {

void in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, unsigned threads) {
    std::atomic<std::size_t> next{0};
    std::vector<std::exception_ptr> failures(count);
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                task(i);
            } catch (...) {
                failures[i] = std::current_exception();
            }
        }
    };
    {
        const unsigned machine = std::max(1U, std::thread::hardware_concurrency());
        const std::size_t wanted = std::min<std::size_t>(count, threads == 0 ? machine : threads);
        std::vector<std::jthread> helpers;
        try {
            for (std::size_t i = 1; i < wanted; ++i) helpers.emplace_back(work);
        } catch (const std::system_error&) {
            // No more threads to be had: those that there are do the work.
        }
        work();
    }
    for (const auto& failure : failures)
        if (failure) std::rethrow_exception(failure);
}

}  // namespace reedwright
