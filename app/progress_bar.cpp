#include "app/progress_bar.hpp"

#include <fmt/format.h>
#include <unistd.h>
#include <iostream>
#include <string>

namespace reedwright::app {

namespace {
constexpr std::size_t width = 50;
}  // namespace

ProgressBar::ProgressBar(std::ostream& err) : err_(err), watched_(&err == &std::cerr && ::isatty(STDERR_FILENO) != 0) {}

ProgressBar::~ProgressBar() {
    if (shown_ >= 0) err_ << '\r' << std::string(width + 9, ' ') << '\r' << std::flush;
}

void ProgressBar::show(double share) {
    if (!watched_) return;
    const std::lock_guard lock(mutex_);
    const int percent = static_cast<int>(100.0 * share);
    if (percent == shown_) return;
    shown_ = percent;
    const auto full = static_cast<std::size_t>(share * static_cast<double>(width));
    err_ << fmt::format("\r[{}{}] {:3} %", std::string(full, '='), std::string(width - full, ' '), percent)
         << std::flush;
}

}  // namespace reedwright::app
