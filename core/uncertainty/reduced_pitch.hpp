// The pitch of a reed under deviations of its inputs, by the million, from a reduced strip.
#pragma once

#include "core/uncertainty/inputs.hpp"
#include "core/vibration/vibration.hpp"

#include <array>
#include <memory>
#include <span>

namespace reedwright {

namespace kernel {
struct Lanes;
struct ReducedStrip;
}  // namespace kernel

/// Deviations of many samples: a column for each input, in standard deviations, all equally long.
using DeviationColumns = std::array<std::span<const double>, input_count>;

/// The pitch against the nominal one, in cents, of with_deviations(reed, deviations) on the model given,
/// in air if the reed is. Six shapes of the real strip stand for it (core/uncertainty/projected_strip.hpp);
/// the air's mass follows shape, width and, to first order, frequency. Two inverse iterations and the
/// Rayleigh quotient give the first mode.
/// Meant for inputs within +-reach standard deviations; error_bound() shows how well it does.
class ReducedPitch {
public:
    static constexpr double reach = 5.0;

    /// Throws std::runtime_error when the tongue cannot be solved somewhere within reach.
    /// Not for a seat without any give whose give spreads and whose clamp has no layer (can_stand_for).
    ReducedPitch(const Reed& reed, Model model);
    /// By given instructions, which change nothing but the time taken.
    ReducedPitch(const Reed& reed, Model model, const kernel::Lanes& lanes);
    ~ReducedPitch();
    ReducedPitch(ReducedPitch&&) noexcept;
    ReducedPitch& operator=(ReducedPitch&&) noexcept;

    /// False where the reduced strip has no shape for what may happen: a rigid root that may loosen, or
    /// dimensions that reach zero.
    static bool can_stand_for(const Reed& reed, Model model);

    Interval cents(const Deviations& deviations) const;
    /// A sample's value is the same bits wherever it stands in the columns.
    void cents(const DeviationColumns& deviations, std::span<double> values) const;

    /// The greatest difference to the full model over a number of tongues drawn evenly within +-reach in
    /// every input at once, some at the corners.
    Interval error_bound(std::size_t tongues) const;

private:
    Reed reed_;
    Model model_;
    Frequency nominal_;
    std::unique_ptr<const kernel::ReducedStrip> strip_;
    const kernel::Lanes* lanes_;
};

/// The same from the full model: the deviated reed built and solved anew.
Interval full_model_cents(const Reed& reed, Frequency nominal, const Deviations& deviations, Model model);

}  // namespace reedwright
