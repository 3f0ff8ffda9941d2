// How the pitch of a reed scatters with its inputs: JCGM 101:2008 Monte Carlo on the strip itself.
#pragma once

#include "core/uncertainty/inputs.hpp"
#include "core/vibration/vibration.hpp"

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace reedwright {

namespace kernel {
struct Lanes;
}

struct ScatterRequest {
    std::uint64_t samples = 100000;
    std::uint64_t seed = 1;
    /// 0: as many as the machine has. Without effect on the result.
    unsigned threads = 0;
    /// Told the share done now and then; may be empty.
    std::function<void(double share)> progress;
    /// The instructions to use; nullptr: the widest that the machine has. Without effect on the result.
    const kernel::Lanes* lanes = nullptr;
};

/// Of the tongue as it is deviated, against the nominal one in the same air.
struct PitchScatter {
    std::uint64_t samples;
    Frequency nominal;
    Interval mean;
    Interval standard;
    /// Probabilistically symmetric 95 % interval, JCGM 101 7.7.
    Interval low95;
    Interval high95;
    /// False where every sample was solved on the full model.
    bool reduced;
    /// The greatest error of the reduced strip on the tongues it was tried on; zero when not reduced.
    Interval greatest_error;
    /// Inputs that stayed fixed because nobody has stated a spread.
    std::vector<Input> unknown_spread;
};

/// Draws every input of known spread from a normal distribution, cut at six standard deviations (one
/// draw in five hundred million), independent of the others but for modulus and seat that one calibration tells, and
/// computes the pitch of each tongue. Sample i of a seed is the same tongue for any number of samples and threads.
///
/// A reduced strip (ReducedPitch) stands for the full model if it agrees within 0.05 cent on 64 tongues
/// spread over +-5 standard deviations in every input at once, corners included; samples with an input
/// beyond that, some four in a million, are solved in full. Otherwise (very large spreads, a rigid
/// root that may loosen) every sample is, at some ten thousand a second and thread.
/// The model's own error is not part of the scatter.
/// Throws std::invalid_argument when an input could reach zero (impossible_spread), std::runtime_error
/// when a tongue cannot be solved.
PitchScatter pitch_scatter(const Reed& reed, Model model, const ScatterRequest& request);

/// Why a reed's spread cannot be drawn from a normal distribution, or empty: an input that has to stay
/// above zero reaches it within six standard deviations.
std::string impossible_spread(const Reed& reed);

}  // namespace reedwright
