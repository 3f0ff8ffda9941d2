// How far a long work has come.
#pragma once

#include <iosfwd>
#include <mutex>

namespace reedwright::app {

/// A bar on the terminal that goes when the work is done; nothing where nobody watches, as in a pipe. Any thread may
/// show.
class ProgressBar {
public:
    explicit ProgressBar(std::ostream& err);
    ~ProgressBar();
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;

    /// From 0 to 1.
    void show(double share);

private:
    std::ostream& err_;
    bool watched_;
    int shown_ = -1;
    std::mutex mutex_;
};

}  // namespace reedwright::app
