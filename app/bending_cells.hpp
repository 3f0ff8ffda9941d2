// The cells of an instrument whose notes bend, and how far.
#pragma once

#include "core/plan/design.hpp"
#include "core/wind/bend_range.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace reedwright::app {

/// A cell with one reed for either way of the wind, the higher of which can be bent. Reeds by their index.
struct BendingCell {
    std::size_t lower;
    std::size_t higher;
    Interval apart;
    /// How far down by the trade's rule.
    Interval rule;
    BendRange range;
};

/// Every cell with exactly two reeds of different pitch of which the lower has no valve, from the first on, blown at a
/// pressure; all processors work. The design's tongues must have been worked out. progress is told the share done, from
/// any of the threads. What had to be taken for qualities, volumes and the tract is told in assumed, each once. Throws
/// InputError as blown_reeds() does.
std::vector<BendingCell> bending_cells(const Design& design, Pressure pressure,
                                       const std::function<void(double)>& progress = {},
                                       std::vector<std::string>* assumed = nullptr);

/// Cents of a simulated pitch above the higher reed as the model has it; empty when nothing sounds.
std::optional<double> from_higher(const Design& design, const BendingCell& cell, const std::optional<Frequency>& pitch);

}  // namespace reedwright::app
