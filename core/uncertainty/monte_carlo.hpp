// Propagation of distributions by a Monte Carlo method, JCGM 101:2008 clause 7.
#pragma once

#include "core/uncertainty/spread_summary.hpp"

#include <cstdint>
#include <functional>
#include <span>

namespace reedwright {

/// values[i] = the output quantity of sample first + i. Called from several threads at once; the value
/// of a sample may depend on its number alone, never on the run of samples it is asked in.
using SampleModel = std::function<void(std::uint64_t first, std::span<double> values)>;

struct MonteCarloRun {
    std::uint64_t samples = 100000;
    /// Threads at work; 0 takes as many as the machine has.
    unsigned threads = 0;
    /// Told the share done, from the calling thread alone; may be empty.
    std::function<void(double share)> progress;
};

/// Runs the model over all samples. The same bits for any number of threads: samples are dealt in
/// blocks of fixed size, whose sums are added in order. The first block lays the bins.
/// Throws what the model throws, std::domain_error when a value is not finite and
/// std::invalid_argument with fewer than two samples.
SpreadSummary monte_carlo(const SampleModel& model, const MonteCarloRun& run);

}  // namespace reedwright
