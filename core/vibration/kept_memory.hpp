// Memory for numbers that is kept for the next who wants some on the same thread: to fetch pages from the system and
// give them back at each solve would take longer than the solve.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace reedwright::kernel {

class KeptMemory {
public:
    /// So many zeros.
    explicit KeptMemory(std::size_t count) {
        if (!kept().empty()) {
            numbers_ = std::move(kept().back());
            kept().pop_back();
        }
        numbers_.assign(count, 0.0);
    }
    ~KeptMemory() {
        if (numbers_.capacity() <= largest_kept && kept().size() < most_kept) kept().push_back(std::move(numbers_));
    }
    KeptMemory(const KeptMemory&) = delete;
    KeptMemory& operator=(const KeptMemory&) = delete;

    double* data() { return numbers_.data(); }
    const double* data() const { return numbers_.data(); }

private:
    static constexpr std::size_t most_kept = 4;
    static constexpr std::size_t largest_kept = 600'000;  // numbers, 4.8 MB: a thousand elements
    static std::vector<std::vector<double>>& kept() {
        thread_local std::vector<std::vector<double>> list = [] {
            std::vector<std::vector<double>> empty;
            empty.reserve(most_kept);  // so that to give back never fails
            return empty;
        }();
        return list;
    }

    std::vector<double> numbers_;
};

}  // namespace reedwright::kernel
