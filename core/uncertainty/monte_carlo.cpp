#include "core/uncertainty/monte_carlo.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <stdexcept>
#include <thread>
#include <vector>

namespace reedwright {

namespace {
constexpr std::uint64_t block_size = 4096;
}

SpreadSummary monte_carlo(const SampleModel& model, const MonteCarloRun& run) {
    if (run.samples < 2) throw std::invalid_argument("a spread needs at least two samples");
    const std::uint64_t blocks = (run.samples + block_size - 1) / block_size;
    const auto evaluate = [&](std::uint64_t block, std::vector<double>& values) {
        const std::uint64_t first = block * block_size;
        values.resize(std::min(block_size, run.samples - first));
        model(first, values);
    };

    std::vector<double> pilot;
    evaluate(0, pilot);
    const SpreadScale scale = SpreadScale::around(pilot);
    std::vector<BlockSums> sums(blocks);

    std::atomic<std::uint64_t> next{1};
    std::exception_ptr failure;
    std::mutex guard;
    const auto work = [&](SpreadCounter& counter, bool reports) {
        try {
            std::vector<double> values;
            for (std::uint64_t block = next++; block < blocks; block = next++) {
                evaluate(block, values);
                sums[block] = counter.count(values);
                if (reports && run.progress)
                    run.progress(static_cast<double>(std::min(next.load(), blocks)) / static_cast<double>(blocks));
            }
        } catch (...) {
            const std::lock_guard lock(guard);
            if (!failure) failure = std::current_exception();
            next = blocks;
        }
    };

    const std::uint64_t wanted = run.threads > 0 ? run.threads : std::max(1U, std::thread::hardware_concurrency());
    std::vector<SpreadCounter> counters(std::clamp<std::uint64_t>(blocks - 1, 1, wanted), SpreadCounter(scale));
    sums[0] = counters[0].count(pilot);
    {
        std::vector<std::jthread> others;
        for (std::size_t i = 1; i < counters.size(); ++i)
            others.emplace_back([&work, &counter = counters[i]] { work(counter, false); });
        work(counters[0], true);
    }
    if (failure) std::rethrow_exception(failure);
    for (std::size_t i = 1; i < counters.size(); ++i) counters[0].merge(counters[i]);
    return counters[0].summary(sums);
}

}  // namespace reedwright
