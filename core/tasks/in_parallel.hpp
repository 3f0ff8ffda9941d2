// Independent tasks on all processors.
#pragma once

#include <cstddef>
#include <functional>

namespace reedwright {

/// Does task(0) to task(count - 1) once each, on as many threads as the machine has (or as many as said). Tasks must
/// not touch one another's data; then the result does not depend on the number of threads. Waits for all, and
/// rethrows the exception of the first task that threw.
void in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, unsigned threads = 0);

}  // namespace reedwright
