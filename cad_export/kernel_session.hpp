// The kernel keeps its settings, its documents and its messages for the whole process: one caller at a time.
#pragma once

#include <mutex>

namespace reedwright {

/// Held while the kernel works. Other callers wait; the kernel's banner lines are kept from standard output.
class KernelSession {
public:
    KernelSession();

private:
    std::lock_guard<std::mutex> alone_;
};

}  // namespace reedwright
